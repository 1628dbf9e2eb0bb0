"""Where stones of a finish end at openings and dressings, so that nothing too thin is left of them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

import numpy as np

from halfbat.surfaces.features.site import FeatureSite
from halfbat.surfaces.laying import Array
from halfbat.surfaces.remnants import extents

_EXACT = 1e-6


def obstacles_of(site: FeatureSite, slab_mm: float) -> Array:
    """Boxes (N, 4) over all that stands in the way of stones: ``u0, v0, u1, v1`` with a joint all round.

    Parameters
    ----------
    site : FeatureSite
        The wall, its openings and the places taken by features.
    slab_mm : float
        Arches are stepped in slabs of this height.
    """
    joint = site.masonry.joint_mm
    boxes: list[tuple[float, float, float, float]] = []
    for place in (*site.openings, *site.taken):
        for ring in (place.outline, *place.bed):
            boxes += _slabs(ring, slab_mm)
    grown = np.array(boxes, dtype=np.float64).reshape(-1, 4)
    around: Array = grown + np.array([-joint, -joint, joint, joint])
    return around


def parted(corners: Array, obstacles: Array, joint_mm: float) -> list[Array]:
    """Return what obstacles leave of a convex polygon, as convex polygons a joint apart."""
    pieces = [corners]
    low, high = corners.min(axis=0), corners.max(axis=0)
    near = (obstacles[:, 0] < high[0]) & (obstacles[:, 2] > low[0])
    near &= (obstacles[:, 1] < high[1]) & (obstacles[:, 3] > low[1])
    for box in obstacles[near]:
        pieces = [left for piece in pieces for left in _around(piece, box, joint_mm)]
    return pieces


def breadth(corners: Array) -> float:
    """Return the least distance between two parallel lines that hold a convex polygon between them."""
    if len(corners) < 3:
        return 0.0
    sides = np.roll(corners, -1, axis=0) - corners
    lengths = np.hypot(*sides.T)
    sides = sides[lengths > _EXACT]
    normals = np.stack([-sides[:, 1], sides[:, 0]], axis=1) / np.hypot(*sides.T)[:, None]
    spread = corners @ normals.T
    return float((spread.max(axis=0) - spread.min(axis=0)).min())


def cut_off(corners: Array, normal: Sequence[float] | Array, limit: float) -> Array:
    """Return what of a convex polygon lies where ``normal @ point <= limit``."""
    beyond = corners @ np.asarray(normal, dtype=np.float64) - limit
    if (beyond <= 0).all():
        return corners
    kept: list[Array] = []
    for a, b, p, q in zip(corners, np.roll(corners, -1, axis=0), beyond, np.roll(beyond, -1), strict=True):
        if p <= 0:
            kept.append(a)
        if (p < 0 < q) or (q < 0 < p):
            kept.append(a + (b - a) * (p / (p - q)))
    return np.array(kept, dtype=np.float64).reshape(-1, 2)


def _around(piece: Array, box: Array, joint: float) -> list[Array]:
    """Cut a polygon into what lies left and right of a box, and below and above it."""
    u0, v0, u1, v1 = box.tolist()
    low, high = piece.min(axis=0), piece.max(axis=0)
    if u0 >= high[0] or u1 <= low[0] or v0 >= high[1] or v1 <= low[1]:
        return [piece]
    beside = [cut_off(piece, (1.0, 0.0), u0), cut_off(piece, (-1.0, 0.0), -u1)]
    left, right = (u0 + joint if len(beside[0]) else u0, u1 - joint if len(beside[1]) else u1)
    middle = piece
    for normal, limit in (((-1.0, 0.0), -left), ((1.0, 0.0), right)):
        middle = cut_off(middle, normal, limit) if len(middle) else middle
    if len(middle):
        beside += [cut_off(middle, (0.0, 1.0), v0), cut_off(middle, (0.0, -1.0), -v1)]
    return [one for one in beside if len(one) >= 3]


def _slabs(ring: Array, slab_mm: float) -> Iterable[tuple[float, float, float, float]]:
    low, high = ring.min(axis=0), ring.max(axis=0)
    if len(ring) == 4 and len(np.unique(ring[:, 0])) == 2 and len(np.unique(ring[:, 1])) == 2:
        return [(float(low[0]), float(low[1]), float(high[0]), float(high[1]))]
    count = max(1, int(np.ceil((high[1] - low[1]) / slab_mm)))
    lines = np.linspace(low[1], high[1], count + 1)
    found = []
    for bottom, top in pairwise(lines):
        left, right = extents(ring, np.linspace(bottom + _EXACT, top - _EXACT, 3))
        found.append((float(left.min()), float(bottom), float(right.max()), float(top)))
    return found
