"""Setting out side joints along the eaves, opened a little where a course then comes out whole."""

from __future__ import annotations

from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from halfbat.surfaces.roofing.courses import SLIVER
from halfbat.surfaces.roofing.face import RoofFace

Array = NDArray[np.float64]
_EXACT = 1e-6


def side_joints(face: RoofFace, cover_mm: float, widest_mm: float, bond: float, number: NDArray[np.int64]) -> Array:
    """Set out the side joints of every course.

    Between two verges the cover is opened up to its widest where whole pieces (halves, where bonded) then fill the
    course; else a course starts whole at the left and is cut at the right, or, where that would leave a sliver, at both
    sides alike. From one verge it starts there; between hips it is set out from the middle.

    Parameters
    ----------
    face : RoofFace
        The slope.
    cover_mm, widest_mm : float
        Width each piece adds, and the most it may add.
    bond : float
        How far alternate courses are moved, as a share of the cover.
    number : ndarray (R,) of int64
        Count of each course from the eaves.

    Returns
    -------
    ndarray (R, J + 1)
        Centres of side joints; the first and last of each course lie outside the slope or on its edge.
    """
    left, right = face.side_bounds()
    low, high = float(face.low[0]), float(face.high[0])
    cover = cover_mm
    if left is not None and right is not None:
        cover, start = _between_sides(right - left, cover_mm, widest_mm, 2 if bond else 1)
        start += left
    elif left is not None:
        start = left
    elif right is not None:
        start = right
    else:
        start = (low + high) / 2
    first = floor((low - start) / cover - bond + _EXACT)
    count = ceil((high - start) / cover - _EXACT) - first
    moved = np.where(number % 2 == 1, bond, 0.0)
    return np.asarray(start + cover * (first + moved[:, None] + np.arange(count + 1)[None, :]), dtype=np.float64)


def _between_sides(width_mm: float, cover_mm: float, widest_mm: float, parts: int) -> tuple[float, float]:
    """Return the cover and where the first piece begins, for courses that begin and end at a side."""
    least = ceil(width_mm / widest_mm * parts - _EXACT)
    if least and width_mm * parts / least >= cover_mm - _EXACT:
        most = max(least, floor(width_mm / cover_mm * parts + _EXACT))
        return width_mm * parts / most, 0.0
    left_over = width_mm % cover_mm
    # Cut pieces alike at both sides where one at the right would be a sliver.
    if parts == 1 and left_over < SLIVER * cover_mm and width_mm > cover_mm:
        return cover_mm, -(cover_mm - left_over) / 2
    return cover_mm, 0.0
