"""Seams between panels: covered, not gaping, with the shell behind them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from halfbat.building.rings import inside_rings
from halfbat.findings import Finding, Place, Severity
from halfbat.parts.cover_parts import made_as
from halfbat.parts.cuts import COVERING, Cut
from halfbat.parts.kit_plan import Plan
from halfbat.parts.part import Part
from halfbat.parts.seats import place_between
from halfbat.parts.walls import WallPlan
from halfbat.printing.checks.assembled import Hung, hung, in_building
from halfbat.printing.checks.walls import ray_lengths
from halfbat.printing.rasters import Grid, raster
from halfbat.printing.sections import Array, section
from halfbat.settings import Settings

COVERS_MORE_THAN_GAP_MM = 0.4
BACKING_MM = 3.0
BACKING_REACH_MM = 1.0
EDGE_SHARE = 0.97
_NEAR_MM = 0.25
_ROUNDING_MM = 0.02
_LEVELS = 200
_PROBES = 7


def _beside(cut: Cut, wall: WallPlan, skins: Sequence[Hung]) -> tuple[list[Hung], list[Hung]]:
    """Panels of a wall that end, and those that begin, at a cut."""
    own = [skin for skin in skins if skin.wall is wall]
    left = [skin for skin in own if abs(float(skin.high_mm[0]) - cut.high_mm) < _NEAR_MM]
    right = [skin for skin in own if abs(float(skin.low_mm[0]) - cut.low_mm) < _NEAR_MM]
    return left, right


def _gap_mm(cut: Cut, wall: WallPlan, skins: Sequence[Hung]) -> float | None:
    """Widest gap at a straight cut, or None at a toothed one, whose panels reach past each other."""
    if cut.high_mm - cut.low_mm > 1e-6:
        return None
    left, right = _beside(cut, wall, skins)
    if not left or not right:
        return None
    return max(float(b.low_mm[0]) for b in right) - min(float(a.high_mm[0]) for a in left)


def _width_mm(cover: Hung) -> float:
    """Usual width of a cover between its saddles, measured on its section near the wall."""
    solid = cover.part.solid
    low, high = solid.bounds_mm
    segments = section(solid, float(low[2]) + 0.1 * float(high[2] - low[2]))
    grid = Grid.over(solid.bounds_mm[:, :2], 0.05, 0.02)
    # It lies along X in its print frame.
    across = raster(segments, grid).sum(axis=0) * grid.pitch_mm[1]
    return float(np.median(across[across > 0])) if (across > 0).any() else 0.0


def _covers_of(cut: Cut, wall: WallPlan, covers: Sequence[Hung]) -> list[Hung]:
    return [
        one
        for one in covers
        if one.wall is wall and abs(float(one.low_mm[0] + one.high_mm[0]) / 2 - cut.position_mm) < _NEAR_MM
    ]


def check_covers(parts: Sequence[Part], plan: Plan, _settings: Settings) -> tuple[Finding, ...]:
    """A cover is wider than its seam's gap by 0.4 mm."""
    skins, covers = hung(parts, plan, "skin"), hung(parts, plan, "cover")
    found = []
    for wall in plan.walls:
        for cut in wall.seams.cuts:
            gap = _gap_mm(cut, wall, skins)
            for cover in _covers_of(cut, wall, covers) if gap is not None else ():
                width = _width_mm(cover)
                if gap is not None and width < gap + COVERS_MORE_THAN_GAP_MM - _ROUNDING_MM:
                    text = f"is {width:.2f} mm wide over a seam {gap:.2f} mm wide, and hides it badly"
                    remedy = f"make it at least {gap + COVERS_MORE_THAN_GAP_MM:.2f} mm wide"
                    place = place_between(cover.part.number, cover.part.solid.bounds_mm)
                    found.append(Finding(Severity.WARNING, "cover-narrow", cover.part.number, text, remedy, place))
    return tuple(found)


def check_open_seams(parts: Sequence[Part], plan: Plan, settings: Settings) -> tuple[Finding, ...]:
    """A seam that nothing covers is no wider than a joint, and no seam runs through an opening."""
    skins, covers = hung(parts, plan, "skin"), hung(parts, plan, "cover")
    found = []
    for wall in plan.walls:
        for cut in wall.seams.cuts:
            where, place = f"wall {wall.wall.letter}", _where(cut, wall)
            gap = _gap_mm(cut, wall, skins)
            wired = cut.style in COVERING and made_as(cut.style, settings) == "wire"
            hidden = wired or bool(_covers_of(cut, wall, covers))
            if gap is not None and not hidden and gap > plan.joints.perpend_mm + _ROUNDING_MM:
                text = f"the seam at {cut.position_mm:.1f} mm is {gap:.2f} mm wide, more than a joint, and uncovered"
                remedy = "hide it under a cable run or downpipe, or make the seam gap smaller"
                found.append(Finding(Severity.WARNING, "seam-open", where, text, remedy, place))
            if gap is not None and _edge_share(cut, wall, skins) < EDGE_SHARE:
                text = f"the seam at {cut.position_mm:.1f} mm runs through an opening"
                found.append(Finding(Severity.WARNING, "seam-opening", where, text, "move the seam", place))
    return tuple(found)


def _edge_share(cut: Cut, wall: WallPlan, skins: Sequence[Hung]) -> float:
    """Share of a straight seam's height at which both panels really are."""
    least = 1.0
    for side, panels in enumerate(_beside(cut, wall, skins)):
        for panel in panels:
            solid = panel.part.solid
            low, high = solid.bounds_mm
            # A skin lies with the wall's right along X.
            edge = float(high[0]) if side == 0 else float(low[0])
            # Behind the joints, since a pier may stand on a panel's edge.
            base = panel.part.relief_mm[0] if panel.part.relief_mm else float(high[2] - low[2])
            x0, y0, x1, y1 = section(solid, float(low[2]) + 0.6 * base).T
            on = (np.abs(x0 - edge) < 0.01) & (np.abs(x1 - edge) < 0.01)
            walled = _walled_mm(cut, wall, float(panel.low_mm[1]), float(panel.high_mm[1]))
            if walled > _ROUNDING_MM:
                least = min(least, float(np.abs(y1 - y0)[on].sum() / walled))
    return least


def _walled_mm(cut: Cut, wall: WallPlan, low: float, high: float) -> float:
    """Over how much of a stretch of height there is a wall at a cut: none where a porch stands before it."""
    levels = low + (high - low) * (np.arange(_LEVELS) + 0.5) / _LEVELS
    spots = np.column_stack([np.full(_LEVELS, cut.position_mm), levels])
    return float((high - low) * np.mean(inside_rings([wall.facing.face.outline_mm], spots)))


def check_backing(parts: Sequence[Part], plan: Plan, settings: Settings) -> tuple[Finding, ...]:
    """Behind each seam stands the shell, 3 mm to either side and all the way up."""
    bodies = [in_building(part) for part in parts if part.kind == "shell"]
    if not bodies or not any(wall.seams.cuts for wall in plan.walls):
        return ()
    low = min(float(body.bounds_mm[0, 2]) for body in bodies) + settings.shell.ledge_height_mm
    high = max(float(body.bounds_mm[1, 2]) for body in bodies)
    found = []
    levels = [low + (high - low) * (k + 0.5) / _PROBES for k in range(_PROBES)]
    sections = [(level, np.concatenate([section(body, level) for body in bodies])) for level in levels]
    for wall in plan.walls:
        for cut in wall.seams.cuts:
            if any(_unbacked(cut, wall, *at) for at in sections):
                text = f"the seam at {cut.position_mm:.1f} mm has no shell within {BACKING_MM:g} mm behind it"
                remedy = "move the seam away from the opening"
                where, place = f"wall {wall.wall.letter}", _where(cut, wall)
                found.append(Finding(Severity.WARNING, "seam-unbacked", where, text, remedy, place))
    return tuple(found)


def _where(cut: Cut, wall: WallPlan) -> Place | None:
    """Return where a cut is, over the whole height of its wall."""
    height = wall.facing.laying.height_mm
    return Place.on_wall(f"wall {wall.wall.letter}", cut.low_mm, 0.0, cut.high_mm, height)


def _unbacked(cut: Cut, wall: WallPlan, level_mm: float, segments: Array) -> bool:
    facing = wall.facing
    height = level_mm - float(facing.foot_mm[2])
    left, right = cut.span_at(height)
    corners = np.array([(u, v) for u in (left, right) for v in (height - BACKING_MM, height + BACKING_MM)])
    if not inside_rings([facing.face.outline_mm], corners).all():
        # No wall is there, or its edge: under the roof of a porch, or beside what rises over the roof.
        return False
    places = np.array([left - BACKING_MM, (left + right) / 2, right + BACKING_MM])
    start = facing.foot_mm[:2] + places[:, None] * facing.along - facing.outward * (facing.depth_mm - 0.01)
    reach = ray_lengths(start, np.broadcast_to(-facing.outward, start.shape), segments)
    return bool((reach > BACKING_REACH_MM).any())
