"""Parts in their places in the building, at model size."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from halfbat.parts.kit_plan import Plan
from halfbat.parts.part import Part
from halfbat.parts.walls import WallPlan
from halfbat.printing.sections import Array
from halfbat.solids.solid import Solid


def in_building(part: Part) -> Solid:
    """Return a part's solid in the building's frame."""
    turn, shift = part.place[:3, :3], part.place[:3, 3]
    return Solid(part.solid.vertices @ turn.T + shift, part.solid.triangles)


def points_on_wall_mm(part: Part, wall: WallPlan, points_mm: Array) -> Array:
    """Return points (N, 3) of a part's print frame along, up and outward of a wall."""
    there = points_mm @ part.place[:3, :3].T + part.place[:3, 3] - wall.facing.foot_mm
    along, outward = wall.facing.along, wall.facing.outward
    return np.stack([there[:, :2] @ along, there[:, 2], there[:, :2] @ outward], axis=1)


@dataclass(frozen=True, slots=True, eq=False)
class Hung:
    """A part on its wall.

    Parameters
    ----------
    part : Part
    wall : WallPlan
    low_mm, high_mm : ndarray (3,)
        Its box along, up and outward of the wall.
    """

    part: Part
    wall: WallPlan
    low_mm: Array
    high_mm: Array


def hung(parts: Sequence[Part], plan: Plan, kind: str) -> list[Hung]:
    """Return the parts of a kind with their walls, by wall and from left to right."""
    walls = {wall.wall.letter: wall for wall in plan.walls}
    found = []
    for part in parts:
        wall = walls.get(part.wall or "")
        if part.kind == kind and wall is not None:
            points = points_on_wall_mm(part, wall, part.solid.vertices)
            found.append(Hung(part, wall, points.min(axis=0), points.max(axis=0)))
    found.sort(key=lambda one: (one.wall.wall.index, float(one.low_mm[0] + one.high_mm[0])))
    return found


def distances_mm(points: Array, segments: Array) -> Array:
    """Return the distance of each point (N, 2) to the nearest of some segments (K, 4)."""
    a, side = segments[:, :2], segments[:, 2:] - segments[:, :2]
    square = np.maximum((side * side).sum(axis=1), 1e-18)
    best = np.full(len(points), np.inf)
    for start in range(0, len(points), 256):
        to = points[start : start + 256, None] - a[None]
        share = np.clip((to * side[None]).sum(axis=2) / square, 0.0, 1.0)
        away = to - share[..., None] * side[None]
        best[start : start + 256] = np.sqrt((away * away).sum(axis=2)).min(axis=1, initial=np.inf)
    return best
