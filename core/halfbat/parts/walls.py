"""What each wall of a kit is made to: bricks laid, seams planned, thickness, corners and openings settled.

Full size becomes model size here and in `roofs`, once.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import FaceOfWall, Structure
from halfbat.findings import Finding, Severity
from halfbat.parts.bases import bases_of_walls
from halfbat.parts.cells import PanelCell
from halfbat.parts.corners import SHARPEST_DEG, End
from halfbat.parts.eaves_falls import eaves_falls
from halfbat.parts.held_pieces import held_cells
from halfbat.parts.parted_cells import parted_cells
from halfbat.parts.seams import WallSeams
from halfbat.parts.skins import Facing
from halfbat.parts.thin_heads import thin_heads
from halfbat.parts.wall_covers import CoverPlace, cover_places, told_of_covers
from halfbat.parts.wall_ends import wall_ends
from halfbat.parts.wall_face import NoBackLeft, wall_face
from halfbat.parts.wall_features import DressedWall, dress_walls, proud_ends
from halfbat.parts.wall_layings import lay_walls
from halfbat.parts.wall_letters import check_letters
from halfbat.parts.wall_openings import check_clear, lay_round_openings
from halfbat.parts.wall_seams import seams_of_walls, top_of
from halfbat.settings import Settings
from halfbat.solids.plate import ProudEnd
from halfbat.surfaces import Coursing
from halfbat.surfaces.joints import Joints, snapped_joints
from halfbat.surfaces.opening_units import OpeningUnits
from halfbat.units import Scale

Array = NDArray[np.float64]

LEAST_TOLD_MM2 = 0.5
"""Less of a wall's face may be left out without a word."""


@dataclass(frozen=True, slots=True, eq=False)
class WallPlan:
    """One wall, settled.

    Parameters
    ----------
    wall : FaceOfWall
        As measured on the mesh.
    facing : Facing
        Bricks, joints, thickness and corners.
    seams : WallSeams
        Cuts and panels.
    covers : tuple of CoverPlace
        Cable runs and downpipes, from left to right.
    """

    wall: FaceOfWall
    facing: Facing
    seams: WallSeams
    covers: tuple[CoverPlace, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class PlannedWalls:
    """All walls of a kit, settled.

    Parameters
    ----------
    walls : tuple of WallPlan
        Those that get skins, in the order of the building.
    coursing : Coursing
        Courses of the building.
    joints : Joints
        Joints of the building.
    findings : tuple of Finding
        What there is to tell.
    """

    walls: tuple[WallPlan, ...]
    coursing: Coursing
    joints: Joints
    findings: tuple[Finding, ...]

    @property
    def skins_mm(self) -> dict[int, float]:
        """Whole thickness of the skin of each wall."""
        return {plan.wall.index: plan.facing.depth_mm for plan in self.walls}


def plan_walls(
    structure: Structure, outlines_mm: dict[int, Array], eaves_m: float, settings: Settings, scale: Scale
) -> PlannedWalls:
    """Settle every wall of a building.

    Parameters
    ----------
    structure : Structure
        Walls, metres.
    outlines_mm : dict of int to ndarray (K, 2)
        Outline of the face of each wall that gets a skin in its own frame, model size, below the skins of the roof; one
        too narrow for a skin between its corners stays bare.
    eaves_m : float
        Height of most walls, to which the courses are set out.
    settings : Settings
        What the maker chose.
    scale : Scale
        How small.

    Raises
    ------
    KitError
        A wall cannot be laid, cut or given skins; the sentence says which.
    """
    kept = [wall for wall in structure.walls if wall.index in outlines_mm]
    laid = lay_walls(kept, outlines_mm, eaves_m, settings, scale)
    coursing, bonds, layings = laid.coursing, laid.bonds, list(laid.layings)
    joints = snapped_joints(
        scale,
        settings.resin,
        width_mm=settings.brick.joint_width_mm,
        depth_mm=settings.brick.joint_depth_mm,
        course_mm=coursing.gauge_mm,
    )
    bare_walls = [wall.letter for wall in structure.walls if wall.index not in outlines_mm]
    check_letters([wall.letter for wall in kept], settings, bare_walls)
    whole = layings
    pairs = [
        lay_round_openings(wall, laying, bonds[wall.index], joints, settings, scale)
        for wall, laying in zip(kept, layings, strict=True)
    ]
    openings, layings = [pair[0] for pair in pairs], [pair[1] for pair in pairs]
    falls = eaves_falls(structure, settings)
    dressed = dress_walls(kept, outlines_mm, whole, bonds, openings, joints, settings, scale, falls)
    seams = seams_of_walls(kept, outlines_mm, layings, openings, dressed, joints, settings, scale)
    bases = bases_of_walls(kept, seams, joints, settings)
    ends = wall_ends(kept, [base + joints.depth_mm for base in bases], joints, settings, scale)
    walls = []
    for wall, laying, base, own, holes in zip(kept, layings, bases, seams, openings, strict=True):
        over = dressed.get(wall.index, DressedWall((), laying))
        foot = np.array([*wall.start_m, structure.base_m]) * scale.mm_per_m
        proud = proud_ends(wall, dressed, ends[wall.index], joints.depth_mm)
        settled = _Settled(wall, outlines_mm[wall.index], over, ends[wall.index], proud, base, foot)
        try:
            facing, panels = _faced(settled, holes, own, joints, settings)
        except NoBackLeft:
            if len(kept) == 1:
                raise
            # It stays bare, and the skins beside it end as they do beside any bare wall.
            rest = {index: outline for index, outline in outlines_mm.items() if index != wall.index}
            return plan_walls(structure, rest, eaves_m, settings, scale)
        size, top = (laying.length_mm, laying.height_mm), top_of(settled.outline_mm)
        covers = cover_places(wall.letter, size, own.cuts, holes, settings, scale, top)
        walls.append(WallPlan(wall, facing, replace(own, panels=panels), covers))
    findings = (
        *structure.findings,
        *coursing.findings,
        *joints.findings,
        *(finding for laying in layings for finding in laying.findings),
        *(finding for own in seams for finding in own.findings),
        *(finding for own in openings for opening in own for finding in opening.findings),
        *(finding for over in dressed.values() for own in over.dressings for finding in own.findings),
        *told_of_covers([place for plan in walls for place in plan.covers], settings, scale),
        *(told for plan in walls for told in left_out(plan.facing.where, plan.facing.face.lost_mm2, settings)),
        *_thin(min(bases, default=np.inf), settings),
        *(told for wall in kept for told in _sharp(wall, structure, ends)),
    )
    return PlannedWalls(tuple(walls), coursing, joints, findings)


@dataclass(frozen=True, slots=True, eq=False)
class _Settled:
    """What a wall's facing is made from."""

    wall: FaceOfWall
    outline_mm: Array
    dressed: DressedWall
    ends: tuple[End, End]
    proud: tuple[tuple[ProudEnd, ...], tuple[ProudEnd, ...]]
    base_mm: float
    foot_mm: Array


def _faced(
    settled: _Settled, holes: tuple[OpeningUnits, ...], seams: WallSeams, joints: Joints, settings: Settings
) -> tuple[Facing, tuple[PanelCell, ...]]:
    """The facing of a wall and its panels, without what is too narrow to hold."""
    (left, right), least_mm = settled.ends, settings.resin.min_wall_mm
    name, depth_mm = f"wall {settled.wall.letter}", settled.base_mm + joints.depth_mm
    face = wall_face(settled.outline_mm, left, right, depth_mm, name, settled.proud, least_mm)
    heads, head_mm2 = thin_heads(holes, face.outline_mm, least_mm)
    panels, thin_mm2 = held_cells(parted_cells(seams.panels, face.outline_mm), face.outline_mm, least_mm)
    facing = Facing(
        name,
        settled.dressed.laying,
        joints,
        settled.base_mm,
        replace(face, lost_mm2=face.lost_mm2 + thin_mm2 + head_mm2),
        left,
        right,
        settled.foot_mm,
        settled.wall.along,
        settled.wall.outward,
        holes,
        settled.dressed.dressings,
        tuple(heads),
    )
    check_clear(facing)
    return facing, panels


def left_out(where: str, lost_mm2: float, settings: Settings) -> tuple[Finding, ...]:
    """Tell what of a wall or slope is too narrow for its skin."""
    if lost_mm2 < LEAST_TOLD_MM2:
        return ()
    least = settings.resin.min_wall_mm
    text = f"{lost_mm2:.1f} mm2 of it are narrower than the {least:g} mm that hold, and are left out of its skin"
    remedy = "paint the shell there, or choose a larger scale"
    return (Finding(Severity.WARNING, "strip-left-out", where, text, remedy),)


def _sharp(wall: FaceOfWall, structure: Structure, ends: dict[int, tuple[End, End]]) -> tuple[Finding, ...]:
    corner = wall.right
    if corner is None or corner.wall not in ends or corner.corner_deg >= SHARPEST_DEG:
        return ()
    bare_mm = max(ends[wall.index][1].face_mm, ends[corner.wall][0].face_mm)
    name = f"the corner of walls {wall.letter} and {structure.walls[corner.wall].letter}"
    text = f"{corner.corner_deg:.0f} degrees are too sharp for skins to meet, which end up to {bare_mm:.1f} mm from it"
    remedy = f"paint the shell there, or make it {SHARPEST_DEG:g} degrees or more"
    return (Finding(Severity.WARNING, "corner-bare", name, text, remedy),)


def _thin(base_mm: float, settings: Settings) -> tuple[Finding, ...]:
    least = settings.resin.min_wall_mm
    if base_mm >= least - 1e-6:
        return ()
    text = f"skins are {base_mm:.2f} mm thick behind their joints, less than the {least:g} mm that hold"
    return (Finding(Severity.WARNING, "skin-thin", "", text, f"make skin.base_thickness_mm {least:g} or more"),)
