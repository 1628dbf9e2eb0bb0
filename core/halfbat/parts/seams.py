"""Where a wall is cut into panels, and the outlines of the panels.

All upright cuts of a wall are chosen together: fewest panels, then least seen, then panels as equal as can be. Cuts
that the maker asked for stand as asked and part the wall into stretches, each cut on its own. Level cuts lie in bed
joints. The gap comes out of the panels, never out of the wall.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from halfbat.errors import KitError
from halfbat.findings import Finding, Place, Severity
from halfbat.parts.asked_cuts import CutRequest, PanelLimits, SeamRules, asked_cuts
from halfbat.parts.bent_line import Box
from halfbat.parts.cells import PanelCell, Side, panel_cells
from halfbat.parts.cut_candidates import candidate_cuts
from halfbat.parts.cut_choice import Border, Places, choose_cuts
from halfbat.parts.cuts import (
    LEAST_SLIVER_MM,
    Cut,
    SeamStyle,
    least_cover_mm,
)
from halfbat.parts.toothing import LEAST_TOOTH_MM, course_breaks, teeth_fit
from halfbat.parts.wall_run import WallRun

__all__ = [
    "Cut",
    "CutRequest",
    "PanelCell",
    "PanelLimits",
    "SeamRules",
    "SeamStyle",
    "Side",
    "WallRun",
    "WallSeams",
    "plan_seams",
]

_ROUNDING = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class WallSeams:
    """How a wall is cut.

    Parameters
    ----------
    cuts : tuple of Cut
        Upright cuts, from left to right.
    rows_mm : tuple of float
        Levels of the centre lines of the level cuts, bottom first.
    panels : tuple of PanelCell
        By rows from the foot, each from the left.
    findings : tuple of Finding
        What is worth telling about them.
    """

    cuts: tuple[Cut, ...]
    rows_mm: tuple[float, ...]
    panels: tuple[PanelCell, ...]
    findings: tuple[Finding, ...]


def plan_seams(
    wall: WallRun,
    limits: PanelLimits,
    rules: SeamRules | None = None,
    requests: Sequence[CutRequest] = (),
    keep_outs: Sequence[tuple[float, float]] = (),
    boxes: Sequence[Box] = (),
    crossed: Sequence[tuple[float, float]] = (),
) -> WallSeams:
    """Cut a wall into panels.

    Parameters
    ----------
    wall : WallRun
        The wall.
    limits : PanelLimits
        Sizes a panel may have.
    rules : SeamRules, optional
        How cuts are made.
    requests : sequence of CutRequest
        Cuts the maker asks for.
    keep_outs : sequence of (float, float)
        Spans along the wall, model mm, that no upright cut may touch.
    boxes : sequence of (float, float, float, float)
        Openings with what is kept free beside them. No upright cut may lie over or under one; one that bends may.
    crossed : sequence of (float, float)
        Spans along the wall that cuts touch only where there is no other way.

    Returns
    -------
    WallSeams

    Raises
    ------
    KitError
        A cut asked for cannot be made, or no choice of cuts keeps the limits.
    """
    rules = rules or SeamRules()
    styles, findings = _usable_styles(wall, rules)
    rows = _choose_rows(wall, limits, rules.gap_mm)
    asked = asked_cuts(wall, limits, rules, styles, requests, keep_outs, boxes)
    keep_outs = [*keep_outs, *((box[0], box[2]) for box in boxes)]
    borders = [
        Border(0.0, 0.0, max(0.0, wall.left_extra_mm)),
        *(Border(cut.low_mm, cut.high_mm, -rules.gap_mm / 2) for cut in asked),
        Border(wall.length_mm, wall.length_mm, max(0.0, wall.right_extra_mm)),
    ]
    cuts = list(asked)
    for stretch in pairwise(borders):
        chosen, told = _cut_stretch(wall, limits, rules, styles, stretch, keep_outs, crossed)
        cuts += chosen
        findings += told
    cuts.sort(key=lambda cut: cut.position_mm)
    findings += _cut_findings(wall, rules, cuts)
    lines = [cut.line for cut in cuts]
    bent = [k for k, cut in enumerate(cuts) if cut.bent]
    panels = panel_cells(wall.length_mm, wall.height_mm, lines, rows, rules.gap_mm, bent)
    return WallSeams(tuple(cuts), rows, panels, tuple(dict.fromkeys(findings)))


def _usable_styles(wall: WallRun, rules: SeamRules) -> tuple[tuple[SeamStyle, ...], list[Finding]]:
    """Leave out teeth where courses are too low for them; a cable run always can be had."""
    if SeamStyle.TOOTHED not in rules.styles or teeth_fit(wall.laying, rules.gap_mm):
        return rules.styles, []
    styles = tuple(style for style in rules.styles if style is not SeamStyle.TOOTHED)
    return styles or (SeamStyle.CABLE_RUN,), [_no_teeth(wall)]


def _no_teeth(wall: WallRun) -> Finding:
    text = (
        f"courses of {wall.laying.gauge_mm:.2f} mm give teeth under {LEAST_TOOTH_MM:g} mm: seams are cable runs instead"
    )
    return Finding(Severity.NOTE, "teeth-too-small", wall.where, text, "use a larger scale for toothed seams")


def _choose_rows(wall: WallRun, limits: PanelLimits, gap_mm: float) -> tuple[float, ...]:
    """Levels of the level cuts: fewest rows, then equal heights."""
    foot, top, gauge = wall.foot_mm, wall.height_mm, wall.laying.gauge_mm
    height = top - foot
    if height <= limits.height_mm + _ROUNDING:
        return ()
    levels = course_breaks(wall.laying, wall.lattice_v)
    levels = levels[levels > foot]
    places = Places(levels, levels, levels, wall.weak_at(levels, levels, 1, gap_mm))
    for least in (max(2 * gauge, limits.least_mm), max(gauge, limits.least_mm)):
        chosen = choose_cuts(
            places,
            Border(foot, foot, 0.0),
            Border(top, top, 0.0),
            largest_mm=limits.height_mm,
            least_mm=least,
            half_gap_mm=gap_mm / 2,
        )
        if chosen is not None:
            return tuple(float(levels[i]) for i in chosen)
    raise KitError(
        f"the wall, {height:.1f} mm high, cannot be cut along its bed joints into panels up to "
        f"{limits.height_mm:.1f} mm high",
        wall.where,
        "use a printer with more room, a larger panel limit or a smaller scale",
    )


def _cut_stretch(
    wall: WallRun,
    limits: PanelLimits,
    rules: SeamRules,
    styles: tuple[SeamStyle, ...],
    stretch: tuple[Border, Border],
    keep_outs: Sequence[tuple[float, float]],
    crossed: Sequence[tuple[float, float]],
) -> tuple[list[Cut], list[Finding]]:
    """Cut what lies between two ends or asked cuts."""
    start, end = stretch
    if end.high + end.overhang_mm - start.low + start.overhang_mm <= limits.width_mm + _ROUNDING:
        return [], []
    two_bricks = 2 * wall.module_mm
    if limits.width_mm < two_bricks:
        raise KitError(
            f"panels up to {limits.width_mm:.1f} mm wide are narrower than two bricks, {two_bricks:.1f} mm",
            wall.where,
            "use a printer with more room, a larger panel limit or a smaller scale",
        )
    attempts: list[tuple[SeamStyle, ...]] = [styles]
    if SeamStyle.CABLE_RUN not in styles and SeamStyle.TOOTHED in styles:
        attempts.append((SeamStyle.CABLE_RUN,))
    elif SeamStyle.CABLE_RUN not in styles and SeamStyle.PIER in styles:
        attempts.append((*styles, SeamStyle.CABLE_RUN))
    for tried in attempts:
        places, cuts = candidate_cuts(
            wall,
            tried,
            stretch,
            keep_outs,
            largest_mm=limits.width_mm,
            gap_mm=rules.gap_mm,
            cover_width_mm=rules.cover_width_mm,
            crossed=crossed,
        )
        # Two bricks from every end and other cut; only where that cannot be had, as near as can be printed.
        for least in (max(two_bricks, limits.least_mm), limits.least_mm):
            chosen = choose_cuts(
                places, start, end, largest_mm=limits.width_mm, least_mm=least, half_gap_mm=rules.gap_mm / 2
            )
            if chosen is not None:
                return [cuts[i] for i in chosen], [] if tried is styles else [_not_as_asked(wall, styles)]
    raise KitError(
        f"the wall, {wall.length_mm:.1f} mm long, cannot be cut into panels up to {limits.width_mm:.1f} mm wide"
        + (" outside the spans kept free" if len(keep_outs) else ""),
        wall.where,
        "free a place for a seam, or use a printer with more room, a larger panel limit or a smaller scale",
    )


def _not_as_asked(wall: WallRun, styles: tuple[SeamStyle, ...]) -> Finding:
    if SeamStyle.PIER in styles:
        text = "no pier stands where a seam is needed: it is a cable run instead"
        remedy = "stand piers nearer to each other, or hide seams in another way"
        return Finding(Severity.NOTE, "piers-do-not-fit", wall.where, text, remedy)
    text = "the bond offers no teeth where a seam is needed: it is a cable run instead"
    return Finding(Severity.NOTE, "teeth-do-not-fit", wall.where, text)


def _cut_findings(wall: WallRun, rules: SeamRules, cuts: Sequence[Cut]) -> list[Finding]:
    findings: list[Finding] = []
    for cut in cuts:
        place = f"the seam at {cut.position_mm:.2f} mm"
        at = Place.on_wall(wall.where, cut.low_mm, 0.0, cut.high_mm, wall.height_mm)
        if cut.style is SeamStyle.CABLE_RUN and not cut.covered:
            least = least_cover_mm(rules.gap_mm)
            text = f"a cable run {rules.cover_width_mm:g} mm wide does not hide {place}"
            findings.append(
                Finding(Severity.WARNING, "cover-narrow", wall.where, text, f"make it at least {least:g} mm wide", at)
            )
        if cut.sliver_mm < LEAST_SLIVER_MM - _ROUNDING:
            text = f"{place} leaves a piece of brick {cut.sliver_mm:.2f} mm wide beside it"
            remedy = "move it by a quarter of a brick" if cut.asked else ""
            findings.append(Finding(Severity.NOTE, "seam-sliver", wall.where, text, remedy, at))
    return findings
