"""The parts that finish a roof: boards under its edges, gutters, chimneys and their pots, roof lights."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import EdgeKind
from halfbat.building.wall import wall_letter
from halfbat.findings import Finding, Severity
from halfbat.parts.chimneys import build_chimney, build_pot
from halfbat.parts.cover_runs import cover_runs
from halfbat.parts.cuts import SeamStyle
from halfbat.parts.gutter_solids import build_gutter, pieces_mm
from halfbat.parts.gutters import with_outlets
from halfbat.parts.kit_plan import Plan
from halfbat.parts.numbering import Numbering, NumberKind
from halfbat.parts.part import Part
from halfbat.parts.roof_boards import build_board
from halfbat.parts.roof_light_sites import seat_mm
from halfbat.parts.roof_lights import CUT_TAB_OFF_FIRST, build_roof_light
from halfbat.parts.walls import WallPlan
from halfbat.settings import Settings
from halfbat.shelf import PartShelf

Array = NDArray[np.float64]
Told = tuple[Part, list[Finding]]


def board_parts(
    plan: Plan, numbering: Numbering, settings: Settings, longest_mm: float, shelf: PartShelf
) -> Iterator[Told]:
    """Fascia and barge boards of every slope, each run in pieces that the printer takes.

    Parameters
    ----------
    plan : Plan
        The kit, settled.
    numbering : Numbering
        Gives out numbers.
    settings : Settings
        Roof, skins and resin process.
    longest_mm : float
        Longest part that the resin printer takes.
    shelf : PartShelf
        Where parts made before are found.
    """
    longest = min(longest_mm, settings.seam.panel_limit_mm)
    counts: Counter[tuple[NumberKind, str]] = Counter()
    for board in plan.boards:
        letter = wall_letter(board.slope)
        eaves = board.kind is EdgeKind.EAVES
        number_kind = NumberKind.FASCIA if eaves else NumberKind.BARGE
        kind = "fascia" if eaves else "barge board"
        for piece in board.pieces_mm(longest, settings.skin.corner_gap_mm):
            counts[number_kind, letter] += 1
            number = numbering.assign(number_kind, counts[number_kind, letter], letter)
            solid, place_mm = shelf.call(build_board, board, piece)
            name = f"{'Fascia' if eaves else 'Barge board'}, slope {letter}"
            yield Part(number, name, kind, "resin", solid, place_mm), _unmarked(number, settings)


def gutter_parts(
    plan: Plan, numbering: Numbering, settings: Settings, longest_mm: float, shelf: PartShelf
) -> Iterator[Told]:
    """Gutters of every slope, in lengths that end at brackets, with outlets over the downpipes of their walls.

    Parameters
    ----------
    plan : Plan
        The kit, settled.
    numbering : Numbering
        Gives out numbers.
    settings : Settings
        Roof, covers and resin process.
    longest_mm : float
        Longest part that the resin printer takes.
    shelf : PartShelf
        Where parts made before are found.
    """
    longest = min(longest_mm, settings.seam.panel_limit_mm)
    counts: Counter[str] = Counter()
    walls = {wall.wall.index: wall for wall in plan.walls}
    for bare_gutter in plan.gutters:
        wall, letter = walls.get(bare_gutter.run.wall), wall_letter(bare_gutter.run.slope)
        pipes = [] if wall is None else list(_pipe_tops(wall, plan, settings))
        gutter = with_outlets(bare_gutter, pipes, plan.scale)
        for piece in pieces_mm(gutter, longest):
            counts[letter] += 1
            number = numbering.assign(NumberKind.GUTTER, counts[letter], letter)
            solid, place = shelf.call(build_gutter, gutter, piece, settings.skin.corner_gap_mm)
            yield Part(number, f"Gutter, slope {letter}", "gutter", "resin", solid, place), _unmarked(number, settings)


def _pipe_tops(wall: WallPlan, plan: Plan, settings: Settings) -> Iterator[tuple[Array, float]]:
    """Middle in plan and height of the top of each downpipe of a wall."""
    facing = wall.facing
    for run in cover_runs(wall, plan, settings, plan.scale):
        if run.place.style is SeamStyle.DOWNPIPE:
            yield facing.foot_mm[:2] + facing.along * run.place.position_mm, float(facing.foot_mm[2]) + run.top_mm


def chimney_parts(plan: Plan, numbering: Numbering, settings: Settings, shelf: PartShelf) -> Iterator[Told]:
    """Chimneys, each with its pots.

    Parameters
    ----------
    plan : Plan
        The kit, settled.
    numbering : Numbering
        Gives out numbers.
    settings : Settings
        Resin process and marks.
    shelf : PartShelf
        Where parts made before are found.
    """
    pots = 0
    for index, chimney in enumerate(plan.chimneys, start=1):
        number = numbering.assign(NumberKind.CHIMNEY, index)
        solid, place, bricks = shelf.call(
            build_chimney, chimney, plan.coursing.gauge_mm, plan.joints, settings, plan.scale
        )
        part = Part(number, "Chimney", "chimney", "resin", solid, place, counts={"chimney brick": bricks})
        yield part, _unmarked(number, settings)
        for pot in range(chimney.site.pots):
            pots += 1
            number = numbering.assign(NumberKind.POT, pots)
            solid, place = shelf.call(build_pot, chimney.site, pot, plan.scale)
            yield Part(number, "Chimney pot", "pot", "resin", solid, place), _unmarked(number, settings)


def light_parts(plan: Plan, numbering: Numbering, settings: Settings, shelf: PartShelf) -> Iterator[Told]:
    """Roof lights, by slopes and each row from the left.

    Parameters
    ----------
    plan : Plan
        The kit, settled.
    numbering : Numbering
        Gives out numbers.
    settings : Settings
        Resin process and marks.
    shelf : PartShelf
        Where parts made before are found.
    """
    counts: Counter[str] = Counter()
    for light in plan.lights:
        letter = wall_letter(light.slope.index)
        counts[letter] += 1
        number = numbering.assign(NumberKind.ROOF_LIGHT, counts[letter], letter)
        deep = plan.roof_mm(light)
        if not light.flat:
            deep -= seat_mm(plan.roofs[0].base_mm, settings.resin.part_layer_mm)
        built = shelf.call(build_roof_light, light, deep, settings, plan.scale, number)
        notes = (CUT_TAB_OFF_FIRST,) if built.tabbed else ()
        name = f"Roof light, slope {letter}"
        cut_off = built.cut_off_mm
        yield Part(number, name, "roof light", "resin", built.solid, built.place, notes=notes, cut_off_mm=cut_off), []


def _unmarked(number: str, settings: Settings) -> list[Finding]:
    if not settings.mark.make:
        return []
    text = "is too small for a readable number"
    return [
        Finding(Severity.NOTE, "mark-missing", number, text, "find it on the picture of its plate, and keep it apart")
    ]
