"""Finished solids cut by a level or upright plane, which is how a slicer sees them.

Checks look at these, not at what the parts were meant to be.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from halfbat.solids.solid import Solid

Array = NDArray[np.float64]
FLAT = 0.9999
"""A triangle whose normal has this share along Z, or more, is level."""
SAME_LEVEL_MM = 0.01


def section(solid: Solid, at_mm: float, axis: int = 2) -> Array:
    """Cut a solid by a plane square to an axis.

    Parameters
    ----------
    solid : Solid
        Closed and outward.
    at_mm : float
        Where the plane stands; corners exactly on it count as beyond it.
    axis : {0, 1, 2}
        X, Y or Z.

    Returns
    -------
    ndarray (K, 4)
        Segments ``x0, y0, x1, y1`` with the material to their left, in no order. For the planes square to X they are
        in Y and Z, for those square to Y in Z and X, so that left stays left.
    """
    height = solid.vertices[:, axis] - at_mm
    beyond = height >= 0
    first, second, third = (beyond[solid.triangles[:, corner]] for corner in range(3))
    crossed = solid.triangles[(first != second) | (second != third)]
    if not len(crossed):
        return np.zeros((0, 4))
    a, b = crossed, crossed[:, [1, 2, 0]]
    rising, falling = ~beyond[a] & beyond[b], beyond[a] & ~beyond[b]
    flat = solid.vertices[:, [(axis + 1) % 3, (axis + 2) % 3]]
    ends = []
    # Both triangles at an edge count from its nearer end, so that they find the very same point.
    for which, near, far in ((falling, b, a), (rising, a, b)):
        start, end = near[which], far[which]
        share = height[start] / (height[start] - height[end])
        ends.append(flat[start] + (flat[end] - flat[start]) * share[:, None])
    found = np.concatenate(ends, axis=1)
    return np.asarray(found[(found[:, :2] != found[:, 2:]).any(axis=1)], dtype=np.float64)


def section_area_mm2(segments: Array) -> float:
    """Return the area that segments with material to their left enclose."""
    x0, y0, x1, y1 = segments.T
    return float((x0 * y1 - x1 * y0).sum() / 2)


@dataclass(frozen=True, slots=True, eq=False)
class Flats:
    """Level faces of a solid, by height.

    Parameters
    ----------
    heights_mm, areas_mm2 : ndarray (L,)
        Each height once, lowest first, and the area of the faces there.
    """

    heights_mm: Array
    areas_mm2: Array


def flats(solid: Solid, *, facing_up: bool) -> Flats:
    """Return the level faces that look up, or down."""
    corners = solid.vertices[solid.triangles]
    u, v = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    normal = np.cross(u, v)
    length = np.linalg.norm(normal, axis=1)
    share = normal[:, 2] / np.where(length > 0, length, 1.0)
    level = share > FLAT if facing_up else share < -FLAT
    heights, areas = corners[level][:, :, 2].mean(axis=1), length[level] / 2
    order = np.argsort(heights, kind="stable")
    heights, areas = heights[order], areas[order]
    if not len(heights):
        return Flats(np.zeros(0), np.zeros(0))
    starts = np.flatnonzero(np.diff(heights, prepend=-np.inf) > SAME_LEVEL_MM)
    return Flats(heights[starts], np.add.reduceat(areas, starts))


def bands(solid: Solid) -> tuple[tuple[float, float], ...]:
    """Return the ranges of height between the levels of a solid, lowest first, thin ones left out."""
    low, high = (float(value) for value in solid.bounds_mm[:, 2])
    levels = [low, high, *flats(solid, facing_up=True).heights_mm, *flats(solid, facing_up=False).heights_mm]
    levels.sort()
    kept = [levels[0]]
    for level in levels[1:]:
        if level - kept[-1] > SAME_LEVEL_MM:
            kept.append(float(level))
    return tuple(pairwise(kept))
