"""The filament coupon: slots for a plug at growing gaps, walls of whole lines, holes, a corner, scale bars."""

from __future__ import annotations

from collections.abc import Iterator

from halfbat.parts.glyphs import LEAST_HEIGHT
from halfbat.printing.coupon.blocks import Block, Shape, box, disc, in_rows, labelled, solid_of, text_block
from halfbat.printing.coupon.resin import LONGEST_BAR_MM, outline_mm
from halfbat.settings import FilamentProcess
from halfbat.solids.solid import Solid

GAPS_MM = tuple(round(0.05 * k, 2) for k in range(1, 8))
HOLES_MM = (1.0, 1.5, 2.0, 2.5, 3.0, 4.0)
WALL_LINES = (1, 2, 3, 4)
PLUG_LINES = 3
PLUG_LENGTH_MM = 8.0
WALL_LENGTH_MM = 8.0
CORNER_MM = 10.0
BETWEEN_MM = 2.5
LONGEST_Y_MM = 60.0
_FOOT_LAYERS_MM = 3.0
_UP_MM = 8.0
_HOLE_SIDES = 24
_GRIP_MM = (14.0, 6.0)


def _layers(process: FilamentProcess, about_mm: float) -> float:
    return round(max(1, round(about_mm / process.part_layer_mm)) * process.part_layer_mm, 6)


def foot_mm(process: FilamentProcess) -> float:
    """Thickness of the foot, in whole layers."""
    return _layers(process, _FOOT_LAYERS_MM)


def height_mm(process: FilamentProcess) -> float:
    """Height of the walls over the plate, for the reading along Z."""
    return foot_mm(process) + _layers(process, _UP_MM)


def bars_mm(process: FilamentProcess) -> tuple[float, float]:
    """Lengths of the scale bars along X and Y, whole tens."""
    x, y, _ = process.part_room_mm
    return min(LONGEST_BAR_MM, 10.0 * int(x / 10 + 1e-9)), min(LONGEST_Y_MM, 10.0 * int(y / 10 + 1e-9))


def _blocks(process: FilamentProcess) -> Iterator[Block]:
    foot, top, line = foot_mm(process), height_mm(process), process.line_width_mm
    stroke = process.min_stroke_mm
    floor = foot - _layers(process, process.min_mark_depth_mm)
    bar_x, bar_y = bars_mm(process)

    def label(text: str, *, starts_row: bool = False) -> Block:
        return text_block(text, LEAST_HEIGHT * stroke, stroke, floor, starts_row=starts_row)

    for text in ("F1", f"X{bar_x:.0f}", f"Y{bar_y:.0f}", f"Z{top:.0f}"):
        yield label(text)
    yield label("L", starts_row=True)
    for gap in GAPS_MM:
        wide, long = PLUG_LINES * line + 2 * gap, PLUG_LENGTH_MM + 2 * gap
        yield labelled(label(f"{100 * gap:02.0f}"), Block((wide, long), (Shape(None, (box(0, 0, wide, long),)),)), 1.2)
    yield label("H", starts_row=True)
    for across in HOLES_MM:
        hole = Shape(None, (disc(across / 2, across / 2, across, _HOLE_SIDES),))
        yield labelled(label(f"{10 * across:.0f}"), Block((across, across), (hole,)), 1.2)
    yield label("W")
    for lines in WALL_LINES:
        wall = Shape(top, (box(0.0, 0.0, lines * line, WALL_LENGTH_MM),))
        yield labelled(label(f"{lines}"), Block((lines * line, WALL_LENGTH_MM), (wall,)), 1.2)
    two = 2 * line
    corner = Shape(top, (box(0.0, 0.0, CORNER_MM, two), box(0.0, 0.0, two, CORNER_MM)))
    yield labelled(label("C"), Block((CORNER_MM, CORNER_MM), (corner,)), 1.2)


def plate_solid(process: FilamentProcess) -> Solid:
    """Return the foot with everything in it and on it."""
    bar_x, bar_y = bars_mm(process)
    sheet = in_rows(list(_blocks(process)), bar_x, BETWEEN_MM)
    return solid_of(outline_mm(bar_x, bar_y, sheet), foot_mm(process), sheet.shapes)


def plug_solid(process: FilamentProcess) -> Solid:
    """Return the plug: a grip with a tongue as thick as the lip of a lid."""
    grip = _layers(process, 3.0)
    wide, deep = _GRIP_MM
    thick = PLUG_LINES * process.line_width_mm
    x, y = (wide - PLUG_LENGTH_MM) / 2, (deep - thick) / 2
    tongue = Shape(grip + _layers(process, 4.0), (box(x, y, x + PLUG_LENGTH_MM, y + thick),))
    return solid_of(box(0.0, 0.0, wide, deep), grip, (tongue,))
