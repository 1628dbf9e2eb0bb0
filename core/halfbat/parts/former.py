"""The roof former: the filament body under the skins of a pitched roof, which lifts off with them.

Its underside is level and lies on the shell; its top follows the slopes, lower by the thickness of their skins. A lip
under it reaches into the shell.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from halfbat.parts.former_underside import BEARING_MM, PAD_RIM_MM, RIB_LINES, Underside, pad_of, underside
from halfbat.parts.marks import RIM_MM, Mark, Room, fitted_mark
from halfbat.parts.masses import FORMER_EDGE_MM, MassStack, SkinBlock, freed
from halfbat.parts.narrow_places import in_one_piece
from halfbat.parts.outlines import Outline, area_mm2, require_room, set_back
from halfbat.parts.placing import as_printed, frame
from halfbat.parts.remains import outlines_of, without_crumbs
from halfbat.parts.roof_light_room import within
from halfbat.parts.roof_light_sites import UNDER_MM, Shaft
from halfbat.parts.rooms import largest_room
from halfbat.parts.section import Section, cut_off
from halfbat.parts.shell import Built
from halfbat.parts.sturdy import sturdy_rings
from halfbat.settings import Settings
from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.relief import Relief

MEET_MM = 3e-3
LEVEL_MM = 1e-3
SETTLED_MM = 5e-3
"""How far it stands off the shell, where corners of its flared underside are rounded to less."""
RECESS_MM = 1.2
LEAST_RECESS_MM = 0.4
LEAST_LIP_MM2 = 1.0
THICKER = 1.1
"""By what factor a lip is thicker than what of it is left out as too narrow."""
TENON_MM, MORTISE_MM = 1.5, 1.9
"""Height over the seat of a key and of its socket: over the flared underside beside it, under the edge of the roof."""
_BASE = 0


def build_former(
    mass: MassStack,
    settings: Settings,
    number: str,
    skins: Sequence[SkinBlock] = (),
    pockets: Sequence[tuple[Outline, float]] = (),
    shafts: Sequence[Shaft] = (),
    section: Section | None = None,
) -> Built:
    """Build the former of a pitched roof, standing as it will on the building.

    Parameters
    ----------
    mass : MassStack
        Plan, skins and slopes.
    settings : Settings
        Lid (for its lip), shell, marks and filament process.
    number : str
        Engraved on its underside.
    skins : sequence of SkinBlock
        What the skins of walls take up.
    pockets : sequence of (ndarray (K, 2), float)
        Outlines in plan and height of what stands in its top, as chimneys do.
    shafts : sequence of Shaft
        Openings under roof lights: through it where the shell below is hollow, else a recess.
    section : Section, optional
        Build this section of it only.

    Raises
    ------
    KitError
        The mass is too small for a roof.
    """
    lid, filament, centre = settings.lid, settings.filament, mass.centre_mm
    fit = filament.fit_mm
    wall = settings.skin.glue_gap_mm + settings.shell.wall_lines * filament.line_width_mm + fit
    edge = sturdy_rings(_moved(mass.behind(fit, fit), centre), filament.min_wall_mm)
    lip = sturdy_rings(_moved(mass.behind(fit, wall), centre), filament.min_wall_mm)
    bore = _moved(mass.behind(fit + lid.lip_thickness_mm, wall + lid.lip_thickness_mm), centre)
    require_room(edge[0], mass.corners_mm, "a roof", "choose a larger scale")
    level = mass.base_mm - settings.shell.ledge_height_mm + mass.shell_top_mm(settings) + SETTLED_MM
    planes = [[FORMER_EDGE_MM, 0.0, 0.0]]
    for slope in (*mass.slopes, *mass.folds):
        a, b, c = slope.plane
        planes.append([a + b * centre[0] + c * centre[1] - slope.lowering_mm - level, b, c])
    blocks = [replace(skin, ring_mm=skin.ring_mm - centre) for skin in skins]
    top = level + max(float((plane[0] + ring @ plane[1:]).max()) for ring, plane in _over(mass, planes, centre))
    whole = freed(edge, blocks, level - lid.lip_depth_mm, top)
    base, cut = Layer.union(whole, _BASE), in_one_piece(whole, filament.min_wall_mm)
    slopes = _slopes(mass, planes, centre)
    sunk = [Layer.patches([ring - centre], len(planes) + k) for k, (ring, _) in enumerate(pockets)]
    planes += [[floor - level, 0.0, 0.0] for _, floor in pockets]
    below = Underside((), (), tuple(bore))
    collar = RIB_LINES * filament.line_width_mm
    moved = [shaft.moved(centre) for shaft in shafts]
    through = [shaft.ring_mm for shaft in moved if _hollow_under(shaft.ring_mm, bore, collar)]
    part = None if section is None else section.moved(-centre)
    if area_mm2(*lip) > LEAST_LIP_MM2:
        under = without_crumbs(freed(lip, blocks, level - lid.lip_depth_mm, level), bore, filament.min_wall_mm)
        stands = [*map(_grown(collar), through), *(() if part is None else part.ribs)]
        body = outlines_of([whole], [cut] if cut else [])
        line, least = filament.line_width_mm, min(filament.min_wall_mm, lid.lip_thickness_mm / THICKER)
        below = underside((edge, lip, bore), under, body, lid.lip_depth_mm, fit, line, 1, least, stands)
    solid = [shaft for shaft in moved if not _hollow_under(shaft.ring_mm, bore, collar)]
    recesses = [(shaft.ring_mm, floor) for shaft in solid if (floor := _recess(shaft, level)) is not None]
    sunk += [Layer.patches([ring], len(planes) + k) for k, (ring, _) in enumerate(recesses)]
    planes += [floor for _, floor in recesses]
    tenons, mortises = ((), ()) if part is None else (part.tenons, part.mortises)
    sunk += [Layer.patches([ring], len(planes) + k) for k, ring in enumerate(tenons)]
    planes += [[TENON_MM, 0.0, 0.0]] * len(tenons)
    open_ = [*_open(cut, through), *cut_off(part)]
    front = Relief(Figure((base, *slopes, *sunk, *open_)), np.array(planes))
    layers = [base, *below.layers]
    heights = [(0.0, 0.0, 0.0), *below.planes]
    layers += [Layer.patches([ring], len(heights) + k) for k, ring in enumerate(mortises)]
    heights += [(MORTISE_MM, 0.0, 0.0)] * len(mortises)
    pad, mark = _mark(number, below, settings, part)
    if mark is not None:
        layers += [Layer.patches([pad], len(heights)), Layer.patches(mark.rings_mm, len(heights) + 1)]
        heights += [(-lid.lip_depth_mm, 0.0, 0.0), (mark.depth_mm - lid.lip_depth_mm, 0.0, 0.0)]
    back = Relief(Figure((*layers, *open_)), np.array(heights))
    where = frame((1, 0, 0), (0, 1, 0), (0, 0, 1), (*centre, level))
    return Built(*as_printed(plate(front, back), where), mark)


def _slopes(mass: MassStack, planes: list[list[float]], centre: Outline) -> list[Layer]:
    """Slopes seen from above, cells from 1 on, and the strips beside their ridges over them."""
    count = len(mass.slopes)
    rings = with_meetings([np.round(slope.ring_mm - centre, 3) for slope in mass.slopes], planes[1 : 1 + count])
    # Where the plan goes on beside a slope, its edge lies there.
    rings = [_with_crossings(ring, planes[1 + k], planes[:1]) for k, ring in enumerate(rings)]
    # Borders with a corner on one side only part by the rounding of that corner: the later slope lies over it.
    tiles = [Layer.patches([ring], 1 + k) for k, ring in enumerate(rings)]
    strips = [np.round(fold.ring_mm - centre, 3) for fold in mass.folds]
    folds = [
        Layer.patches([_with_crossings(ring, planes[1 + count + k], planes)], 1 + count + k)
        for k, ring in enumerate(strips)
    ]
    return [*tiles, *folds]


def _open(cut: Sequence[Outline], through: Sequence[Outline]) -> list[Layer]:
    layers = [Layer.union(cut, OUTSIDE)] if cut else []
    return [*layers, Layer.patches(through, OUTSIDE)] if through else layers


def _mark(number: str, below: Underside, settings: Settings, section: Section | None) -> tuple[Outline, Mark | None]:
    """The number in the hollow between lips and ribs, and the pad that carries it."""
    free = list(below.hollow)
    taken = [] if section is None else section.taken
    room = largest_room([*free, *taken], margin_mm=RIM_MM, mirrored=True) if settings.mark.make else None
    if room is None or not below.layers:
        return np.zeros((0, 2)), None
    pad = pad_of(room, free)
    inner = Room((room.low[0], pad[0][1] + PAD_RIM_MM), (room.high[0], pad[2][1] - PAD_RIM_MM), mirrored=True)
    height, depth = settings.mark.filament_height_mm, settings.lid.lip_depth_mm
    return pad, fitted_mark(number, inner, height, settings.filament, on_plate=True, thickness_mm=depth)


def caps_keys(settings: Settings) -> bool:
    """Whether keys between its sections are lower than its edge, so that the roof stays whole over them.

    They must not be lower than what rises beside its lip.
    """
    wall_mm = settings.skin.glue_gap_mm + settings.shell.wall_lines * settings.filament.line_width_mm
    return wall_mm - settings.filament.fit_mm - BEARING_MM < TENON_MM


def former_height_mm(mass: MassStack, settings: Settings) -> float:
    """How tall the former of a mass is as printed, its lip included."""
    level = mass.base_mm - settings.shell.ledge_height_mm + mass.shell_top_mm(settings) + SETTLED_MM
    top = max(float(slope.under_mm(slope.ring_mm).max()) for slope in mass.slopes)
    return top - level + settings.lid.lip_depth_mm


def _grown(by_mm: float) -> Callable[[Outline], Outline]:
    return lambda ring: set_back(ring, -by_mm)


def _hollow_under(ring: Outline, bore: Sequence[Outline], collar_mm: float) -> bool:
    """Whether an opening and the wall round it come out within the lip."""
    return within(set_back(ring, -collar_mm), bore)


def _recess(shaft: Shaft, level: float) -> list[float] | None:
    """Floor of a recess under a roof light, None where the former is too thin for one."""
    a, b, c = shaft.plane
    over = float((a + shaft.ring_mm @ np.array([b, c])).min()) - level
    deep = min(RECESS_MM, over - UNDER_MM)
    return [a - level - deep, b, c] if deep >= LEAST_RECESS_MM else None


def _over(mass: MassStack, planes: list[list[float]], centre: Outline) -> list[tuple[Outline, Outline]]:
    """Each slope's ring and plane, from the middle of the mass."""
    return [(slope.ring_mm - centre, np.array(plane)) for slope, plane in zip(mass.slopes, planes[1:], strict=False)]


def with_meetings(rings: list[Outline], planes: list[list[float]]) -> list[Outline]:
    """Give rings that share a border a corner where their planes change from one above the other to below it.

    Parameters
    ----------
    rings : list of ndarray (K, 2)
        Outlines of slopes in plan.
    planes : list of (float, float, float)
        Height ``a + b * x + c * y`` of each.
    """
    places: list[list[Outline]] = [[] for _ in rings]
    for i, ring in enumerate(rings):
        for j in range(i + 1, len(rings)):
            apart = np.array(planes[i]) - np.array(planes[j])
            for p, q in zip(ring, np.roll(ring, -1, axis=0), strict=True):
                at_p, at_q = (float(apart[0] + apart[1:] @ end) for end in (p, q))
                if at_p * at_q < 0 and min(abs(at_p), abs(at_q)) > MEET_MM:
                    place = _off_level(p, q, np.round(p + (q - p) * (at_p / (at_p - at_q)), 3))
                    if _edge_at(rings[j], place) is not None:
                        places[i].append(place)
                        places[j].append(place)
    return [_inserted(ring, own) for ring, own in zip(rings, places, strict=True)]


def _with_crossings(ring: Outline, own: list[float], planes: list[list[float]]) -> Outline:
    """Give a ring a corner wherever another plane comes up through its own along one of its edges."""
    corners: list[Outline] = []
    for p, q in zip(ring, np.roll(ring, -1, axis=0), strict=True):
        shares = []
        for plane in planes:
            apart = np.array(own) - np.array(plane)
            at_p, at_q = (float(apart[0] + apart[1:] @ end) for end in (p, q))
            if at_p * at_q < 0 and min(abs(at_p), abs(at_q)) > MEET_MM:
                shares.append(at_p / (at_p - at_q))
        corners += [p, *(_off_level(p, q, np.round(p + (q - p) * share, 3)) for share in sorted(shares))]
    return np.array(corners)


def _off_level(p: Outline, q: Outline, place: Outline) -> Outline:
    """A place on an edge; a hair aside of a level one, in whose middle a figure keeps no corner."""
    return np.asarray(place + np.array([0.0, LEVEL_MM])) if abs(q[1] - p[1]) < LEVEL_MM else place


def _edge_at(ring: Outline, place: Outline) -> int | None:
    """The edge of a ring that a place lies on."""
    for k, (p, q) in enumerate(zip(ring, np.roll(ring, -1, axis=0), strict=True)):
        step = q - p
        length = float(np.hypot(*step))
        if length < 1e-9:
            continue
        along, off = (
            float((place - p) @ step) / length,
            float(step[0] * (place - p)[1] - step[1] * (place - p)[0]) / length,
        )
        if abs(off) < 2e-3 and 1e-3 < along < length - 1e-3:
            return k
    return None


def _inserted(ring: Outline, places: list[Outline]) -> Outline:
    for place in places:
        k = _edge_at(ring, place)
        if k is not None:
            ring = np.insert(ring, k + 1, place, axis=0)
    return ring


def _moved(rings: list[Outline], centre: Outline) -> list[Outline]:
    return [ring - centre for ring in rings]
