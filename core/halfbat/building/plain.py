"""Plain boxes between their two descriptions: a building of one loop, and a structure."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

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
from halfbat.building.wall import Building, building_from_plan

Array = npt.NDArray[np.float64]


def structure_from_building(building: Building) -> Structure:
    """Return a plain box as a structure of one mass under a level roof.

    Parameters
    ----------
    building : Building
        Walls of one height in one loop.

    Returns
    -------
    Structure
        Its walls in the same order and with the same letters.
    """
    count, top = len(building.walls), building.height_m
    walls = tuple(
        FaceOfWall(
            wall.index,
            wall.letter,
            wall.start_m,
            wall.end_m,
            building.base_m,
            np.array([[0.0, 0.0], [wall.length_m, 0.0], [wall.length_m, top], [0.0, top]]),
            (),
            0,
            WallCorner(building.walls[i - 1].corner_deg, (i - 1) % count, 0.0, top, True),
            WallCorner(wall.corner_deg, (i + 1) % count, 0.0, top, True),
        )
        for i, wall in enumerate(building.walls)
    )
    plan = building.plan_m
    along2 = max(building.walls, key=lambda wall: wall.length_m).along
    along, normal = np.array([*along2, 0.0]), np.array([0.0, 0.0, 1.0])
    up = np.cross(normal, along)
    flat = plan @ np.stack([along[:2], up[:2]], axis=1)
    corner = flat.min(axis=0)
    origin = corner[0] * along + corner[1] * up + (building.base_m + top) * normal
    edges = tuple(SlopeEdge(EdgeKind.EAVES, None, i, 180.0) for i in range(count))
    slope = Slope(0, "1", normal, origin, along, up, 0.0, flat - corner, (), edges)
    mass = Mass(0, (0,), plan, tuple(MassSide(SideKind.OUTER, i, None) for i in range(count)))
    return Structure(walls, (slope,), (mass,), building.base_m, building.findings)


def is_plain_box(structure: Structure) -> bool:
    """Say whether a structure is one loop of rectangular walls of one height under one level roof."""
    if len(structure.masses) != 1 or len(structure.slopes) != 1 or structure.masses[0].holes_m:
        return False
    if any(wall.openings or len(wall.outline_m) != 4 for wall in structure.walls):
        return False
    tops = [float(v) for wall in structure.walls for v in wall.outline_m[2:, 1]]
    feet = [float(v) for wall in structure.walls for v in wall.outline_m[:2, 1]]
    return len(structure.masses[0].sides) == len(structure.walls) and np.ptp(tops) < 1e-6 and max(feet) < 1e-6


def building_from_structure(structure: Structure) -> Building:
    """Return a plain box as a building.

    Parameters
    ----------
    structure : Structure
        For which `is_plain_box` holds.

    Returns
    -------
    Building

    Raises
    ------
    ValueError
        If it is anything else.
    """
    if not is_plain_box(structure):
        raise ValueError("the structure is no plain box")
    plan = np.array([wall.start_m for wall in structure.walls])
    top = float(structure.walls[0].outline_m[2, 1])
    return building_from_plan(plan, structure.base_m, top, structure.findings)
