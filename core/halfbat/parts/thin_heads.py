"""What is left of a skin over its openings where that is too thin to hold: there the opening reaches up to the edge."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.joinery import HELD_SHARE
from halfbat.parts.tabs import box
from halfbat.surfaces.opening_units import OpeningUnits
from halfbat.surfaces.remnants import extents

Array = NDArray[np.float64]
_PLACES = 65
_BEYOND_MM = 1.0
_WITHIN_MM = 1e-3


def thin_heads(openings: Sequence[OpeningUnits], face_mm: Array, least_mm: float) -> tuple[list[Array], float]:
    """Find the strips of a face over its openings that are thinner than what holds at both ends.

    Parameters
    ----------
    openings : sequence of OpeningUnits
        Openings of the wall.
    face_mm : ndarray (K, 2)
        Outline of its face.
    least_mm : float
        Smallest wall of the printer; a strip that is held at both ends may have a share of it.

    Returns
    -------
    list of ndarray (4, 2), float
        Boxes from within each opening to beyond the face, over the part of it where the strip is thin; and the area of
        the strips, mm2.
    """
    rings: list[Array] = []
    lost_mm2 = 0.0
    for opening in openings:
        low, high = opening.outline.min(axis=0), opening.outline.max(axis=0)
        u = np.linspace(low[0] + _WITHIN_MM, high[0] - _WITHIN_MM, _PLACES)
        head, edge = (extents(ring, u, axis=0)[1] for ring in (opening.outline, face_mm))
        thick = edge - head
        thin = (thick < least_mm) & (thick > 0)
        if not (thin & (thick < HELD_SHARE * least_mm)).any():
            continue
        on = np.flatnonzero(thin)
        for run in np.split(on, np.flatnonzero(np.diff(on) > 1) + 1):
            left, right = low[0] if run[0] == 0 else u[run[0]], high[0] if run[-1] == _PLACES - 1 else u[run[-1]]
            if right > left:
                rings.append(box(left, (low[1] + high[1]) / 2, right, float(face_mm[:, 1].max()) + _BEYOND_MM))
                lost_mm2 += float(thick[run].mean()) * float(right - left)
    return rings, lost_mm2
