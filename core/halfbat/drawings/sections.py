"""Solids cut level, for plans."""

from __future__ import annotations

import numpy as np

from halfbat.building.rings import straighten
from halfbat.drawings.drawing import Array
from halfbat.solids.solid import Solid

_SAME = 1e-6
_STRAIGHT = 5e-4


def level_section(solid: Solid, place: Array, level_mm: float) -> tuple[Array, ...]:
    """Return the outlines of a solid where a level plane cuts it.

    Parameters
    ----------
    solid : Solid
        In its own frame.
    place : ndarray (4, 4)
        Rigid matrix to the building's frame.
    level_mm : float
        Height of the plane in the building's frame; moved up by a hair where a corner lies on it.

    Returns
    -------
    tuple of ndarray (K, 2)
        Closed outlines in plan, holes among them.
    """
    points = solid.vertices @ place[:3, :3].T + place[:3, 3]
    height = points[:, 2] - level_mm
    height = np.where(np.abs(height) < _SAME, -_SAME, height)
    over = height > 0
    corners = over[solid.triangles]
    cut = solid.triangles[corners.any(axis=1) & ~corners.all(axis=1)]
    follow: dict[tuple[int, int], tuple[int, int]] = {}
    for triangle in cut.tolist():
        crossed = [(a, b) for a, b in zip(triangle, triangle[1:] + triangle[:1], strict=True) if over[a] != over[b]]
        # Where the rim goes down it starts, where it goes up it ends: so all links run one way round.
        down, up = sorted(crossed, key=lambda edge: bool(over[edge[1]]))
        follow[_edge(down)] = _edge(up)
    rings = []
    while follow:
        start, following = follow.popitem()
        ring = [start]
        while following != start:
            ring.append(following)
            following = follow.pop(following)
        ends = np.array(ring)
        a, b = height[ends[:, 0]], height[ends[:, 1]]
        share = (a / (a - b))[:, None]
        rings.append(_corners_only((points[ends[:, 0]] * (1 - share) + points[ends[:, 1]] * share)[:, :2]))
    return tuple(rings)


def _corners_only(ring: Array) -> Array:
    """Leave out points that lie on the straight line between those kept, however finely a curve is drawn."""
    kept = straighten(np.arange(len(ring)), ring, _STRAIGHT)
    return np.asarray(ring[kept] if len(kept) >= 3 else ring)


def _edge(edge: tuple[int, int]) -> tuple[int, int]:
    return (edge[0], edge[1]) if edge[0] < edge[1] else (edge[1], edge[0])
