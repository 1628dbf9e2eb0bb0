"""Doors, windows and vents: resin plates whose frame seats behind the skin.

Where the shell or a roof former is solid behind an opening, what fills it has no flange and stands within the skin.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfbat.findings import Finding
from halfbat.parts.clearing import clipped
from halfbat.parts.joinery import FRAME_M, Cell, Sizes, cell_number, joinery, told_of_bars
from halfbat.parts.marks import RIM_MM, fitted_mark
from halfbat.parts.outlines import set_back
from halfbat.parts.placing import Matrix, as_printed, frame
from halfbat.parts.rooms import largest_room
from halfbat.parts.skins import Facing
from halfbat.parts.tabs import TAB_THICKNESS_MM, Tab, box, cut_off_mm, number_tab
from halfbat.settings import Settings
from halfbat.settings.openings import OpeningRequest, parse_panes
from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.relief import Relief
from halfbat.solids.solid import Solid
from halfbat.surfaces.remnants import extents
from halfbat.units import Scale

Array = NDArray[np.float64]
REVEAL_M = 0.075
"""How far the frame stands behind the brick face: at least 50 mm is asked for (published values, section 3.5)."""
CLEARANCE_MM = 0.1
FLANGE_MM = 0.8
ARRIS_MM = 0.05
"""How far the outer edge of a frame that stands within the skin is eased, so that it goes in."""
LEAST_SHARE = 0.5
"""What fills an opening that runs into a corner or the roof is not made smaller than this share of it."""
_PLACES = 17
_FLANGE, _FRAME, _TAB, _NUMBER, _FIRST = range(5)


@dataclass(frozen=True, slots=True, eq=False)
class Insert:
    """A door or window in its print frame."""

    solid: Solid
    place: Matrix
    tabbed: bool
    findings: tuple[Finding, ...] = ()
    cut_off_mm: Array | None = None


def build_insert(
    facing: Facing,
    outline: Array,
    seat: Array | None,
    request: OpeningRequest,
    settings: Settings,
    scale: Scale,
    number: str,
) -> Insert:
    """Build what fills an opening.

    Parameters
    ----------
    facing : Facing
        The wall.
    outline : ndarray (K, 2)
        The opening in the wall's frame.
    seat : ndarray (2, 2), optional
        Lowest and highest corner of the flange, behind the skin and inside the shell's opening; None for an opening
        that is closed behind.
    request : OpeningRequest
        What it is to be.
    settings, scale
        Resin process and marks; how small.
    number : str
        Engraved on its back, or on a tab.
    """
    blind = seat is None
    seat = _within_skin(outline, facing) if seat is None else seat
    centre = (seat[0] + seat[1]) / 2
    layer = settings.resin.part_layer_mm
    flange = np.ceil(FLANGE_MM / layer - 1e-6) * layer
    forward = max(0.0, facing.depth_mm - scale.to_mm(REVEAL_M))
    sizes = Sizes.at(scale, settings.resin)
    outline = _seated(outline, seat)
    clear = CLEARANCE_MM + (ARRIS_MM if blind else 0.0)
    boss = set_back(outline, clear) - centre
    inner = set_back(outline, clear + max(scale.to_mm(FRAME_M), sizes.frame_mm)) - centre
    low, high = inner.min(axis=0), inner.max(axis=0)
    cells = joinery(request.insert, low, high, request.leaves, parse_panes(request.panes, facing.where), sizes, scale)
    cells = [cell for cell in cells if (np.ptp(cell.ring_mm, axis=0) > 1e-3).all()]
    # Where the frame stands no further forward than the leaf is set back, the whole of it is thicker instead.
    raised = np.round(forward / layer) * layer
    deepest = _deepest_mm(cells)
    if blind:
        # Within the skin it is as thick as its leaf and its frame ask for, if need be with less of a reveal.
        front = max(raised, np.ceil((settings.resin.min_wall_mm + deepest) / layer - 1e-6) * layer)
        flange, behind, rim = front - sizes.step_mm, 0.0, set_back(outline, CLEARANCE_MM) - centre
    else:
        flange += max(0.0, np.ceil((deepest - raised) / layer - 1e-6) * layer)
        front, behind, rim = flange + raised, flange, box(*(seat[0] - centre), *(seat[1] - centre))
    solid_leaf = not any(cell.plane is None for cell in cells)
    back_extra, planes_back = (
        _engraved(number, boss, settings, front - 3 * sizes.step_mm) if solid_leaf else ([], [0.0])
    )
    tab = None
    if not back_extra and settings.mark.make:
        tab = number_tab(number, settings.mark.resin_height_mm, settings.resin).placed(1, (0.0, float(rim[:, 1].min())))
    # The number on the tab of one without a flange lies over everything else, or it would run into its panels.
    high = front + tab.depth_mm if blind and tab is not None else TAB_THICKNESS_MM
    layers, planes = _front(rim, boss, cells, tab, (flange, front, high))
    holes = [Layer.patches([cell.ring_mm], OUTSIDE) for cell in cells if cell.plane is None]
    # The frame and the flange close again over what the drawing cut too far.
    ring = Layer.union([boss, inner[::-1]], _FRAME)
    around = Layer.union([rim, boss[::-1]], _FLANGE)
    upper = Relief(Figure((*layers, *holes, ring, around, *_numbered(tab))), np.array(planes))
    base = Layer.patches([rim, *([tab.neck, tab.plate] if tab else [])], 0)
    again = [Layer.union([boss, inner[::-1]], 0), Layer.union([rim, boss[::-1]], 0)] if holes else []
    lowered = Relief.flat(Figure((base, *holes, *again, *back_extra)), planes_back)
    along, outward = np.array([*facing.along, 0.0]), np.array([*facing.outward, 0.0])
    up = np.array([0.0, 0.0, 1.0])
    origin = facing.foot_mm + along * centre[0] + up * centre[1] - outward * (facing.depth_mm + behind)
    drawn, there = plate(upper, lowered), frame(along, up, outward, origin)
    solid, place = as_printed(drawn, there)
    cut_off = None if tab is None else cut_off_mm(tab, drawn, there)
    told = tuple(told_of_bars(number, request, cells, sizes, scale))
    return Insert(solid, place, tab is not None, told, cut_off)


def _within_skin(outline: Array, facing: Facing) -> Array:
    """Lowest and highest corner of what fills an opening within the skin: off its mitres, and under its top."""
    low, high = outline.min(axis=0), outline.max(axis=0)
    between = max(low[0], facing.left.reach_mm), min(high[0], facing.laying.length_mm - facing.right.reach_mm)
    if between[1] - between[0] >= LEAST_SHARE * (high[0] - low[0]):
        low[0], high[0] = between
    spots = np.linspace(low[0], high[0], _PLACES)[1:-1]
    top = float(extents(facing.face.outline_mm, spots, axis=0)[1].min())
    if top - low[1] >= LEAST_SHARE * (high[1] - low[1]):
        high[1] = min(high[1], top)
    return np.array([low, high])


def _deepest_mm(cells: list[Cell]) -> float:
    """How far the deepest place of a leaf lies behind the front of its frame."""
    planes = [(cell.ring_mm, cell.plane) for cell in cells if cell.plane is not None]
    return max((float((a + ring @ np.array([b, c])).max()) for ring, (a, b, c) in planes), default=0.0)


def _seated(outline: Array, seat: Array) -> Array:
    """What of an opening lies over its seat: the frame goes round that where the shell ends lower than the opening."""
    for axis in (0, 1):
        outline = clipped(outline, outline[:, axis] - seat[0, axis])
        outline = clipped(outline, seat[1, axis] - outline[:, axis])
    return outline


def _front(
    rim: Array, boss: Array, cells: list[Cell], tab: Tab | None, heights: tuple[float, float, float]
) -> tuple[list[Layer], list[tuple[float, float, float]]]:
    flange, front, high = heights
    outline = [rim]
    planes = [(flange, 0.0, 0.0), (front, 0.0, 0.0), (high, 0.0, 0.0), (high, 0.0, 0.0)]
    layers: list[Layer] = []
    if tab is not None:
        outline += [tab.neck, tab.plate]
        layers.append(Layer.patches([tab.plate], _TAB))
        planes[_NUMBER] = (high - tab.depth_mm, 0.0, 0.0)
    layers.append(Layer.union([boss], _FRAME))
    for cell in cells:
        if cell.plane is not None:
            a, b, c = cell.plane
            layers.append(Layer.patches([cell.ring_mm], cell_number(cell, len(planes))))
            planes.append((front - a, -b, -c))
    return [Layer.patches(outline, _FLANGE), *layers], planes


def _numbered(tab: Tab | None) -> list[Layer]:
    return [] if tab is None else [Layer.patches(tab.strokes, _NUMBER)]


def _engraved(number: str, boss: Array, settings: Settings, thickness_mm: float) -> tuple[list[Layer], list[float]]:
    """A number on the back of a leaf."""
    if not settings.mark.make:
        return [], [0.0]
    room = largest_room([boss], margin_mm=RIM_MM / 2, mirrored=True)
    if room is None:
        return [], [0.0]
    height = settings.mark.resin_height_mm
    mark = fitted_mark(number, room, height, settings.resin, on_plate=True, thickness_mm=thickness_mm)
    if mark is None:
        return [], [0.0]
    return [Layer.patches(mark.rings_mm, 1)], [0.0, mark.depth_mm]
