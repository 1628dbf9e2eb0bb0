"""The parts of a settled kit, one after another, each with its number and place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import EdgeKind
from halfbat.building.wall import wall_letter
from halfbat.findings import Finding
from halfbat.parts.body_parts import Told, shell_parts, top_parts, unmarked
from halfbat.parts.cover_parts import cover_parts
from halfbat.parts.held_pieces import held_boxes
from halfbat.parts.inserts import build_insert
from halfbat.parts.kit_plan import Plan
from halfbat.parts.numbering import Numbering, NumberKind
from halfbat.parts.part import CUT_TAB_OFF, CUT_TAB_OFF_BEFORE, SET_IN_FRONT, Part
from halfbat.parts.ridge_tiles import build_ridge, ridge_tiles
from halfbat.parts.roof_cells import cells_of
from halfbat.parts.roof_parts import board_parts, chimney_parts, gutter_parts, light_parts
from halfbat.parts.roof_skins import build_roof_panel, tile_counts
from halfbat.parts.shell import ShellOpenings
from halfbat.parts.skins import build_panel
from halfbat.parts.wall_openings import insert_requests, shell_box, shell_openings
from halfbat.parts.walls import WallPlan, left_out
from halfbat.settings import Settings, bare
from halfbat.shelf import PartShelf
from halfbat.units import Scale

Array = NDArray[np.float64]


def count_of(plan: Plan) -> int:
    """About how many parts there will be."""
    return 2 + sum(len(wall.seams.panels) + len(wall.covers) for wall in plan.walls) + len(plan.roofs)


def all_parts(
    plan: Plan,
    settings: Settings,
    scale: Scale,
    longest_mm: float = float("inf"),
    shelf: PartShelf | None = None,
) -> Iterator[Told]:
    """Build every part of a kit, each with what there is to tell of it.

    Parameters
    ----------
    plan : Plan
        The kit, settled.
    settings : Settings
        What the maker chose.
    scale : Scale
        How small.
    longest_mm : float
        Longest part that the resin printer takes when it may be turned.
    shelf : PartShelf, optional
        Where parts made before are found.
    """
    shelf = PartShelf(keeping=False) if shelf is None else shelf
    numbering = Numbering()
    openings, told = _through_shell(plan, settings)
    shell = shell_parts(plan, openings, numbering, bare(settings), shelf)
    for part, more in shell.parts:
        yield part, [*told, *more]
        told = []
    yield from top_parts(plan, shell.cuts, numbering, bare(settings), shelf)
    for wall in plan.walls:
        yield from _skins(wall, numbering, bare(settings), shelf)
    backed = [(openings[i].frame.origin, openings[i].rings_mm[k]) for i, k in shell.closed]
    for wall in plan.walls:
        yield from _inserts(wall, plan, backed, numbering, settings, scale, shelf)
    yield from _roof(plan, numbering, bare(settings), scale, shelf)
    yield from _ridges(plan, numbering, bare(settings), scale, longest_mm, shelf)
    yield from board_parts(plan, numbering, bare(settings), longest_mm, shelf)
    yield from gutter_parts(plan, numbering, bare(settings), longest_mm, shelf)
    yield from chimney_parts(plan, numbering, bare(settings), shelf)
    yield from light_parts(plan, numbering, bare(settings), shelf)
    for wall in plan.walls:
        yield from cover_parts(wall, plan, numbering, bare(settings), scale, longest_mm, shelf)


def _through_shell(plan: Plan, settings: Settings) -> tuple[list[ShellOpenings], list[Finding]]:
    """Openings of every wall that the shell stands behind."""
    found, findings = [], []
    for wall in plan.walls:
        if wall.facing.openings:
            openings, told = shell_openings(wall.facing, *_behind(wall, plan, settings), settings)
            findings += told
            found += [openings] if openings is not None else []
    return found, findings


def _behind(wall: WallPlan, plan: Plan, settings: Settings) -> tuple[tuple[float, float], float]:
    """From where to where the shell's inner face runs behind a wall, and the shell's height above its foot."""
    wall_mm = settings.shell.wall_lines * settings.filament.line_width_mm
    mass = plan.masses[min(wall.wall.mass, len(plan.masses) - 1)]
    behind = settings.skin.glue_gap_mm + wall_mm
    depths = plan.skins_mm
    starts = [
        behind + depths.get(corner.wall, 0.0) if corner else behind for corner in (wall.wall.left, wall.wall.right)
    ]
    inner = (starts[0], wall.facing.laying.length_mm - starts[1])
    return inner, mass.shell_top_mm(settings) - settings.shell.ledge_height_mm


def _inserts(
    wall: WallPlan,
    plan: Plan,
    backed: Sequence[tuple[Array, Array]],
    numbering: Numbering,
    settings: Settings,
    scale: Scale,
    shelf: PartShelf,
) -> Iterator[Told]:
    """Doors and windows: seated in the shell, or let into the skin where the shell is closed behind the opening."""
    letter = wall.wall.letter
    openings = wall.facing.openings
    away = np.array([*wall.facing.outward, 0.0]) * (wall.facing.depth_mm + settings.skin.glue_gap_mm)
    closed = [ring for origin, ring in backed if np.allclose(origin, wall.facing.foot_mm - away)]
    requests = insert_requests(wall.wall, settings, len(openings))
    for index, (opening, request) in enumerate(zip(openings, requests, strict=False), 1):
        seat = shell_box(opening, *_behind(wall, plan, settings))
        if request.insert == "none":
            continue
        if seat is not None:
            middle = seat.mean(axis=0)
            if any((ring.min(axis=0) < middle).all() and (middle < ring.max(axis=0)).all() for ring in closed):
                seat = None
        number = numbering.assign(NumberKind.INSERT, index, letter)
        fit = settings.filament.fit_mm
        shrunk = None if seat is None else seat + np.array([[fit], [-fit]])
        insert = shelf.call(build_insert, wall.facing, opening.outline, shrunk, request, bare(settings), scale, number)
        where, tab = ((SET_IN_FRONT,), CUT_TAB_OFF_BEFORE) if seat is None else ((), CUT_TAB_OFF)
        notes = (*where, tab) if insert.tabbed else where
        name = f"{request.insert.capitalize()}, wall {letter}"
        solid, place, cut_off = insert.solid, insert.place, insert.cut_off_mm
        part = Part(number, name, "insert", "resin", solid, place, wall=letter, notes=notes, cut_off_mm=cut_off)
        yield part, list(insert.findings)


def _skins(wall: WallPlan, numbering: Numbering, settings: Settings, shelf: PartShelf) -> Iterator[Told]:
    letter = wall.wall.letter
    for cell in wall.seams.panels:
        number = numbering.assign(NumberKind.SKIN, cell.index, letter)
        panel = shelf.call(build_panel, wall.facing, cell, settings, number)
        if panel is None:
            continue
        name = f"Skin, wall {letter}"
        if len(wall.seams.panels) > 1:
            name += f", panel {cell.index} of {len(wall.seams.panels)}"
        notes = (CUT_TAB_OFF,) if panel.tabbed else ()
        relief = wall.facing.base_mm, wall.facing.depth_mm
        part = Part(
            number,
            name,
            "skin",
            "resin",
            panel.solid,
            panel.place,
            wall=letter,
            counts=panel.counts,
            notes=notes,
            relief_mm=relief,
            cut_off_mm=panel.cut_off_mm,
        )
        yield part, unmarked(number, panel.mark is None and not panel.tabbed, settings)


def _roof(plan: Plan, numbering: Numbering, settings: Settings, scale: Scale, shelf: PartShelf) -> Iterator[Told]:
    counts, _ = shelf.call(tile_counts, list(plan.roofs), settings)
    for face in plan.roofs:
        letter = wall_letter(face.slope.index)
        boxes = cells_of(face, settings, scale, shelf)
        boxes, thin_mm2 = held_boxes(boxes, face.face.outline_mm, settings.resin.min_wall_mm)
        boxes, more_mm2 = held_boxes(boxes, face.face.back_mm(face.depth_mm), settings.resin.min_wall_mm)
        told = left_out(f"slope {letter}", thin_mm2 + more_mm2, settings)
        # All tiles of a slope are told with its first panel.
        pieces = dict(counts.get(face.slope.index, {}))
        for index, box in enumerate(boxes, 1):
            number = numbering.assign(NumberKind.ROOF, index, letter)
            panel = shelf.call(build_roof_panel, face, box, settings, number)
            if panel is None:
                continue
            name = f"Roof skin, slope {letter}" + (f", panel {index} of {len(boxes)}" if len(boxes) > 1 else "")
            part = Part(number, name, "roof skin", "resin", panel.solid, panel.place, counts=pieces)
            pieces = {}
            yield part, [*told, *unmarked(number, panel.mark is None, settings)]
            told = ()


def _ridges(
    plan: Plan, numbering: Numbering, settings: Settings, scale: Scale, longest_mm: float, shelf: PartShelf
) -> Iterator[Told]:
    """Runs of ridge and hip tiles; a run too long for the printer comes in pieces of whole tiles."""
    count = 0
    for ridge in plan.ridges:
        run = ridge_tiles(ridge, settings, scale, f"{ridge.kind.value} {count + 1}")
        room = max(run.tile_mm, longest_mm)
        per_piece = max(1, int(min(room / run.tile_mm + 1e-6, run.count)))
        for first in range(0, run.count, per_piece):
            count += 1
            number = numbering.assign(NumberKind.RIDGE, count)
            tiles = min(per_piece, run.count - first)
            piece = (first * run.tile_mm, (first + tiles) * run.tile_mm)
            solid, place = shelf.call(build_ridge, ridge, run, piece, settings)
            name = "Hip tiles" if ridge.kind is EdgeKind.HIP else "Ridge tiles"
            part = Part(number, name, "ridge", "resin", solid, place, counts={"ridge tile": tiles})
            yield part, unmarked(number, True, settings)
