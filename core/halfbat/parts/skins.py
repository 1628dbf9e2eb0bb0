"""Skins: thin resin panels with bricks in relief, shaped at corners, seams, rakes and openings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.cells import PanelCell, Side
from halfbat.parts.corners import End
from halfbat.parts.dressing_layers import DressedFront, PanelWindow, dressed_front
from halfbat.parts.edged import Edged
from halfbat.parts.marks import RIM_MM, Mark, fitted_mark
from halfbat.parts.panel_bricks import owned_by, panel_bricks
from halfbat.parts.placing import Matrix, frame
from halfbat.parts.rooms import largest_room
from halfbat.parts.tabs import NECK_MM, TAB_THICKNESS_MM, Tab, box, cut_off_mm, number_tab
from halfbat.parts.wall_face import GRID_MM, with_bends
from halfbat.settings import Settings
from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.plate import LEDGE_MM, plate
from halfbat.solids.relief import Relief
from halfbat.solids.solid import Solid
from halfbat.solids.trapezoids import decompose
from halfbat.surfaces import Kind, Lattice, Laying, Rectangles
from halfbat.surfaces.dressing import Dressing
from halfbat.surfaces.joints import Joints, part_steps_mm
from halfbat.surfaces.openings import OpeningUnits
from halfbat.surfaces.rectangles import course_spans

Array = NDArray[np.float64]
_JOINT = 0
_BEYOND_MM = 10.0


@dataclass(frozen=True, slots=True, eq=False)
class Facing:
    """What all panels of a wall share.

    Parameters
    ----------
    where : str
        Name of the wall for findings.
    laying : Laying
        Its bricks.
    joints : Joints
        Width and depth of joints, snapped to the printer.
    base_mm : float
        Thickness behind the joints.
    face : Edged
        Outline of the finished face in the wall's frame, ended at its corners.
    left, right : End
        How the skin ends at the wall's two corners.
    foot_mm : ndarray (3,)
        Lower left corner of the wall's frame, in the building's frame.
    along, outward : ndarray (2,)
        Unit vectors in plan.
    openings : tuple of OpeningUnits
        Doors and windows.
    dressings : tuple of Dressing
        Finishes and features, the lowest first.
    heads_mm : tuple of ndarray (4, 2)
        Where openings reach up to the edge, since nothing over them would hold.
    """

    where: str
    laying: Laying
    joints: Joints
    base_mm: float
    face: Edged
    left: End
    right: End
    foot_mm: Array
    along: Array
    outward: Array
    openings: tuple[OpeningUnits, ...] = ()
    dressings: tuple[Dressing, ...] = ()
    heads_mm: tuple[Array, ...] = ()

    @property
    def depth_mm(self) -> float:
        """Whole thickness, from the brick faces to the back."""
        return self.base_mm + self.joints.depth_mm


@dataclass(frozen=True, slots=True, eq=False)
class Panel:
    """A skin panel in its print frame, marked on its back or else on a tab above it."""

    solid: Solid
    place: Matrix
    mark: Mark | None
    tabbed: bool
    counts: Mapping[str, int]
    cut_off_mm: Array | None = None


def build_panel(facing: Facing, cell: PanelCell, settings: Settings, number: str) -> Panel | None:
    """Build one panel, lying on its back with the brick faces up.

    Joints are whole pixels wide and lie on pixels counted from the middle of the panel, which is the origin of the
    print frame.

    Parameters
    ----------
    facing : Facing
        The wall.
    cell : PanelCell
        Its place in the wall.
    settings : Settings
        Skins, seams, marks and resin process.
    number : str
        Engraved on the back, or where that has no room on a tab that stands above the top of the wall.

    Returns
    -------
    Panel or None
        None where nothing of the wall lies in the cell, as beside a gable.
    """
    clip = [] if cell.is_whole else [_all_but(cell, facing.face.outline_mm)]
    extent = _box(facing, clip)
    if extent is None:
        return None
    low, high = extent
    near = [opening for opening in facing.openings if _meets(opening.reach, low, high)]
    mark = _mark(facing, cell, near, settings, number)
    tab = None if mark or not settings.mark.make else _tab(number, cell, facing, settings)
    if tab is not None:
        low, high = np.minimum(low, tab.plate.min(axis=0)), np.maximum(high, tab.plate.max(axis=0))
    # On the grid of solids, so that the foot of every skin stands exactly on the ledge.
    centre = np.rint((low + high) / 2 / GRID_MM) * GRID_MM
    slopes = facing.left.slope, facing.right.slope
    bricks, counts = panel_bricks(facing.laying, facing.joints, facing.face.outline_mm, slopes, cell, centre, settings)
    tabs = [tab.neck - centre, tab.plate - centre] if tab else []
    base = Layer.patches([facing.face.outline_mm - centre, *tabs], _JOINT)
    holes = [Layer.patches(_cut_out(facing, near, centre), OUTSIDE)] if near else []
    if near and facing.heads_mm:
        holes.append(Layer.patches([ring - centre for ring in facing.heads_mm], OUTSIDE))
    closing = [*holes, *(layer.moved(-centre) for layer in clip)]
    dressed = _dressed(facing, bricks, near, cell, (low, high, centre), settings)
    front = _front(facing, bricks, dressed, base, closing, tab, centre)
    counts = {**counts, **{kind: counts.get(kind, 0) + count for kind, count in dressed.counts.items()}}
    planes = [(0.0, 0.0, 0.0), *(_shifted(plane, centre) for plane in facing.face.planes)]
    strips = Layer.tiles([strip - centre for strip in facing.face.strips_mm], range(1, len(planes)))
    engraved = []
    if mark is not None:
        engraved = [Layer.patches([ring - centre for ring in mark.rings_mm], len(planes))]
        planes.append((mark.depth_mm, 0.0, 0.0))
    again = [Layer.patches(tabs, 0)] if tab else []
    back = Relief(Figure((base, strips, *engraved, *closing, *again)), np.array(planes))
    leans = tuple(lean.moved(-centre[0], -centre[1]) for lean in facing.face.leans)
    solid = plate(front, back, leans)
    cut_off = None if tab is None else cut_off_mm(tab, solid, _place(facing, np.zeros(2)))
    return Panel(solid, _place(facing, centre), mark, tab is not None, counts, cut_off)


def _front(
    facing: Facing,
    bricks: Rectangles,
    dressed: DressedFront,
    base: Layer,
    closing: Sequence[Layer],
    tab: Tab | None,
    centre: Array,
) -> Relief:
    """Brick faces over joints, finishes, features, heads and sills over them, and the number on a tab."""
    depth = facing.depth_mm
    planes = [(height, 0.0, 0.0) for height in (facing.base_mm, *[depth] * len(Kind))]
    planes += [(depth + a, b, c) for a, b, c in dressed.planes]
    faces = Layer.rectangles(bricks.corners - np.tile(centre, 2), bricks.kind.astype(np.int64) + 1)
    layers = [base, faces, *dressed.layers, *closing]
    if tab is not None:
        # Over what ends the panel, since a tab may be wider than it.
        layers.append(Layer.patches([tab.neck_outside - centre], _JOINT))
        layers.append(Layer.patches([tab.plate - centre], len(planes)))
        layers.append(Layer.patches([ring - centre for ring in tab.strokes], len(planes) + 1))
        # Nothing at the rim may be lower than the joints, whose floor the undersides of corners stay behind.
        top = max(TAB_THICKNESS_MM, facing.base_mm)
        planes += [(top, 0.0, 0.0), (top - tab.depth_mm, 0.0, 0.0)]
    return Relief(Figure(tuple(layers)), np.array(planes))


def _dressed(
    facing: Facing,
    bricks: Rectangles,
    near: Sequence[OpeningUnits],
    cell: PanelCell,
    extent: tuple[Array, Array, Array],
    settings: Settings,
) -> DressedFront:
    """What lies over the bricks; extent is the lowest and highest corner and the origin of the panel's frame."""
    low, high, centre = extent
    step_x, step_y, _ = part_steps_mm(settings.resin)
    middle = np.array([facing.laying.length_mm, facing.laying.height_mm]) / 2
    lattice_v, bed_mm = Lattice(float(centre[1]), step_y), facing.joints.bed_mm
    dressed_at, own_at = (
        np.concatenate(course_spans(facing.laying, bed_mm, lattice))
        for lattice in (Lattice(float(middle[1]), step_y), lattice_v)
    )
    window = PanelWindow(
        low,
        high,
        centre,
        Lattice(float(centre[0]), step_x),
        lattice_v,
        middle,
        settings.resin.min_raised_mm,
        lambda u, v: owned_by(u, v, facing.face.outline_mm, cell, settings),
        (dressed_at, own_at),
    )
    dressed = dressed_front(facing.dressings, near, bricks, facing.joints, window, 1 + len(Kind))
    ledges = [ring - centre for ring in _ledges(facing) if window.sees(ring)]
    if not ledges:
        return dressed
    layer = Layer.patches(ledges, 1 + len(Kind) + len(dressed.planes))
    return DressedFront((*dressed.layers, layer), (*dressed.planes, (0.0, 0.0, 0.0)), dressed.counts)


def _ledges(facing: Facing) -> Iterator[Array]:
    """Rings of the ledges from which what stands proud leans out at the ends."""
    for lean in facing.face.leans:
        at, inward = lean.start[0], -LEDGE_MM if lean.end[1] > lean.start[1] else LEDGE_MM
        low, high = sorted((lean.start[1], lean.end[1]))
        for one in lean.above:
            # Apart, so that each has corners of its own.
            v0, v1 = max(one.low_mm, low) + LEDGE_MM / 2, min(one.high_mm, high) - LEDGE_MM / 2
            if one.ledge and v1 > v0:
                yield box(min(at, at + inward), v0, max(at, at + inward), v1)


def _cut_out(facing: Facing, near: Sequence[OpeningUnits], centre: Array) -> list[Array]:
    """Outlines of openings, with a corner wherever the underside bends across them."""
    bends = sorted({float(x) for strip in facing.face.strips_mm for x in strip[:2, 0]})
    return [with_bends(opening.outline, bends) - centre for opening in near]


def _meets(reach: tuple[float, float, float, float], low: Array, high: Array) -> bool:
    u0, v0, u1, v1 = reach
    return bool(u0 < high[0] and u1 > low[0] and v0 < high[1] and v1 > low[1])


def _all_but(cell: PanelCell, outline_mm: Array) -> Layer:
    """Everything of a wall outside a panel's cell; at the ends of the wall the cell counts as open."""
    ring = cell.outline.copy()
    sides = (cell.sides[-1], *cell.sides)
    for place, around in enumerate(zip(sides, cell.sides, strict=False)):
        for side, axis, step in ((Side.LEFT, 0, -1), (Side.RIGHT, 0, 1), (Side.BOTTOM, 1, -1), (Side.TOP, 1, 1)):
            if side in around:
                ring[place, axis] += step * _BEYOND_MM
    reach = np.concatenate([ring, outline_mm])
    low, high = reach.min(axis=0) - 2 * _BEYOND_MM, reach.max(axis=0) + 2 * _BEYOND_MM
    around_all = np.array([[low[0], low[1]], [high[0], low[1]], [high[0], high[1]], [low[0], high[1]]])
    return Layer.union([around_all, ring[::-1]], OUTSIDE)


def _box(facing: Facing, clip: Sequence[Layer]) -> tuple[Array, Array] | None:
    """Lowest and highest corner of a panel, lips included, in the wall's frame; None where the wall is not there."""
    found = decompose(Figure((Layer.union([facing.face.outline_mm], _JOINT), *clip)))
    if not found.cell.size:
        return None
    low = np.array([min(found.left0.min(), found.left1.min()), found.y0.min()]) / 1e4
    high = np.array([max(found.right0.max(), found.right1.max()), found.y1.max()]) / 1e4
    face_low, face_high = low.copy(), high.copy()
    for corner, tip in facing.face.lips_mm:
        # A lip may lean outward over the arris.
        low = np.where(np.abs(corner - face_low) < 1e-3, np.minimum(low, tip), low)
        high = np.where(np.abs(corner - face_high) < 1e-3, np.maximum(high, tip), high)
    return low, high


def _shifted(plane: tuple[float, float, float], centre: Array) -> tuple[float, float, float]:
    a, b, c = plane
    return float(a + b * centre[0] + c * centre[1]), b, c


def _mark(
    facing: Facing, cell: PanelCell, near: Sequence[OpeningUnits], settings: Settings, number: str
) -> Mark | None:
    """Fit the number on the flat part of the back, off the rim and off openings."""
    if not settings.mark.make:
        return None
    u0, v0, u1, v1 = cell.clear_box
    flat = facing.face.flat_mm
    low = np.maximum([u0, v0], flat.min(axis=0)) + RIM_MM
    high = np.minimum([u1, v1], flat.max(axis=0)) - RIM_MM
    if (high - low <= 0).any():
        return None
    holes = []
    for opening in near:
        a, b = opening.outline.min(axis=0) - RIM_MM, opening.outline.max(axis=0) + RIM_MM
        holes.append(box(*a, *b)[::-1])
    holes += [box(*(low - RIM_MM), *(high + RIM_MM))[::-1] for own in facing.dressings for low, high in own.recesses]
    room = largest_room([flat, *holes], (low, high), RIM_MM, mirrored=True)
    if room is None:
        return None
    height = settings.mark.resin_height_mm
    return fitted_mark(number, room, height, settings.resin, on_plate=True, thickness_mm=facing.base_mm)


def _tab(number: str, cell: PanelCell, facing: Facing, settings: Settings) -> Tab | None:
    """A tab above the top of the wall, where it is out of the way of shell and lid; None where it cannot stand."""
    outline = facing.face.outline_mm
    top = float(outline[:, 1].max())
    a, b = outline, np.roll(outline, -1, axis=0)
    level = (a[:, 1] == top) & (b[:, 1] == top)
    if Side.TOP not in cell.sides or not level.any():
        return None
    u0, _, u1, _ = cell.clear_box
    start, end = max(u0, float(b[level, 0].min())), min(u1, float(a[level, 0].max()))
    tab = number_tab(number, settings.mark.resin_height_mm, settings.resin).placed(3, ((start + end) / 2, top))
    high = np.ptp(outline[:, 1]) + tab.length_mm
    fits = high <= settings.resin.part_room_mm[1] and np.ptp(tab.plate[:, 0]) <= end - start
    return tab if fits and end - start >= NECK_MM else None


def _place(facing: Facing, centre: Array) -> Matrix:
    along = np.array([*facing.along, 0.0])
    outward = np.array([*facing.outward, 0.0])
    up = np.array([0.0, 0.0, 1.0])
    origin = facing.foot_mm + along * centre[0] + up * centre[1] - outward * facing.depth_mm
    return frame(along, up, outward, origin)
