"""What doors and windows show: boards, panels, louvres, sashes and glazing bars as cells over an opening."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from halfbat.findings import Finding, Severity
from halfbat.parts.tabs import box
from halfbat.settings import ResinProcess
from halfbat.settings.openings import OpeningRequest, parse_panes
from halfbat.solids.figure import OUTSIDE
from halfbat.units import Scale

Array = NDArray[np.float64]
# Full sizes in metres: common practice, no source, unless said otherwise.
FRAME_M = 0.06
STILE_M = 0.1
BOARD_M = 0.15
BAR_M = 0.025
LOUVRE_M = 0.075
LOUVRE_LEAST_MM = 0.5
HELD_SHARE = 0.5
"""Of a wall: a bar held at both ends may be so thick, 0.4 against 0.8 mm (making notes, section 1, generic guides)."""


@dataclass(frozen=True, slots=True, eq=False)
class Cell:
    """One area of an insert.

    Parameters
    ----------
    ring_mm : ndarray (K, 2)
        Its outline.
    plane : tuple of (float, float, float) or None
        Height below the frame's face, ``a + b * x + c * y``; None for a hole.
    """

    ring_mm: Array
    plane: tuple[float, float, float] | None


@dataclass(frozen=True, slots=True)
class Sizes:
    """Sizes of joinery at a scale, never finer than the printer makes.

    Parameters
    ----------
    frame_mm, stile_mm, bar_mm : float
        Widths of the frame, of stiles and rails, and of glazing bars.
    groove_mm : float
        Width of a groove between boards.
    step_mm : float
        Depth of one step in the relief, whole layers.
    """

    frame_mm: float
    stile_mm: float
    bar_mm: float
    groove_mm: float
    step_mm: float

    @staticmethod
    def at(scale: Scale, resin: ResinProcess) -> Sizes:
        """Bring full sizes to a scale and widen what the printer could not make."""
        least = max(resin.min_stroke_mm, 3 * max(resin.pixel_x_mm, resin.pixel_y_mm))
        layers = max(2, round(0.12 / resin.part_layer_mm))
        groove = max(resin.min_groove_mm, resin.min_groove_px * resin.pixel_x_mm)
        return Sizes(
            max(scale.to_mm(FRAME_M), least),
            max(scale.to_mm(STILE_M), least),
            max(scale.to_mm(BAR_M), least, HELD_SHARE * resin.min_wall_mm),
            groove,
            layers * resin.part_layer_mm,
        )


def joinery(
    kind: str, low: Array, high: Array, leaves: int, panes: tuple[int, int], sizes: Sizes, scale: Scale
) -> list[Cell]:
    """Draw what fills the frame of a door or window.

    Parameters
    ----------
    kind : str
        A choice of `halfbat.settings.OpeningRequest.insert`.
    low, high : ndarray (2,)
        Corners of the room inside the frame; arched heads cut the drawing off.
    leaves : int
        Of a door.
    panes : tuple of int
        Columns and rows of a window.
    sizes : Sizes
        Widths and the step.
    scale : Scale
        How small.
    """
    if kind.endswith("window"):
        return _window(kind, low, high, panes, sizes)
    if kind == "vent":
        return _louvres(low, high, sizes, scale)
    cells: list[Cell] = []
    width = (high[0] - low[0] - (leaves - 1) * sizes.groove_mm) / leaves
    if leaves > 1:
        cells.append(Cell(box(low[0], low[1], high[0], high[1]), (2 * sizes.step_mm, 0.0, 0.0)))
    for leaf in range(leaves):
        start = low[0] + leaf * (width + sizes.groove_mm)
        a, b = np.array([start, low[1]]), np.array([start + width, high[1]])
        cells += _leaf(kind, a, b, sizes, scale)
    return cells


def _leaf(kind: str, low: Array, high: Array, sizes: Sizes, scale: Scale) -> list[Cell]:
    step = sizes.step_mm
    face = Cell(box(low[0], low[1], high[0], high[1]), (step, 0.0, 0.0))
    if kind == "flush door":
        return [face]
    if kind == "boarded door":
        count = max(2, round((high[0] - low[0]) / max(scale.to_mm(BOARD_M), 4 * sizes.groove_mm)))
        at = np.linspace(low[0], high[0], count + 1)[1:-1]
        half = sizes.groove_mm / 2
        return [face, *(Cell(box(x - half, low[1], x + half, high[1]), (2 * step, 0.0, 0.0)) for x in at.tolist())]
    inner_low, inner_high = low + sizes.stile_mm, high - sizes.stile_mm
    if (inner_high - inner_low < 2 * sizes.bar_mm).any():
        return [face]
    if kind == "louvred door":
        return [face, *_louvres(inner_low, inner_high, sizes, scale)]
    return [face, *_panels(inner_low, inner_high, sizes)]


def _panels(low: Array, high: Array, sizes: Sizes) -> list[Cell]:
    """Four panels, the upper pair higher, with a lock rail between."""
    columns = 2 if high[0] - low[0] > 3 * sizes.stile_mm else 1
    rail = low[1] + 0.4 * (high[1] - low[1])
    half = sizes.stile_mm / 2
    width = (high[0] - low[0] - (columns - 1) * sizes.stile_mm) / columns
    cells = []
    for bottom, top in ((low[1], rail - half), (rail + half, high[1])):
        for column in range(columns):
            x = low[0] + column * (width + sizes.stile_mm)
            if top - bottom > sizes.bar_mm:
                cells.append(Cell(box(x, bottom, x + width, top), (2 * sizes.step_mm, 0.0, 0.0)))
    return cells


def _louvres(low: Array, high: Array, sizes: Sizes, scale: Scale) -> list[Cell]:
    """Blades that lean outward at their lower edges."""
    count = max(2, round((high[1] - low[1]) / max(scale.to_mm(LOUVRE_M), LOUVRE_LEAST_MM)))
    at = np.linspace(low[1], high[1], count + 1)
    drop = 2 * sizes.step_mm
    cells = []
    for bottom, top in pairwise(at.tolist()):
        rate = drop / (top - bottom)
        cells.append(Cell(box(low[0], bottom, high[0], top), (float(sizes.step_mm - rate * bottom), 0.0, float(rate))))
    return cells


def _window(kind: str, low: Array, high: Array, panes: tuple[int, int], sizes: Sizes) -> list[Cell]:
    """Sashes with panes of glass as holes between glazing bars."""
    step = sizes.step_mm
    stile = sizes.bar_mm if kind == "metal window" else sizes.stile_mm * 0.6 + sizes.bar_mm * 0.4
    parts: list[tuple[Array, Array, int, int, float]] = []
    columns, rows = panes
    if kind == "sash window":
        middle = (low[1] + high[1]) / 2
        upper = max(1, rows // 2)
        parts.append((low, np.array([high[0], middle]), columns, max(1, rows - upper), 2 * step))
        parts.append((np.array([low[0], middle]), high, columns, upper, step))
    else:
        parts.append((low, high, columns, rows, step))
    cells: list[Cell] = []
    for a, b, across, up, depth in parts:
        cells.append(Cell(box(a[0], a[1], b[0], b[1]), (depth, 0.0, 0.0)))
        cells += glass_cells(a + stile, b - stile, across, up, sizes.bar_mm)
    return cells


def glass_cells(low: Array, high: Array, columns: int, rows: int, bar: float) -> list[Cell]:
    """Panes, as many as fit between bars of a width the printer makes."""
    room = high - low
    columns = max(1, min(columns, int((room[0] + bar) / (2 * bar))))
    rows = max(1, min(rows, int((room[1] + bar) / (2 * bar))))
    wide, tall = (room[0] - (columns - 1) * bar) / columns, (room[1] - (rows - 1) * bar) / rows
    if min(wide, tall) < bar / 2:
        return []
    return [
        Cell(box(x, y, x + wide, y + tall), None)
        for x in (low[0] + np.arange(columns) * (wide + bar)).tolist()
        for y in (low[1] + np.arange(rows) * (tall + bar)).tolist()
    ]


def told_of_bars(
    number: str, request: OpeningRequest, cells: Sequence[Cell], sizes: Sizes, scale: Scale
) -> list[Finding]:
    """Tell that glazing bars are drawn wider than true, and that panes were left out that do not fit between them.

    Parameters
    ----------
    number : str
        Number of the part.
    request : OpeningRequest
        What was asked for.
    cells : sequence of Cell
        What is drawn.
    sizes : Sizes
        Widths, as drawn.
    scale : Scale
        How small.
    """
    columns, rows = parse_panes(request.panes, number)
    if not request.insert.endswith("window"):
        return []
    panes, wanted = sum(cell.plane is None for cell in cells), columns * rows
    found = []
    if sizes.bar_mm > scale.to_mm(BAR_M) + 1e-9 and panes > (2 if request.insert == "sash window" else 1):
        text = (
            f"its glazing bars are drawn {sizes.bar_mm:.2f} mm wide, the least that holds, "
            f"where {1000 * BAR_M:.0f} mm would be {scale.to_mm(BAR_M):.2f} mm"
        )
        found.append(Finding(Severity.NOTE, "bars-widened", number, text))
    if panes < wanted:
        text = f"{panes} of {wanted} panes fit between glazing bars {sizes.bar_mm:.2f} mm wide"
        found.append(Finding(Severity.NOTE, "panes-left-out", number, text, "ask for fewer panes or a larger scale"))
    return found


def cell_number(cell: Cell, number: int) -> int:
    """The cell a ring is laid with: its own plane, or a hole."""
    return OUTSIDE if cell.plane is None else number
