"""Lead along a rake at scales where steps find no room between perpends: a plain strip, as high all along."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from halfbat.surfaces.dressing import ground
from halfbat.surfaces.masonry import Masonry
from halfbat.surfaces.opening_units import Unit

Array = NDArray[np.float64]
LEAST_PIECE_MM = 0.4
"""Bricks of which less length would be left over the strip give way to it."""
UNDER_MM = 0.6


def strip(
    line_mm: Array, upstand_mm: float, depth_mm: float, masonry: Masonry, reach_mm: tuple[float, float]
) -> tuple[tuple[Unit, ...], ...]:
    """Return the layers of a strip: a groove over it, what bricks leave beside that, and the lead.

    Parameters
    ----------
    line_mm : ndarray (2, 2)
        Ends of the edge of the roof in the wall's frame, from left to right.
    upstand_mm : float
        Height of lead over the line, plumb.
    depth_mm : float
        Depth of joints.
    masonry : Masonry
        Bricks of the wall.
    reach_mm : (float, float)
        From where to where along the wall the strip goes.
    """
    rate = float((line_mm[1, 1] - line_mm[0, 1]) / (line_mm[1, 0] - line_mm[0, 0]))
    groove = masonry.joint_mm * float(np.hypot(1.0, rate))
    u = np.array(reach_mm)
    line = line_mm[0, 1] + rate * (u - line_mm[0, 0])
    top = line + upstand_mm

    def band(low: Array, high: Array) -> Array:
        return np.array([(u[0], low[0]), (u[1], low[1]), (u[1], high[1]), (u[0], high[0])])

    crumbs = tuple(
        ground(left, low, right, high, -depth_mm)
        for left, low, right, high in _crumbs(np.array([u, top + groove]).T, masonry)
    )
    over = Unit(band(top - groove, top + groove), "", -depth_mm)
    return crumbs, (over,), (Unit(band(line - UNDER_MM, top), ""),)


def _crumbs(edge: Array, masonry: Masonry) -> list[tuple[float, float, float, float]]:
    """Boxes of bricks of which too little is left over a slanting line."""
    (u0, v0), (u1, v1) = edge.tolist()
    rate, laying, half = (v1 - v0) / (u1 - u0), masonry.laying, masonry.joint_u_mm / 2
    found = []
    for row, (low, high) in enumerate(zip(*(ends.tolist() for ends in masonry.courses), strict=True)):
        bounds = laying.patterns[laying.course_pattern[row]].bounds_mm
        for left, right in zip((bounds[:-1] + half).tolist(), (bounds[1:] - half).tolist(), strict=True):
            if right <= u0 or left >= u1:
                continue
            ends = np.array([v0 + rate * (at - u0) for at in (left, right)])
            if ends.max() <= low or ends.min() >= high:
                continue
            # Over the line: how long the top of what is left is, and how high its taller side.
            at_top = right - left if ends.max() <= high else (high - ends.min()) / abs(rate)
            taller = high - max(float(ends.min()), low)
            if min(at_top, right - left) < LEAST_PIECE_MM or taller < max(masonry.least_mm, LEAST_PIECE_MM / 2):
                found.append((left - half, low, right + half, high))
    return found
