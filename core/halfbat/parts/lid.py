"""The flat lid: a plate that lies on the shell inside the skins, with a lip that finds its place and holds there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from halfbat.parts.lip import LEAD_IN_MM, bumps_on, notches_in
from halfbat.parts.marks import RIM_MM, fitted_mark
from halfbat.parts.masses import MassStack, SkinBlock, freed
from halfbat.parts.outlines import LEAST_ROOM_MM2, Outline, area_mm2, keeps_sides, require_room, set_back
from halfbat.parts.placing import as_printed, frame
from halfbat.parts.remains import without_crumbs
from halfbat.parts.roof_light_sites import Shaft
from halfbat.parts.rooms import largest_room
from halfbat.parts.section import Section, cut_off
from halfbat.parts.shell import Built
from halfbat.parts.sturdy import sturdy_rings
from halfbat.settings import Settings
from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.relief import Relief

LEAST_CLEAR_MM = 0.3
_PLATE, _LIP, _MARK, _LEAD_IN = range(4)
_HAIR_MM2 = 1e-4


def build_lid(
    mass: MassStack,
    settings: Settings,
    number: str,
    skins: Sequence[SkinBlock] = (),
    shafts: Sequence[Shaft] = (),
    section: Section | None = None,
) -> Built:
    """Build the lid of a flat roof, printed top down with its lip away from the plate.

    Parameters
    ----------
    mass : MassStack
        Plan and skins.
    settings : Settings
        Lid, shell, marks and filament process.
    number : str
        Engraved on its underside.
    skins : sequence of SkinBlock
        What the skins of walls take up.
    shafts : sequence of Shaft
        Openings under roof lights.
    section : Section, optional
        Build this section of it only.

    Raises
    ------
    KitError
        The mass is too small for a lid, or too low for its lip.
    """
    lid, filament, centre = settings.lid, settings.filament, mass.centre_mm
    fit, foot = filament.fit_mm, settings.shell.ledge_height_mm
    edge, lip, bore = _rings(mass, settings)
    top = mass.shell_top_mm(settings)
    plate_mm = _plate_mm(mass, settings)
    through = [_seen_from_below(shaft.ring_mm - centre) for shaft in shafts]
    part = None if section is None else section.moved(-centre).seen_from_below()
    open_ = [*([Layer.patches(through, OUTSIDE)] if through else []), *cut_off(part)]
    where = frame((1, 0, 0), (0, -1, 0), (0, 0, -1), (*centre, lid_top_mm(mass, settings)))
    free = [replace(skin, ring_mm=_seen_from_below(skin.ring_mm - centre)) for skin in skins]
    seat = mass.base_mm - foot + top
    if not has_lip(mass, settings):
        require_room(edge[0], mass.corners_mm, "a lid", "choose a larger scale")
        slab = Figure((Layer.union(freed(edge, free, seat, seat + plate_mm), _PLATE), *open_))
        return Built(*as_printed(plate(Relief.flat(slab, [plate_mm]), Relief.flat(slab, [0.0])), where), None)
    depth = _lip_depth_mm(mass, settings)
    # A lid over the walls lies on top of their skins.
    edge = freed(edge, free, seat if mass.overhang_mm else seat - depth, seat + plate_mm)
    lips = Layer.union(without_crumbs(freed(lip, free, seat - depth, seat), bore, filament.min_wall_mm), _LIP)
    # Between ribs along its cuts it is a plate again.
    hollow = [*bore, *(() if part is None else (rib[::-1] for rib in part.ribs))]
    layers = [Layer.union(edge, _PLATE), lips, Layer.union(hollow, _PLATE)]
    planes = [[plate_mm, 0, 0], [plate_mm + depth, 0, 0], [plate_mm, 0, 0]]
    size = min(LEAD_IN_MM, lid.lip_thickness_mm / 2, depth / 2)
    plain = len(lip) == 1 and len(lip[0]) == len(mass.corners_mm)
    tiles, slopes = _lead_in(lip[0], size, plate_mm + depth) if plain else ([], [])
    if tiles:
        # Each its own layer: at sharp corners rounding makes neighbours overlap by a hair.
        layers.extend(Layer.patches([tile], _LEAD_IN + k) for k, tile in enumerate(tiles))
        planes += slopes
    on_shell = _seen_from_below(mass.behind(fit, fit)[0] - centre)
    bumps = [bump for bump in bumps_on(lip[0], on_shell, fit) if _stands_free(bump, free, seat - depth, seat)]
    start = plate_mm + depth - 2 * min(LEAD_IN_MM, depth / 3)
    for rings, height in ((bumps, start), (notches_in(lip[0], bore[0]), plate_mm)):
        if rings:
            layers.append(Layer.patches(rings, len(planes)))
            planes.append([height, 0, 0])
    mark = None
    taken = [set_back(ring, -RIM_MM / 2)[::-1] for ring in through]
    taken += [] if part is None else part.taken
    room = largest_room([*bore, *taken], margin_mm=RIM_MM) if settings.mark.make else None
    if room is not None:
        height = settings.mark.filament_height_mm
        mark = fitted_mark(number, room, height, filament, on_plate=False, thickness_mm=plate_mm)
    if mark is not None:
        layers.append(Layer.patches(mark.rings_mm, _MARK))
        planes[_MARK] = [plate_mm - mark.depth_mm, 0, 0]
    front = Relief(Figure((*layers, *open_)), np.array(planes, dtype=np.float64))
    solid = plate(front, Relief.flat(Figure((layers[0], *open_)), [0.0]))
    return Built(*as_printed(solid, where), mark)


def _rings(mass: MassStack, settings: Settings) -> tuple[list[Outline], list[Outline], list[Outline]]:
    """Outlines of the plate, of the lip and of what is within it; drawn as seen from below, as the lid is printed."""
    lid, filament = settings.lid, settings.filament
    fit, gap = filament.fit_mm, settings.skin.glue_gap_mm
    wall_mm = settings.shell.wall_lines * filament.line_width_mm
    inside = gap + wall_mm + fit
    # However loose the fit, the plate lies on the shell's walls.
    edge = lid_edges(mass, settings) if mass.overhang_mm else mass.behind(fit, min(fit, gap + wall_mm / 2))
    drawn = edge, mass.behind(fit, inside), mass.behind(fit + lid.lip_thickness_mm, inside + lid.lip_thickness_mm)
    edge, lip, bore = ([_seen_from_below(ring - mass.centre_mm) for ring in rings] for rings in drawn)
    return sturdy_rings(edge, filament.min_wall_mm), sturdy_rings(lip, filament.min_wall_mm), bore


def has_lip(mass: MassStack, settings: Settings) -> bool:
    """Whether there is room in the shell for the lip of a lid; else it lies on the shell and is glued on."""
    lip = _rings(mass, settings)[1][0]
    # A wedge that is nowhere wide enough to hold is no lip either.
    holds = area_mm2(lip) >= LEAST_ROOM_MM2 and area_mm2(set_back(lip, settings.filament.min_wall_mm / 2)) > 0.0
    return holds and _lip_depth_mm(mass, settings) >= settings.filament.part_layer_mm


def _lip_depth_mm(mass: MassStack, settings: Settings) -> float:
    room = mass.shell_top_mm(settings) - mass.floor_top_mm(settings) - settings.filament.part_layer_mm
    return min(settings.lid.lip_depth_mm, room)


def _plate_mm(mass: MassStack, settings: Settings) -> float:
    """Thickness of a lid's plate, whole layers."""
    layer, foot = settings.filament.part_layer_mm, settings.shell.ledge_height_mm
    return float(np.floor((mass.height_mm + foot - mass.shell_top_mm(settings)) / layer + 1e-6) * layer)


def lid_top_mm(mass: MassStack, settings: Settings) -> float:
    """Height of a lid's top in the building's frame."""
    return mass.base_mm - settings.shell.ledge_height_mm + mass.shell_top_mm(settings) + _plate_mm(mass, settings)


def lid_bore(mass: MassStack, settings: Settings) -> list[Outline]:
    """Outlines in plan of what lies within the lip of a lid."""
    lid, filament = settings.lid, settings.filament
    behind = settings.skin.glue_gap_mm + settings.shell.wall_lines * filament.line_width_mm + filament.fit_mm
    return mass.behind(filament.fit_mm + lid.lip_thickness_mm, behind + lid.lip_thickness_mm)


def lid_edges(mass: MassStack, settings: Settings) -> list[Outline]:
    """Outlines of a lid that reaches over the walls, without its fascia boards."""
    boards = flat_board_mm(settings) + settings.skin.corner_gap_mm / 2 if has_boards(mass, settings) else 0.0
    edges = []
    for ring in mass.rings:
        at_wall = np.where(ring.walled, 0.0, ring.skin_mm + settings.filament.fit_mm)
        edges.append(set_back(ring.corners_mm, np.where(ring.outer, boards - mass.overhang_mm, at_wall)))
    return edges


def flat_board_mm(settings: Settings) -> float:
    """Thickness of the fascia boards of a flat roof."""
    return settings.resin.min_wall_mm


def has_boards(mass: MassStack, settings: Settings) -> bool:
    """Whether the lid of a mass has fascia boards."""
    return settings.roof.eaves_board and mass.overhang_mm >= flat_board_mm(settings) + LEAST_CLEAR_MM


def _stands_free(ring: Outline, skins: Sequence[SkinBlock], low_mm: float, high_mm: float) -> bool:
    """Whether no skin stands where a bump would be."""
    whole = area_mm2(ring)
    near = [skin.ring_mm for skin in skins if skin.low_mm < high_mm and skin.high_mm > low_mm]
    return all(whole - area_mm2(ring, other) < _HAIR_MM2 for other in near)


def _seen_from_below(outline: Outline) -> Outline:
    return np.asarray((outline * (1.0, -1.0))[::-1], dtype=np.float64)


def _lead_in(lip: Outline, size_mm: float, top_mm: float) -> tuple[list[Outline], list[list[float]]]:
    """Slope the outer edge of the lip's end at 45 degrees: one strip and its plane for each side."""
    if np.linalg.norm(np.roll(lip, -1, axis=0) - lip, axis=1).min() < 4 * size_mm:
        return [], []
    inner = set_back(lip, size_mm)
    if not keeps_sides(lip, inner, 2 * size_mm):
        return [], []
    tiles, planes = [], []
    for i in range(len(lip)):
        j = (i + 1) % len(lip)
        along = (lip[j] - lip[i]) / np.linalg.norm(lip[j] - lip[i])
        inward = np.array([-along[1], along[0]])
        tiles.append(np.array([lip[i], lip[j], inner[j], inner[i]]))
        planes.append([top_mm - size_mm - float(inward @ lip[i]), float(inward[0]), float(inward[1])])
    # Where the lip is so narrow that its strips would run into each other it goes without.
    whole = sum(_area(tile) for tile in tiles)
    return (tiles, planes) if abs(area_mm2(*tiles) - whole) < 1e-3 else ([], [])


def _area(ring: Outline) -> float:
    x, y = ring[:, 0], ring[:, 1]
    return float((x * np.roll(y, -1) - y * np.roll(x, -1)).sum()) / 2
