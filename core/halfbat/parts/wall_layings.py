"""The bricks of every wall before anything is let into it, in one bond round the building."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import FaceOfWall
from halfbat.parts.bonded_walls import BondedWall, bonded_walls
from halfbat.settings import Settings
from halfbat.surfaces import Coursing, Laying, lay_wall, set_courses
from halfbat.surfaces.chosen import chosen_bond, chosen_format
from halfbat.surfaces.stretches import Stretch, lay_stretches
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
    bonds : dict of int to BondedWall
        How the bond runs over each wall, by its index.
    layings : tuple of Laying
        Of each wall, in the order they were given.
    """

    coursing: Coursing
    bonds: dict[int, BondedWall]
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
    own = [_coursing_to(coursing, float(outlines_mm[wall.index][:, 1].max())) for wall in walls]
    middles = [(one.bed_v_mm + np.append(one.bed_v_mm[1:], one.height_mm)) / 2 for one in own]
    bonds = bonded_walls(walls, outlines_mm, middles, settings, scale)
    layings = tuple(
        _laying(wall, bonds[wall.index], float(outlines_mm[wall.index][:, 0].max()), courses, settings, scale)
        for wall, courses in zip(walls, own, strict=True)
    )
    return WallLayings(coursing, bonds, layings)


def _laying(
    wall: FaceOfWall, bonded: BondedWall, length_mm: float, coursing: Coursing, settings: Settings, scale: Scale
) -> Laying:
    brick, bond = chosen_format(settings.brick), chosen_bond(settings.brick)

    def lay(stretch: Stretch) -> Laying:
        return lay_wall(
            stretch.length_mm,
            coursing,
            bond,
            brick,
            scale,
            stretch.phases[0],
            end_phase=stretch.phases[1],
            perpend_limit_m=settings.brick.perpend_limit_mm / 1000,
            ends=stretch.ends,
            where=f"wall {wall.letter}",
        )

    return lay_stretches(length_mm, bonded.courses, lay)


def _coursing_to(coursing: Coursing, height_mm: float) -> Coursing:
    """Carry the courses of the building up, or stop them, at another height."""
    if abs(height_mm - coursing.height_mm) < 1e-6:
        return coursing
    gauge, beds = coursing.gauge_mm, coursing.bed_v_mm
    count = max(1, int(np.ceil((height_mm - LEAST_COURSE_MM) / gauge)))
    more = beds[-1] + gauge * np.arange(1, max(0, count - len(beds)) + 1)
    return replace(coursing, bed_v_mm=np.concatenate([beds, more])[:count], height_mm=height_mm, findings=())
