"""A plain box building as a structure: walls of one height round one flat roof."""

from __future__ import annotations

import numpy as np

from halfbat.building.structure import (
    EdgeKind,
    FaceOfWall,
    Mass,
    MassSide,
    SideKind,
    Slope,
    SlopeEdge,
    Structure,
    WallCorner,
)
from halfbat.building.wall import Building, Wall


def structure_of(building: Building) -> Structure:
    """Return a box building as a structure of one mass under a level roof.

    Parameters
    ----------
    building : Building
        Walls of one height in one loop.
    """
    walls, count, height = building.walls, len(building.walls), building.height_m
    faces = tuple(_face(walls, index, height) for index in range(count))
    plan = building.plan_m
    low = plan.min(axis=0)
    edges = tuple(SlopeEdge(EdgeKind.EAVES, None, index, 180.0) for index in range(count))
    slope = Slope(
        0,
        "1",
        np.array([0.0, 0.0, 1.0]),
        np.array([*low, building.base_m + height]),
        np.array([1.0, 0.0, 0.0]),
        np.array([0.0, 1.0, 0.0]),
        0.0,
        plan - low,
        (),
        edges,
    )
    sides = tuple(MassSide(SideKind.OUTER, index, None) for index in range(count))
    mass = Mass(0, (0,), plan, sides)
    return Structure(faces, (slope,), (mass,), building.base_m, building.findings)


def _face(walls: tuple[Wall, ...], index: int, height: float) -> FaceOfWall:
    wall, count = walls[index], len(walls)
    before, after = walls[index - 1], walls[(index + 1) % count]
    outline = np.array([[0.0, 0.0], [wall.length_m, 0.0], [wall.length_m, height], [0.0, height]])
    left = WallCorner(before.corner_deg, before.index, 0.0, height, True)
    right = WallCorner(wall.corner_deg, after.index, 0.0, height, True)
    return FaceOfWall(
        index, wall.letter, wall.start_m, wall.end_m, wall.base_m, outline, (), 0, left, right
    )
