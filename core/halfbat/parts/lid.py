"""The flat lid: a plate that lies on the shell inside the skins, with a lip that finds its place."""

from __future__ import annotations

import numpy as np

from halfbat.errors import KitError
from halfbat.parts.marks import fitted_mark
from halfbat.parts.outlines import Outline, keeps_sides, require_room, set_back
from halfbat.parts.placing import as_printed, frame
from halfbat.parts.rooms import largest_room
from halfbat.parts.shell import MARK_MARGIN_MM, Built, Stack, floor_top_mm, shell_top_mm
from halfbat.settings import Settings
from halfbat.solids.figure import Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.relief import Relief

LEAD_IN_MM = 0.5
_PLATE, _LIP, _MARK, _LEAD_IN = range(4)


def build_lid(stack: Stack, settings: Settings, number: str) -> Built:
    """Build the lid, printed top down with its lip away from the plate.

    Parameters
    ----------
    stack : Stack
        Faces and skins.
    settings : Settings
        Lid, shell, marks and filament process.
    number : str
        Engraved on its underside.

    Raises
    ------
    KitError
        The building is too small for a lip.
    """
    lid, filament, gap = settings.lid, settings.filament, settings.skin.glue_gap_mm
    layer = filament.part_layer_mm
    centre = (stack.plan_mm.min(axis=0) + stack.plan_mm.max(axis=0)) / 2
    wall_mm = settings.shell.wall_lines * filament.line_width_mm
    inside = gap + wall_mm + filament.fit_mm
    # The lid is printed upside down, so its drawing is the plan seen from below.
    # However loose the fit, the plate lies on the shell's walls.
    edge, lip, bore = (
        _seen_from_below(stack.behind_skin(by) - centre)
        for by in (min(filament.fit_mm, gap + wall_mm / 2), inside, inside + lid.lip_thickness_mm)
    )
    require_room(lip, "the lip of its lid", "choose a larger scale or fewer wall lines")
    plate_mm = stack.height_mm + settings.shell.ledge_height_mm - shell_top_mm(stack, settings)
    plate_mm = float(np.floor(plate_mm / layer + 1e-6) * layer)
    depth = min(lid.lip_depth_mm, shell_top_mm(stack, settings) - floor_top_mm(stack, settings) - layer)
    if depth < layer:
        raise KitError("the walls are too low for the lip of a lid", "building", "choose a larger scale or no lid")
    layers = [Layer.union([edge], _PLATE), Layer.union([lip], _LIP), Layer.union([bore], _PLATE)]
    planes = [[plate_mm, 0, 0], [plate_mm + depth, 0, 0], [plate_mm, 0, 0]]
    size = min(LEAD_IN_MM, lid.lip_thickness_mm / 2, depth / 2)
    tiles, slopes = _lead_in(lip, size, plate_mm + depth) if len(lip) == len(edge) else ([], [])
    if tiles:
        layers.append(Layer.tiles(tiles, range(_LEAD_IN, _LEAD_IN + len(tiles))))
        planes += slopes
    mark = None
    free = _seen_from_below(stack.behind_skin(inside + lid.lip_thickness_mm + MARK_MARGIN_MM) - centre)
    room = largest_room([free]) if settings.mark.make else None
    if room is not None:
        height = settings.mark.filament_height_mm
        mark = fitted_mark(number, room, height, filament, on_plate=False, thickness_mm=plate_mm)
    if mark is not None:
        layers.append(Layer.patches(mark.rings_mm, _MARK))
        planes[_MARK] = [plate_mm - mark.depth_mm, 0, 0]
    front = Relief(Figure(tuple(layers)), np.array(planes, dtype=np.float64))
    solid = plate(front, Relief.flat(Figure((layers[0],)), [0.0]))
    top = stack.base_mm - settings.shell.ledge_height_mm + shell_top_mm(stack, settings) + plate_mm
    return Built(*as_printed(solid, frame((1, 0, 0), (0, -1, 0), (0, 0, -1), (*centre, top))), mark)


def _seen_from_below(outline: Outline) -> Outline:
    return np.asarray((outline * (1.0, -1.0))[::-1], dtype=np.float64)


def _lead_in(lip: Outline, size_mm: float, top_mm: float) -> tuple[list[Outline], list[list[float]]]:
    """Slope the outer edge of the lip's end at 45 degrees: one strip and its plane for each side."""
    if not keeps_sides(lip, set_back(lip, size_mm), 2 * size_mm):
        return [], []
    inner = set_back(lip, size_mm)
    tiles, planes = [], []
    for i in range(len(lip)):
        j = (i + 1) % len(lip)
        along = (lip[j] - lip[i]) / np.linalg.norm(lip[j] - lip[i])
        inward = np.array([-along[1], along[0]])
        tiles.append(np.array([lip[i], lip[j], inner[j], inner[i]]))
        planes.append([top_mm - size_mm - float(inward @ lip[i]), float(inward[0]), float(inward[1])])
    return tiles, planes
