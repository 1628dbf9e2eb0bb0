"""Seams of a wall with openings: as far from them as there is room, and through one where there is none at all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from halfbat.errors import KitError
from halfbat.findings import Finding, Place, Severity
from halfbat.parts.covers import SADDLE_BEYOND_MM
from halfbat.parts.cuts import Cut, SeamStyle
from halfbat.parts.seams import CutRequest, PanelLimits, SeamRules, WallRun, WallSeams, plan_seams
from halfbat.parts.wall_covers import CLEAR_MM
from halfbat.parts.wall_openings import BRICKS_BESIDE, seamless_boxes
from halfbat.surfaces.opening_units import OpeningUnits

NEARER_BRICKS = (1.0, 0.5)
"""How near to openings seams come where there is no room further off."""
MORE_ROOM = "use a printer with more room"


def planned_seams(
    run: WallRun,
    limits: PanelLimits,
    rules: SeamRules,
    requests: Sequence[CutRequest],
    kept: Sequence[tuple[float, float]],
    openings: Sequence[OpeningUnits],
) -> WallSeams:
    """Cut a wall into panels; nearer to its openings where there is no other room, unless the maker chose where.

    Parameters
    ----------
    run, limits, rules, requests
        As for `halfbat.parts.seams.plan_seams`.
    kept : sequence of (float, float)
        Spans along the wall, model mm, that no upright seam may touch.
    openings : sequence of OpeningUnits
        Doors and windows of the wall.

    Raises
    ------
    KitError
        A seam asked for cannot be made, or the wall cannot be cut even through its openings.
    """
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
        note = Finding(Severity.NOTE, "seam-near-opening", run.where, text, MORE_ROOM)
        return replace(seams, findings=(*seams.findings, note))
    assert refused is not None
    if requests or not openings:
        raise refused
    return _through_openings(run, limits, rules, kept, openings, refused)


def _through_openings(
    run: WallRun,
    limits: PanelLimits,
    rules: SeamRules,
    kept: Sequence[tuple[float, float]],
    openings: Sequence[OpeningUnits],
    refused: KitError,
) -> WallSeams:
    """Cut a wall whose openings cover every place for a seam: a seam may run through an opening, off its jambs.

    It parts what is above the head and below the sill. A cable run over it is left out in between; a downpipe would be
    cut off, so a cable run takes its place.
    """
    if SeamStyle.DOWNPIPE in rules.styles:
        styles = (SeamStyle.CABLE_RUN if style is SeamStyle.DOWNPIPE else style for style in rules.styles)
        rules = replace(rules, styles=tuple(dict.fromkeys(styles)))
    beside = max(NEARER_BRICKS[-1] * run.module_mm, rules.cover_width_mm / 2 + SADDLE_BEYOND_MM + CLEAR_MM)
    spans = [(opening.reach[0], opening.reach[2]) for opening in openings]
    jambs = [(jamb - beside, jamb + beside) for span in spans for jamb in span]
    try:
        seams = plan_seams(run, limits, rules, (), [*kept, *jambs], crossed=spans)
    except KitError:
        raise refused from None
    crossing = [cut for cut in seams.cuts if any(low < cut.high_mm and cut.low_mm < high for low, high in spans)]
    return replace(seams, findings=(*seams.findings, *(_told(run, cut) for cut in crossing)))


def _told(run: WallRun, cut: Cut) -> Finding:
    text = f"openings stand over every place for a seam: the one at {cut.position_mm:.1f} mm runs through an opening"
    at = Place.on_wall(run.where, cut.low_mm, 0.0, cut.high_mm, run.height_mm)
    return Finding(Severity.NOTE, "seam-through-opening", run.where, text, MORE_ROOM, at)
