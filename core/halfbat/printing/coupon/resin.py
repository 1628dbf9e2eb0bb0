"""The resin coupon: ladders of grooves, holes and strokes, strips of brick, scale bars, and a mitre pair."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from halfbat.building import building_from_mesh, mesh_from_box
from halfbat.building.plain import structure_from_building
from halfbat.parts.glyphs import LEAST_HEIGHT
from halfbat.parts.kit_plan import plan_kit
from halfbat.parts.part import Part
from halfbat.parts.skins import build_panel
from halfbat.printing.coupon.blocks import (
    BETWEEN_MM,
    EDGE_MM,
    Block,
    Shape,
    Sheet,
    box,
    disc,
    in_rows,
    labelled,
    solid_of,
    text_block,
)
from halfbat.settings import ResinProcess, Settings
from halfbat.solids.solid import Solid
from halfbat.surfaces.joints import part_steps_mm, snapped_joints
from halfbat.units import Scale

GROOVES_MM = tuple(round(0.08 + 0.02 * k, 2) for k in range(12))
HOLES_MM = tuple(round(0.4 + 0.1 * k, 1) for k in range(9))
STROKES_MM = (0.10, 0.15, 0.20, 0.25, 0.30, 0.40, 0.50, 0.60)
STRIP_PX = (-2, -1, 0, 1, 2)
THICKNESS_MM = 1.5
RAISED_MM = 0.2
LABEL_STROKE_MM = 0.3
GROOVE_LENGTH_MM = 5.0
STRIP_MM = (9.0, 5.0)
ARM_MM = 8.0
LONGEST_BAR_MM = 100.0
MITRE_BOX_MM = (14.0, 11.0, 8.0)
_HOLE_SIDES = 16


def bars_mm(process: ResinProcess) -> tuple[float, float]:
    """Lengths of the scale bars along X and Y: 100 mm, or as many tens as leave the mitre pair its room beside them."""
    x, y, _ = process.part_room_mm
    y -= MITRE_BOX_MM[2] + process.spacing_mm + 1.0
    return min(LONGEST_BAR_MM, 10.0 * int(x / 10.0 + 1e-9)), min(LONGEST_BAR_MM, 10.0 * int(y / 10.0 + 1e-9))


def _label(text: str, *, starts_row: bool = False) -> Block:
    height = LEAST_HEIGHT * LABEL_STROKE_MM
    return text_block(text, height, LABEL_STROKE_MM, THICKNESS_MM - 0.3, starts_row=starts_row)


def _blocks(process: ResinProcess, scale: Scale) -> Iterator[Block]:
    layer = part_steps_mm(process)[2]
    joints = snapped_joints(scale, process)
    floor = THICKNESS_MM - joints.depth_mm
    bar_x, bar_y = bars_mm(process)
    for text in ("R1", f"X{bar_x:.0f}", f"Y{bar_y:.0f}"):
        yield text_block(text, LEAST_HEIGHT * 0.4, 0.4, THICKNESS_MM - 0.3)
    yield _label("H")
    for across in HOLES_MM:
        hole = Shape(None, (disc(across / 2, across / 2, across, _HOLE_SIDES),))
        yield labelled(_label(f"{10 * across:02.0f}"), Block((across, across), (hole,)), 0.8)
    yield _label("G", starts_row=True)
    for width in GROOVES_MM:
        groove = Shape(floor, (box(0.0, 0.0, width, GROOVE_LENGTH_MM),))
        yield labelled(_label(f"{100 * width:02.0f}"), Block((width, GROOVE_LENGTH_MM), (groove,)), 0.6)
    yield _label("S")
    for stroke in STROKES_MM:
        yield _stroke(stroke, round(max(1, round(process.min_mark_depth_mm / layer)) * layer, 6))
    yield _label("B", starts_row=True)
    for more in STRIP_PX:
        perpend, bed = (
            round(max(1, count + more) * step, 9)
            for count, step in zip((joints.perpend_px, joints.bed_px), part_steps_mm(process)[:2], strict=True)
        )
        yield labelled(_label(f"{100 * perpend:02.0f}"), _strip(perpend, bed, floor, process, scale), 0.6)


def _stroke(stroke: float, depth: float) -> Block:
    """Digits that say their own stroke, engraved below and raised above."""
    text, height = f"{100 * stroke:02.0f}", LEAST_HEIGHT * stroke
    cut = text_block(text, height, stroke, THICKNESS_MM - depth)
    raised = text_block(text, height, stroke, THICKNESS_MM + RAISED_MM)
    # Between the two there is room for an underline.
    return labelled(cut, raised, 0.6 + 2.5 * stroke)


def _strip(perpend: float, bed: float, floor: float, process: ResinProcess, scale: Scale) -> Block:
    """A strip of stretcher bond with joints of a width, on pixels counted from its corner."""
    step_x, step_y, _ = part_steps_mm(process)
    module, gauge = scale.to_mm(0.225), scale.to_mm(0.075)
    wide, high = STRIP_MM
    bricks = []
    for course in range(int(high / gauge)):
        low = round(course * gauge / step_y) * step_y + bed
        top = min(round((course + 1) * gauge / step_y) * step_y, high)
        shift = -module / 2 if course % 2 else 0.0
        for brick in range(int(wide / module) + 2):
            left = round((shift + brick * module) / step_x) * step_x + perpend
            right = min(round((shift + (brick + 1) * module) / step_x) * step_x, wide)
            left = max(left, 0.0)
            if right - left > 2 * step_x and top - low > 2 * step_y:
                bricks.append(box(left, low, right, top))
    return Block(STRIP_MM, (Shape(floor, (box(0.0, 0.0, wide, high),)), Shape(THICKNESS_MM, tuple(bricks))))


def plate_solid(process: ResinProcess, scale: Scale) -> Solid:
    """Return the plate with everything on it: as long as the scale bars along X and along Y."""
    bar_x, bar_y = bars_mm(process)
    sheet = in_rows(list(_blocks(process, scale)), bar_x, BETWEEN_MM)
    return solid_of(outline_mm(bar_x, bar_y, sheet), THICKNESS_MM, sheet.shapes)


def outline_mm(bar_x: float, bar_y: float, sheet: Sheet) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """Return the foot: the rows, and an arm at the left where the bar along Y is longer than they are high."""
    high = sheet.height_mm
    if high >= bar_y - EDGE_MM:
        return box(0.0, 0.0, bar_x, max(high, bar_y))
    return np.array([[0, 0], [bar_x, 0], [bar_x, high], [ARM_MM, high], [ARM_MM, bar_y], [0, bar_y]])


def mitre_pair(settings: Settings, scale: Scale) -> tuple[Part, Part]:
    """Return two skins that meet at a corner, made like those of any kit."""
    full = [size / scale.mm_per_m for size in MITRE_BOX_MM]
    building = building_from_mesh(mesh_from_box(*full), smallest_face_m=min(full) / 4)
    plan = plan_kit(structure_from_building(building), settings, scale)
    pair = []
    for number, wall in zip(("R2", "R3"), plan.walls[:2], strict=True):
        panel = build_panel(wall.facing, wall.seams.panels[0], settings, number)
        assert panel is not None, "a plain wall fills its panel"
        pair.append(Part(number, f"Mitre, side {number[-1]}", "skin", "resin", panel.solid, panel.place))
    return pair[0], pair[1]
