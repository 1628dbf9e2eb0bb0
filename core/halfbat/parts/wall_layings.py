"""The bricks of every wall before anything is let into it, in one bond round the building."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import FaceOfWall
from halfbat.building.wall import Wall
from halfbat.settings import Settings
from halfbat.surfaces import Coursing, Laying, lay_wall, set_courses
from halfbat.surfaces import End as Stop
from halfbat.surfaces.chosen import chosen_bond, chosen_format
from halfbat.surfaces.phases import WallBond, phases_round
from halfbat.units import Scale

Array = NDArray[np.float64]
LEAST_COURSE_MM = 0.1


@dataclass(frozen=True, slots=True, eq=False)
class WallLayings:
    """Bricks of some walls, without openings.

    Parameters
    ----------
    coursing : Coursing
        Courses of the building.
    bonds : dict of int to WallBond
        How the bond meets the ends of each wall, by its index.
    layings : tuple of Laying
        Of each wall, in the order they were given.
    """

    coursing: Coursing
    bonds: dict[int, WallBond]
    layings: tuple[Laying, ...]


def lay_walls(
    walls: Sequence[FaceOfWall],
    outlines_mm: Mapping[int, Array],
    eaves_m: float,
    settings: Settings,
    scale: Scale,
) -> WallLayings:
    """Lay walls in one bond.

    Parameters
    ----------
    walls : sequence of FaceOfWall
        As measured on the mesh.
    outlines_mm : mapping of int to ndarray (K, 2)
        Outline of the face of each of them in its own frame, model size.
    eaves_m : float
        Height of most walls, to which the courses are set out.
    settings, scale
        What the maker chose, and how small.

    Raises
    ------
    KitError
        The walls are too low for a course, or the bond does not suit the brick.
    """
    brick, bond = chosen_format(settings.brick), chosen_bond(settings.brick)
    coursing = set_courses(scale.to_mm(eaves_m), bond, brick, scale, top_course=settings.brick.top_course)
    bonds = _bonds(walls, settings, scale)
    return WallLayings(coursing, bonds, tuple(_layings(walls, outlines_mm, coursing, bonds, settings, scale)))


def _layings(
    walls: Sequence[FaceOfWall],
    outlines_mm: Mapping[int, Array],
    coursing: Coursing,
    bonds: Mapping[int, WallBond],
    settings: Settings,
    scale: Scale,
) -> list[Laying]:
    brick, bond = chosen_format(settings.brick), chosen_bond(settings.brick)
    limit_m = settings.brick.perpend_limit_mm / 1000
    return [
        lay_wall(
            float(outlines_mm[wall.index][:, 0].max()),
            _coursing_to(coursing, float(outlines_mm[wall.index][:, 1].max())),
            bond,
            brick,
            scale,
            bonds[wall.index].start_phase,
            end_phase=bonds[wall.index].end_phase,
            perpend_limit_m=limit_m,
            ends=bonds[wall.index].ends,
            where=f"wall {wall.letter}",
        )
        for wall in walls
    ]


def _coursing_to(coursing: Coursing, height_mm: float) -> Coursing:
    """Carry the courses of the building up, or stop them, at another height."""
    if abs(height_mm - coursing.height_mm) < 1e-6:
        return coursing
    gauge, beds = coursing.gauge_mm, coursing.bed_v_mm
    count = max(1, int(np.ceil((height_mm - LEAST_COURSE_MM) / gauge)))
    more = beds[-1] + gauge * np.arange(1, max(0, count - len(beds)) + 1)
    return replace(coursing, bed_v_mm=np.concatenate([beds, more])[:count], height_mm=height_mm, findings=())


def _bonds(walls: Sequence[FaceOfWall], settings: Settings, scale: Scale) -> dict[int, WallBond]:
    """Take the bond round every closed ring of walls; other walls stand by themselves."""
    brick, bond = chosen_format(settings.brick), chosen_bond(settings.brick)
    found: dict[int, WallBond] = {}
    for ring in _rings(walls):
        own = phases_round(
            [_as_wall(wall) for wall in ring],
            bond,
            brick,
            scale,
            perpend_limit_m=settings.brick.perpend_limit_mm / 1000,
            first_quoin=settings.brick.first_quoin % len(ring) if found else settings.brick.first_quoin,
        )
        found |= {wall.index: one for wall, one in zip(ring, own, strict=True)}
    for wall in walls:
        ends = (Stop.STOPPED, Stop.STOPPED)
        found.setdefault(wall.index, WallBond(0, 0, ends))
    return found


def _rings(walls: Sequence[FaceOfWall]) -> list[list[FaceOfWall]]:
    """Rings of walls that meet corner to corner."""
    by_index = {wall.index: wall for wall in walls}
    rings: list[list[FaceOfWall]] = []
    seen: set[int] = set()
    for first in walls:
        ring, here = [first], first
        while here.right is not None and here.right.wall in by_index.keys() - {wall.index for wall in ring}:
            here = by_index[here.right.wall]
            ring.append(here)
        closed = here.right is not None and here.right.wall == first.index and len(ring) > 2
        if closed and not seen & {wall.index for wall in ring}:
            rings.append(ring)
            seen |= {wall.index for wall in ring}
    return rings


def _as_wall(wall: FaceOfWall) -> Wall:
    corner = wall.right.corner_deg if wall.right else 180.0
    height = float(wall.outline_m[:, 1].max())
    return Wall(wall.index, wall.letter, wall.start_m, wall.end_m, wall.base_m, wall.length_m, height, corner)
