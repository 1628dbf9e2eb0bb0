"""What each wall of a kit is made to: bricks laid, seams planned, thickness, corners and openings settled.

Full size becomes model size here and in `roofs`, once.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import FaceOfWall, Structure
from halfbat.errors import KitError
from halfbat.findings import Finding, Severity
from halfbat.parts.bent_seams import cut_requests
from halfbat.parts.corners import NEARLY_STRAIGHT_DEG, SHARPEST_DEG, End
from halfbat.parts.held_pieces import held_cells
from halfbat.parts.parted_cells import parted_cells
from halfbat.parts.seams import CutRequest, PanelLimits, SeamRules, SeamStyle, WallRun, WallSeams, plan_seams
from halfbat.parts.skins import Facing
from halfbat.parts.thin_heads import thin_heads
from halfbat.parts.wall_covers import CoverPlace, cover_places, kept_for_covers, told_of_covers, widest_cover
from halfbat.parts.wall_ends import ends_without_seams, wall_ends, widest_ends
from halfbat.parts.wall_face import NoBackLeft, wall_face
from halfbat.parts.wall_features import DressedWall, dress_walls, proud_ends
from halfbat.parts.wall_layings import lay_walls
from halfbat.parts.wall_letters import check_letters
from halfbat.parts.wall_openings import BRICKS_BESIDE, check_clear, lay_round_openings, seamless_boxes
from halfbat.settings import Settings
from halfbat.surfaces import Coursing, Lattice, Laying
from halfbat.surfaces.chosen import chosen_format, length_in_bricks_m
from halfbat.surfaces.joints import Joints, part_steps_mm, snapped_joints
from halfbat.surfaces.opening_units import OpeningUnits
from halfbat.surfaces.remnants import extents
from halfbat.units import Scale

Array = NDArray[np.float64]

NEARER_BRICKS = (1.0, 0.5)
"""How near to openings seams come where there is no room further off."""
BASE_BY_LONGEST_SIDE_MM = ((50.0, 1.0), (100.0, 1.2), (float("inf"), 1.5))
"""Longest side of a panel and the base it needs to stay flat: making notes, section 1 (common practice)."""
LEAST_TOLD_MM2 = 0.5
"""Less of a wall's face may be left out without a word."""
RELIEF_SHARE = 0.15
"""Of the base: relief on one face that takes more bends a panel (making notes, section 1, common practice)."""


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


def base_thickness_mm(longest_side_mm: float, settings: Settings, joint_depth_mm: float = 0.0) -> float:
    """Thickness of a skin behind its joints, in whole layers.

    Parameters
    ----------
    longest_side_mm : float
        Of the largest panel of the wall.
    settings : Settings
        A thickness asked for, and the layer.
    joint_depth_mm : float
        Joints take no larger share of the base than `RELIEF_SHARE`.
    """
    by_side = next(base for longest, base in BASE_BY_LONGEST_SIDE_MM if longest_side_mm <= longest + 1e-6)
    wanted = settings.skin.base_thickness_mm or max(by_side, joint_depth_mm / RELIEF_SHARE)
    layer = part_steps_mm(settings.resin)[2]
    return float(np.ceil(wanted / layer - 1e-6) * layer)


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
    check_letters([wall.letter for wall in kept], settings)
    whole = layings
    pairs = [
        lay_round_openings(wall, laying, bonds[wall.index], joints, settings, scale)
        for wall, laying in zip(kept, layings, strict=True)
    ]
    openings, layings = [pair[0] for pair in pairs], [pair[1] for pair in pairs]
    dressed = dress_walls(kept, outlines_mm, whole, bonds, openings, joints, settings, scale)
    seams = _seams(kept, outlines_mm, layings, openings, dressed, joints, settings, scale)
    bases = _bases(kept, seams, joints, settings)
    ends = wall_ends(kept, [base + joints.depth_mm for base in bases], joints, settings, scale)
    walls = []
    for wall, laying, base, own, holes in zip(kept, layings, bases, seams, openings, strict=True):
        left, right = ends[wall.index]
        proud = proud_ends(wall, dressed, (left, right), joints.depth_mm)
        least_mm = settings.resin.min_wall_mm
        try:
            face = wall_face(
                outlines_mm[wall.index], left, right, base + joints.depth_mm, f"wall {wall.letter}", proud, least_mm
            )
        except NoBackLeft:
            if len(kept) == 1:
                raise
            # It stays bare, and the skins beside it end as they do beside any bare wall.
            rest = {index: outline for index, outline in outlines_mm.items() if index != wall.index}
            return plan_walls(structure, rest, eaves_m, settings, scale)
        foot = np.array([*wall.start_m, structure.base_m]) * scale.mm_per_m
        name, over = f"wall {wall.letter}", dressed.get(wall.index, DressedWall((), laying))
        heads, head_mm2 = thin_heads(holes, face.outline_mm, least_mm)
        facing = Facing(
            name,
            over.laying,
            joints,
            base,
            face,
            left,
            right,
            foot,
            wall.along,
            wall.outward,
            holes,
            over.dressings,
            tuple(heads),
        )
        check_clear(facing)
        size, top = (laying.length_mm, laying.height_mm), _top_of(outlines_mm[wall.index])
        covers = cover_places(wall.letter, size, own.cuts, holes, settings, scale, top)
        panels, thin_mm2 = held_cells(parted_cells(own.panels, face.outline_mm), face.outline_mm, least_mm)
        facing = replace(facing, face=replace(face, lost_mm2=face.lost_mm2 + thin_mm2 + head_mm2))
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


def _bases(walls: Sequence[FaceOfWall], seams: Sequence[WallSeams], joints: Joints, settings: Settings) -> list[float]:
    """Thickness of each wall's skins; walls that meet nearly straight have one, so that the shell needs no step."""
    bases = {
        wall.index: base_thickness_mm(
            max(max(p.bounds[2] - p.bounds[0], p.bounds[3] - p.bounds[1]) for p in own.panels),
            settings,
            joints.depth_mm,
        )
        for wall, own in zip(walls, seams, strict=True)
    }
    # Twice round each way hands the thickest on wherever it stands.
    twice = [*walls, *walls]
    for wall in (*twice, *reversed(twice)):
        after = wall.right
        if after is not None and after.wall in bases and abs(after.corner_deg - 180.0) < NEARLY_STRAIGHT_DEG:
            bases[wall.index] = bases[after.wall] = max(bases[wall.index], bases[after.wall])
    return [bases[wall.index] for wall in walls]


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


def _seams(
    walls: Sequence[FaceOfWall],
    outlines_mm: dict[int, Array],
    layings: list[Laying],
    openings: list[tuple[OpeningUnits, ...]],
    dressed: dict[int, DressedWall],
    joints: Joints,
    settings: Settings,
    scale: Scale,
) -> list[WallSeams]:
    module_mm = scale.to_mm(chosen_format(settings.brick).stretcher_module_m)
    step_x, step_y, _ = part_steps_mm(settings.resin)
    limits = PanelLimits(
        min(settings.resin.part_room_mm[0], settings.seam.panel_limit_mm),
        min(settings.resin.part_room_mm[1], settings.seam.panel_limit_mm),
    )
    cover = widest_cover(settings, scale)
    limits = replace(limits, least_mm=max(limits.least_mm, 2 * cover.half_mm + settings.seam.gap_mm))
    rules = SeamRules((SeamStyle(settings.seam.hide),), settings.seam.gap_mm, settings.seam.cover_width_mm)
    # Thicknesses follow from the panels, so seams are planned for the thickest and the thinnest there may be.
    thin, thick = (base_thickness_mm(side, settings, joints.depth_mm) + joints.depth_mm for side in (0.0, float("inf")))
    ends = widest_ends(walls, (thin, thick), joints, settings, scale)
    planned = []
    for wall, laying, holes in zip(walls, layings, openings, strict=True):
        run = WallRun(
            f"wall {wall.letter}",
            laying,
            module_mm,
            joints.perpend_mm,
            Lattice(0.0, step_x),
            # Panels as high as the wall have their pixels counted from its middle.
            Lattice(laying.height_mm / 2, step_y),
            left_extra_mm=-min(end.outermost_mm for end in ends[wall.index][0]),
            right_extra_mm=-min(end.outermost_mm for end in ends[wall.index][1]),
            piers_mm=dressed[wall.index].piers_mm if wall.index in dressed else (),
            outline_mm=outlines_mm[wall.index],
            thin_mm=settings.resin.min_wall_mm,
        )
        requests = list(cut_requests(wall.letter, run, settings, scale, _top_of(outlines_mm[wall.index])))
        kept = [
            (_mm(span.start, settings, scale), _mm(span.end, settings, scale))
            for span in settings.no_seams
            if span.wall == wall.letter
        ]
        kept += ends_without_seams(wall, ends[wall.index], laying.length_mm, settings, cover)
        kept += kept_for_covers(wall.letter, settings, scale, _top_of(outlines_mm[wall.index]))
        kept += dressed[wall.index].seamless if wall.index in dressed else []
        planned.append(_planned(run, limits, rules, requests, kept, holes))
    return planned


def _planned(
    run: WallRun,
    limits: PanelLimits,
    rules: SeamRules,
    requests: Sequence[CutRequest],
    kept: Sequence[tuple[float, float]],
    openings: Sequence[OpeningUnits],
) -> WallSeams:
    """Seams of a wall; nearer to its openings where there is no other room, unless the maker chose where they are."""
    refused = None
    for bricks in (BRICKS_BESIDE, *([] if requests or not openings else NEARER_BRICKS)):
        try:
            seams = plan_seams(run, limits, rules, requests, kept, seamless_boxes(openings, run.module_mm, bricks))
        except KitError as refusal:
            refused = refused or refusal
            continue
        if refused is None:
            return seams
        text = f"openings leave no room for seams {BRICKS_BESIDE:g} bricks from them: they stand {bricks:g} from them"
        note = Finding(Severity.NOTE, "seam-near-opening", run.where, text, "use a printer with more room")
        return replace(seams, findings=(*seams.findings, note))
    assert refused is not None
    raise refused


def _mm(length: str, settings: Settings, scale: Scale) -> float:
    return scale.to_mm(length_in_bricks_m(length, settings.brick))


def _top_of(outline_mm: Array) -> Callable[[float], float]:
    """Return what tells the height of a wall at a place along it; beside the wall, that of its nearer end."""
    low, high = float(outline_mm[:, 0].min()), float(outline_mm[:, 0].max())
    return lambda at: float(extents(outline_mm, np.array([min(max(at, low), high)]), axis=0)[1][0])
