"""What each wall of a kit is made to: bricks laid, seams planned, thickness and corners settled.

Full size becomes model size here, once.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfbat.building import Building, Wall
from halfbat.errors import KitError
from halfbat.findings import Finding
from halfbat.parts.corners import LAND_BELOW_JOINT_MM, End, Fits, corner_ends
from halfbat.parts.seams import (
    CutRequest,
    PanelLimits,
    SeamRules,
    SeamStyle,
    WallRun,
    WallSeams,
    plan_seams,
)
from halfbat.parts.shell import Stack
from halfbat.parts.skins import Facing
from halfbat.settings import Settings
from halfbat.surfaces import Coursing, Lattice, Laying, lay_wall, set_courses
from halfbat.surfaces.chosen import chosen_bond, chosen_format, length_in_bricks_m
from halfbat.surfaces.joints import Joints, part_steps_mm, snapped_joints
from halfbat.surfaces.phases import phases_round
from halfbat.units import Scale

Array = NDArray[np.float64]

BASE_BY_LONGEST_SIDE_MM = ((50.0, 1.0), (100.0, 1.2), (float("inf"), 1.5))
"""Longest side of a panel and the base it needs to stay flat: making notes, section 1 (common practice)."""


@dataclass(frozen=True, slots=True, eq=False)
class WallPlan:
    """One wall, settled.

    Parameters
    ----------
    wall : Wall
        As measured on the mesh.
    facing : Facing
        Bricks, joints, thickness and corners.
    seams : WallSeams
        Cuts and panels.
    """

    wall: Wall
    facing: Facing
    seams: WallSeams


@dataclass(frozen=True, slots=True, eq=False)
class Plan:
    """All walls of a kit, settled.

    Parameters
    ----------
    walls : tuple of WallPlan
        In the order of the building.
    stack : Stack
        Faces and skins, for the shell and the lid.
    coursing : Coursing
        Courses of the building.
    joints : Joints
        Joints of the building.
    findings : tuple of Finding
        What there is to tell.
    """

    walls: tuple[WallPlan, ...]
    stack: Stack
    coursing: Coursing
    joints: Joints
    findings: tuple[Finding, ...]


def base_thickness_mm(longest_side_mm: float, settings: Settings) -> float:
    """Thickness of a skin behind its joints, in whole layers.

    Parameters
    ----------
    longest_side_mm : float
        Of the largest panel of the wall.
    settings : Settings
        A thickness asked for, and the layer.
    """
    wanted = settings.skin.base_thickness_mm or next(
        base for longest, base in BASE_BY_LONGEST_SIDE_MM if longest_side_mm <= longest + 1e-6
    )
    layer = part_steps_mm(settings.resin)[2]
    return float(np.ceil(wanted / layer - 1e-6) * layer)


def plan_walls(building: Building, settings: Settings, scale: Scale) -> Plan:
    """Settle every wall of a building.

    Parameters
    ----------
    building : Building
        Walls in one loop, metres.
    settings : Settings
        What the maker chose.
    scale : Scale
        How small.

    Raises
    ------
    KitError
        A wall cannot be laid, cut or given skins; the sentence says which.
    """
    brick, bond = chosen_format(settings.brick), chosen_bond(settings.brick)
    coursing = set_courses(scale.to_mm(building.height_m), bond, brick, scale, top_course=settings.brick.top_course)
    joints = snapped_joints(
        scale,
        settings.resin,
        width_mm=settings.brick.joint_width_mm,
        depth_mm=settings.brick.joint_depth_mm,
        course_mm=coursing.gauge_mm,
    )
    limit_m = settings.brick.perpend_limit_mm / 1000
    bonds = phases_round(
        building.walls, bond, brick, scale, perpend_limit_m=limit_m, first_quoin=settings.brick.first_quoin
    )
    layings = [
        lay_wall(
            scale.to_mm(wall.length_m),
            coursing,
            bond,
            brick,
            scale,
            own.start_phase,
            end_phase=own.end_phase,
            perpend_limit_m=limit_m,
            ends=own.ends,
            where=f"wall {wall.letter}",
        )
        for wall, own in zip(building.walls, bonds, strict=True)
    ]
    module_mm = scale.to_mm(brick.stretcher_module_m)
    seams = _seams(building, layings, joints, module_mm, settings, scale)
    bases = [
        base_thickness_mm(max(max(p.bounds[2] - p.bounds[0], p.bounds[3] - p.bounds[1]) for p in own.panels), settings)
        for own in seams
    ]
    ends = _corners(building, [base + joints.depth_mm for base in bases], joints, settings)
    walls = tuple(
        WallPlan(wall, _facing(building, wall, laying, joints, base, ends[wall.index], scale), own)
        for wall, laying, base, own in zip(building.walls, layings, bases, seams, strict=True)
    )
    findings = (
        *building.findings,
        *coursing.findings,
        *joints.findings,
        *(finding for laying in layings for finding in laying.findings),
        *(finding for own in seams for finding in own.findings),
    )
    stack = Stack(
        building.plan_m * scale.mm_per_m,
        np.array([plan.facing.depth_mm for plan in walls]),
        scale.to_mm(building.base_m),
        scale.to_mm(building.height_m),
    )
    return Plan(walls, stack, coursing, joints, findings)


def _facing(
    building: Building, wall: Wall, laying: Laying, joints: Joints, base_mm: float, ends: tuple[End, End], scale: Scale
) -> Facing:
    foot = np.array([*wall.start_m, building.base_m]) * scale.mm_per_m
    return Facing(f"wall {wall.letter}", laying, joints, base_mm, ends[0], ends[1], foot, wall.along, wall.outward)


def _corners(building: Building, depths_mm: list[float], joints: Joints, settings: Settings) -> list[tuple[End, End]]:
    """Left and right end of each wall."""
    land = max(settings.skin.corner_land_mm, joints.depth_mm + LAND_BELOW_JOINT_MM)
    fits = Fits(land, settings.skin.corner_gap_mm, settings.skin.back_relief_mm)
    count = len(building.walls)
    lefts: dict[int, End] = {}
    rights: dict[int, End] = {}
    for wall in building.walls:
        after = (wall.index + 1) % count
        where = f"the corner of walls {wall.letter} and {building.walls[after].letter}"
        depths = depths_mm[wall.index], depths_mm[after]
        rights[wall.index], lefts[after] = corner_ends(wall.corner_deg, depths, fits, where)
    return [(lefts[index], rights[index]) for index in range(count)]


def _seams(
    building: Building, layings: list[Laying], joints: Joints, module_mm: float, settings: Settings, scale: Scale
) -> list[WallSeams]:
    letters = {wall.letter: wall.index for wall in building.walls}
    for letter in [*(seam.wall for seam in settings.seams), *(span.wall for span in settings.no_seams)]:
        if letter not in letters:
            known = ", ".join(letters)
            raise KitError(f"there is no wall {letter!r}", "seams", f"name one of the walls {known}")
    step_x, step_y, _ = part_steps_mm(settings.resin)
    limits = PanelLimits(
        min(settings.resin.part_room_mm[0], settings.seam.panel_limit_mm),
        min(settings.resin.part_room_mm[1], settings.seam.panel_limit_mm),
    )
    rules = SeamRules((SeamStyle(settings.seam.hide),), settings.seam.gap_mm, settings.seam.cover_width_mm)
    deepest = max(base for _, base in BASE_BY_LONGEST_SIDE_MM) if not settings.skin.base_thickness_mm else 0.0
    run_on = max(deepest, settings.skin.base_thickness_mm) + joints.depth_mm
    planned = []
    for wall, laying in zip(building.walls, layings, strict=True):
        run = WallRun(
            f"wall {wall.letter}",
            laying,
            module_mm,
            joints.perpend_mm,
            Lattice(0.0, step_x),
            # Panels as high as the wall have their pixels counted from its middle.
            Lattice(laying.height_mm / 2, step_y),
            right_extra_mm=run_on if wall.corner_deg > 180 else 0.0,
        )
        requests = [
            CutRequest(_mm(asked.at, settings, scale), SeamStyle(asked.hide) if asked.hide else None)
            for asked in settings.seams
            if asked.wall == wall.letter
        ]
        kept = [
            (_mm(span.start, settings, scale), _mm(span.end, settings, scale))
            for span in settings.no_seams
            if span.wall == wall.letter
        ]
        planned.append(plan_seams(run, limits, rules, requests, kept))
    return planned


def _mm(length: str, settings: Settings, scale: Scale) -> float:
    return scale.to_mm(length_in_bricks_m(length, settings.brick))
