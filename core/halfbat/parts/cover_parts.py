"""The covers of a wall as parts: how long each is, what it passes over, and where it stands."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from halfbat.findings import Finding, Place, Severity
from halfbat.parts.bent_covers import BentRun, build_bent_run
from halfbat.parts.bent_line import BentLine
from halfbat.parts.bent_runs import bent_pieces
from halfbat.parts.cover_runs import SHORTEST_RUN_MM, CoverRun, cover_runs
from halfbat.parts.cover_segments import Segment, part_of
from halfbat.parts.covers import SIDE_SHARE, build_cable_run, cover_tab
from halfbat.parts.cuts import SeamStyle
from halfbat.parts.downpipes import build_downpipe, pipe_form
from halfbat.parts.kit_plan import Plan
from halfbat.parts.numbering import Numbering, NumberKind
from halfbat.parts.part import CUT_TAB_OFF, Material, Part
from halfbat.parts.placing import Matrix, as_printed, frame
from halfbat.parts.tabs import cut_off_mm, number_tab
from halfbat.parts.wall_covers import cover_size
from halfbat.parts.wall_face import GRID_MM
from halfbat.parts.walls import WallPlan
from halfbat.settings import Settings
from halfbat.shelf import PartShelf
from halfbat.solids.solid import Solid
from halfbat.units import Scale

Told = tuple[Part, list[Finding]]
OVER_HOLLOW_MM = 0.15
"""What the edges of a cover are thicker than its hollows."""
_AT_FOOT_MM = 0.01


def made_as(style: SeamStyle, settings: Settings) -> str:
    """Return whether covers of a style are ``"printed"`` or ``"wire"``."""
    return settings.downpipe.made_as if style is SeamStyle.DOWNPIPE else settings.seam.cover_made_as


def cover_parts(
    wall: WallPlan,
    plan: Plan,
    numbering: Numbering,
    settings: Settings,
    scale: Scale,
    longest_mm: float,
    shelf: PartShelf,
) -> Iterator[Told]:
    """Make the printed covers of a wall, in pieces where the wall steps behind them or the printer is too small.

    Parameters
    ----------
    wall, plan, settings, scale
        As for `cover_runs`.
    numbering : Numbering
        Of the kit.
    longest_mm : float
        Longest part that the resin printer takes.
    shelf : PartShelf
        Where parts made before are kept.
    """
    count = 0
    for run in cover_runs(wall, plan, settings, scale):
        if made_as(run.place.style, settings) != "printed":
            continue
        told = _bare(run, wall)
        front = _front_mm(run, settings, scale)
        for segment in run.segments:
            for piece in _pieces(run, segment, longest_mm, settings, scale):
                count += 1
                number = numbering.assign(NumberKind.COVER, count, wall.wall.letter)
                lifted = front - segment.base_mm
                if run.line is not None:
                    bent = shelf.call(_bent, run.line, piece, lifted, settings, scale, number)
                    yield _bent_part(wall, run.line, bent, piece, number, settings), told
                else:
                    solid = shelf.call(_solid, run, piece, lifted, settings, scale, number)
                    yield _part(wall, run, solid, piece, number, settings, scale), told
                told = []


def _front_mm(run: CoverRun, settings: Settings, scale: Scale) -> float:
    """Return how far the front of a cover must stand out further than usual, to be level all the way up."""
    if run.place.style is SeamStyle.DOWNPIPE:
        side = pipe_form(settings, scale).side_mm
    else:
        side = settings.seam.cover_height_mm * SIDE_SHARE
    hollows = [hollow.out_mm + own.base_mm - side + OVER_HOLLOW_MM for own in run.segments for hollow in own.hollows]
    return max([0.0, *(own.base_mm for own in run.segments), *hollows])


def _tab_mm(settings: Settings) -> float:
    return number_tab("CA1", settings.mark.resin_height_mm, settings.resin).length_mm if settings.mark.make else 0.0


def _pieces(run: CoverRun, segment: Segment, longest_mm: float, settings: Settings, scale: Scale) -> Iterator[Segment]:
    """Yield the pieces of a segment that the printer takes, on the grid of solids, so that they meet exactly."""
    tab = _tab_mm(settings)
    if run.line is not None:
        up, along = (min(room, longest_mm) - tab for room in settings.resin.part_room_mm[:2])
        half = cover_size(run.place.style, settings, scale).half_mm
        turned = longest_mm > settings.resin.part_room_mm[0]
        yield from bent_pieces(run.line, segment, half, (up, along), turned=turned)
        return
    room_mm = longest_mm - tab
    whole = segment.high_mm - segment.low_mm
    count = max(1, int(np.ceil((whole - 1e-6) / room_mm))) if room_mm >= SHORTEST_RUN_MM else 1
    length = np.floor(whole / count / GRID_MM) * GRID_MM
    for piece in range(count):
        low = segment.low_mm + piece * length
        yield part_of(segment, low, segment.high_mm if piece == count - 1 else low + length)


def _bent(line: BentLine, piece: Segment, lifted: float, settings: Settings, scale: Scale, number: str) -> BentRun:
    own = line.part(piece.low_mm, piece.high_mm)
    foot = own.points[0][1] < _AT_FOOT_MM
    ends = ((0.0, piece.low_mm), (piece.high_mm, line.length_mm))
    others = [line.part(low, high) for low, high in ends if high - low > _AT_FOOT_MM]
    hollows = piece.hollows
    return build_bent_run(own, scale, settings, number, at_foot=foot, lifted_mm=lifted, proud=hollows, others=others)


def _bent_part(wall: WallPlan, line: BentLine, bent: BentRun, piece: Segment, number: str, settings: Settings) -> Part:
    own, letter = line.part(piece.low_mm, piece.high_mm), wall.wall.letter
    there = _frame(wall, own.points[0], piece.base_mm)
    printed, place = as_printed(bent.solid, there)
    cut_off = None if bent.tab is None else cut_off_mm(bent.tab, bent.solid, there)
    bends = " and bends." if len(own.points) > 2 else "."
    length = f"{number} is {own.length_mm:.1f} mm long along its middle{bends}"
    notes = (length, CUT_TAB_OFF) if settings.mark.make else (length,)
    name = f"Cable run, wall {letter}"
    return Part(
        number, name, "cover", "resin", printed, place, wall=letter, notes=notes, tab_mm=bent.tab_mm, cut_off_mm=cut_off
    )


def _frame(wall: WallPlan, start_mm: tuple[float, float], base_mm: float) -> Matrix:
    """Matrix from the frame of a cover, which starts at a place on a wall, to the building."""
    facing, up = wall.facing, np.array([0.0, 0.0, 1.0])
    along, outward = np.array([*facing.along, 0.0]), np.array([*facing.outward, 0.0])
    origin = facing.foot_mm + along * start_mm[0] + up * start_mm[1] + outward * base_mm
    return frame(up, -along, outward, origin)


def _solid(run: CoverRun, piece: Segment, lifted: float, settings: Settings, scale: Scale, number: str) -> Solid:
    start, end = piece.low_mm, piece.high_mm
    if run.place.style is SeamStyle.DOWNPIPE:
        eaves = run.eaves_mm - piece.base_mm if settings.downpipe.top == "swan neck" and not run.bare_mm else 0.0
        form = pipe_form(settings, scale)
        return build_downpipe(
            run.length_mm,
            (start, end),
            form,
            settings,
            number,
            eaves_mm=eaves,
            lifted_mm=lifted,
            proud=piece.hollows,
        )
    beside, hollows = start > 0, piece.hollows
    return build_cable_run(
        end - start, scale, settings, number, tab_beside=beside, lifted_mm=lifted, proud=hollows
    ).solid


def _part(
    wall: WallPlan, run: CoverRun, solid: Solid, piece: Segment, number: str, settings: Settings, scale: Scale
) -> Part:
    foot = run.foot_mm + piece.low_mm
    there = _frame(wall, (run.place.position_mm, foot), piece.base_mm)
    printed, place = as_printed(solid, there)
    name = f"{run.place.style.capitalize()}, wall {wall.wall.letter}"
    notes = (CUT_TAB_OFF,) if settings.mark.make else ()
    tab = cut_off = None
    if settings.mark.make:
        piped = run.place.style is SeamStyle.DOWNPIPE
        width = pipe_form(settings, scale).width_mm if piped else settings.seam.cover_width_mm
        beside = (piece.high_mm - piece.low_mm, width / 2) if piece.low_mm > 0 else None
        cut_off = cut_off_mm(cover_tab(number, settings, beside), solid, there)
        tab = _tab_beside_mm(run, foot, solid, width) if beside else None
    letter = wall.wall.letter
    return Part(
        number, name, "cover", "resin", printed, place, wall=letter, notes=notes, tab_mm=tab, cut_off_mm=cut_off
    )


def _tab_beside_mm(run: CoverRun, foot_mm: float, solid: Solid, width_mm: float) -> tuple[float, float, float, float]:
    """Box of a tab to the right of a piece: what reaches further there than anything does to the left."""
    across = solid.vertices[:, 1]
    tab = solid.vertices[across < -across.max() - GRID_MM]
    at = run.place.position_mm
    return (
        at + width_mm / 2,
        foot_mm + float(tab[:, 0].min()),
        at - float(across.min()),
        foot_mm + float(tab[:, 0].max()),
    )


def _bare(run: CoverRun, wall: WallPlan) -> list[Finding]:
    if not (run.place.over_seam and run.bare_mm):
        return []
    text = (
        f"the {run.place.style} at {run.place.position_mm:.1f} mm ends under what stands out at the top of the wall: "
        f"{run.bare_mm:.1f} mm of the seam show"
    )
    where, top = f"wall {wall.wall.letter}", wall.facing.laying.height_mm
    at = run.line.points[-1][0] if run.line else run.place.position_mm
    place = Place.on_wall(where, at, top - run.bare_mm, at, top)
    return [Finding(Severity.NOTE, "cover-short", where, text, "fill the seam there", place)]


def wire(plan: Plan, settings: Settings) -> Iterator[Material]:
    """Wire to buy where covers are made of it, by wall and thickness."""
    for wall in plan.walls:
        for style in dict.fromkeys(place.style for place in wall.covers):
            if made_as(style, settings) != "wire":
                continue
            runs = [run for run in cover_runs(wall, plan, settings, plan.scale) if run.place.style is style]
            if not runs:
                continue
            name, shape = _wire_name(style, plan, settings)
            bend = " Bend it as the drawing of the wall shows." if any(run.line for run in runs) else ""
            cuts = " and ".join(f"{length:.1f} mm" for length in sorted(run.length_mm for run in runs))
            if len({round(run.length_mm, 1) for run in runs}) == 1:
                cuts = f"{len(runs)} x {runs[0].length_mm:.1f} mm"
            total = round(sum(run.length_mm for run in runs), 2)
            where = "glued over the seams" if all(run.place.over_seam for run in runs) else "glued on as a " + shape
            yield Material(name, total, "mm", wall.wall.letter, (f"{cuts}, {where}.{bend}",))


def _wire_name(style: SeamStyle, plan: Plan, settings: Settings) -> tuple[str, str]:
    if style is SeamStyle.CABLE_RUN:
        return f"Wire, {settings.seam.cover_width_mm:g} mm thick", "cable run"
    form = pipe_form(settings, plan.scale)
    kind = "Rod or wire" if form.round else "Square rod"
    return f"{kind}, {form.width_mm:.2f} mm thick", "downpipe"
