"""Skins: thin resin panels with bricks in relief, shaped at corners and seams."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfbat.errors import KitError
from halfbat.parts.cells import PanelCell, Side
from halfbat.parts.corners import End
from halfbat.parts.marks import RIM_MM, Mark, Room, fitted_mark
from halfbat.parts.placing import Matrix, frame
from halfbat.parts.tabs import TAB_THICKNESS_MM, Tab, number_tab
from halfbat.settings import Settings
from halfbat.solids.figure import Figure, Layer
from halfbat.solids.grid import CORNER_STEP, PER_MM
from halfbat.solids.plate import Lean, plate
from halfbat.solids.relief import Relief
from halfbat.solids.solid import Solid
from halfbat.surfaces import Kind, Lattice, Laying, Rectangles, rectangles
from halfbat.surfaces.joints import Joints, part_steps_mm

Array = NDArray[np.float64]
SMALLEST_PIECE_MM = 0.1
SMALLEST_PIECE_PX = 2
LEAST_FLAT_BACK_MM = 0.4
LEAST_FLOOR_MM = 0.05
GRID_MM = CORNER_STEP / PER_MM
_JOINT = 0
_FIRST_UNDERSIDE = 1


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
    left, right : End
        How the skin ends at the wall's two corners.
    foot_mm : ndarray (3,)
        Lower left corner of the finished face, in the building's frame.
    along, outward : ndarray (2,)
        Unit vectors in plan.
    """

    where: str
    laying: Laying
    joints: Joints
    base_mm: float
    left: End
    right: End
    foot_mm: Array
    along: Array
    outward: Array

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


def build_panel(facing: Facing, cell: PanelCell, settings: Settings, number: str) -> Panel:
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

    Raises
    ------
    KitError
        The panel is too narrow for its two corners.
    """
    outline = _ended(cell, facing)
    left, right = _reach(cell, facing)
    if right - left < LEAST_FLAT_BACK_MM:
        raise KitError(
            f"a skin {np.ptp(outline[:, 0]):.1f} mm wide has no back left between its corners",
            facing.where,
            "choose a larger scale or leave so narrow a wall out of the mesh",
        )
    mark = _mark(number, (left, right), outline, facing, settings)
    tab = None if mark or not settings.mark.make else _tab(number, cell, (left, right), outline, settings)
    centre = _centre(outline, cell, facing, tab)
    step_x, step_y, _ = part_steps_mm(settings.resin)
    bricks = rectangles(
        facing.laying,
        facing.joints.perpend_mm,
        facing.joints.bed_mm,
        Lattice(float(centre[0]), step_x),
        Lattice(float(centre[1]), step_y),
    )
    shown, counted = _share(bricks, outline, cell, facing, settings)
    base = Layer.patches([ring - centre for ring in (outline, *((tab.neck, tab.plate) if tab else ()))], _JOINT)
    front = _front(base, shown, tab, facing, centre)
    tiles, planes, leans = _undersides(outline, cell, facing, centre)
    layers = [base, Layer.rectangles(np.array(tiles).reshape(-1, 4), range(_FIRST_UNDERSIDE, len(planes)))]
    if mark is not None:
        layers.append(Layer.patches([ring - centre for ring in mark.rings_mm], len(planes)))
        planes.append((mark.depth_mm, 0.0, 0.0))
    solid = plate(front, Relief(Figure(tuple(layers)), np.array(planes)), tuple(leans))
    return Panel(solid, _place(facing, centre), mark, tab is not None, counted)


def _front(base: Layer, shown: Rectangles, tab: Tab | None, facing: Facing, centre: Array) -> Relief:
    """Brick faces over joints, and the number on a tab."""
    layers = [base, Layer.rectangles(shown.corners - np.tile(centre, 2), shown.kind.astype(np.int64) + 1)]
    heights = [facing.base_mm, *[facing.depth_mm] * len(Kind)]
    if tab:
        layers.append(Layer.patches([tab.plate - centre], len(heights)))
        layers.append(Layer.patches([ring - centre for ring in tab.strokes], len(heights) + 1))
        # Nothing at the rim may be lower than the joints, whose floor the undersides of corners stay behind.
        top = max(TAB_THICKNESS_MM, facing.base_mm)
        heights += [top, top - tab.depth_mm]
    return Relief.flat(Figure(tuple(layers)), heights)


def _mark(number: str, flat_mm: tuple[float, float], outline: Array, facing: Facing, settings: Settings) -> Mark | None:
    """Fit the number on the flat part of the back, off the rim."""
    if not settings.mark.make:
        return None
    low, high = float(outline[:, 1].min()), float(outline[:, 1].max())
    room = Room((flat_mm[0] + RIM_MM, low + RIM_MM), (flat_mm[1] - RIM_MM, high - RIM_MM), mirrored=True)
    height = settings.mark.resin_height_mm
    return fitted_mark(number, room, height, settings.resin, on_plate=True, thickness_mm=facing.base_mm)


def _tab(number: str, cell: PanelCell, flat_mm: tuple[float, float], outline: Array, settings: Settings) -> Tab | None:
    """A tab above the top of the wall, out of the way of shell, lid and the next wall's; None where it cannot stand."""
    foot = sum(flat_mm) / 2, float(outline[:, 1].max())
    tab = number_tab(number, settings.mark.resin_height_mm, settings.resin).placed(3, foot)
    high = np.ptp(outline[:, 1]) + tab.length_mm
    fits = high <= settings.resin.part_room_mm[1] and np.ptp(tab.plate[:, 0]) <= flat_mm[1] - flat_mm[0]
    return tab if fits and Side.TOP in cell.sides else None


def _ended(cell: PanelCell, facing: Facing) -> Array:
    """The panel's face outline, ended at corners as these ask."""
    outline = cell.outline.copy()
    for place, (before, after) in enumerate(zip((cell.sides[-1], *cell.sides), cell.sides, strict=False)):
        if Side.LEFT in (before, after):
            outline[place, 0] = facing.left.face_mm
        elif Side.RIGHT in (before, after):
            outline[place, 0] = facing.laying.length_mm - facing.right.face_mm
    return outline


def _chains(outline: Array) -> tuple[Array, Array]:
    """Upright edges on the left and on the right, rows of u, low v and high v."""
    a, b = outline, np.roll(outline, -1, axis=0)
    rise = b[:, 1] - a[:, 1]
    left = np.column_stack([a[:, 0], b[:, 1], a[:, 1]])[rise < 0]
    right = np.column_stack([a[:, 0], a[:, 1], b[:, 1]])[rise > 0]
    return left, right


def _reach(cell: PanelCell, facing: Facing) -> tuple[float, float]:
    """Between which u the back is flat over the whole height."""
    left, right = _chains(cell.outline)
    low = facing.left.reach_mm if Side.LEFT in cell.sides else float(left[:, 0].max())
    length = facing.laying.length_mm
    high = length - facing.right.reach_mm if Side.RIGHT in cell.sides else float(right[:, 0].min())
    return low, high


def _centre(outline: Array, cell: PanelCell, facing: Facing, tab: Tab | None) -> Array:
    """Middle of the panel's box, lips and tab included, in the wall's frame."""
    low, high = outline.min(axis=0), outline.max(axis=0)
    if Side.LEFT in cell.sides:
        low[0] = facing.left.outermost_mm
    if Side.RIGHT in cell.sides:
        high[0] = facing.laying.length_mm - facing.right.outermost_mm
    if tab:
        low = np.minimum(low, tab.plate.min(axis=0))
        high = np.maximum(high, tab.plate.max(axis=0))
    # On the grid of solids, so that the foot of every skin stands exactly on the ledge.
    return np.asarray(np.rint((low + high) / 2 / GRID_MM) * GRID_MM, dtype=np.float64)


def _share(
    bricks: Rectangles, outline: Array, cell: PanelCell, facing: Facing, settings: Settings
) -> tuple[Rectangles, dict[str, int]]:
    """Bricks seen on a panel, cut to it, slivers left out; and how many count as this panel's."""
    v0, v1 = float(outline[:, 1].min()), float(outline[:, 1].max())
    half_gap = settings.seam.gap_mm / 2
    middle_v = (bricks.v0 + bricks.v1) / 2
    low, high = _limits(outline, middle_v)
    # A brick belongs to the panel that holds its middle; what the cut itself takes goes to the panel on the left.
    middle_u = (bricks.u0 + bricks.u1) / 2
    own_low = np.where(Side.LEFT in cell.sides, -np.inf, low - half_gap)
    own_high = np.where(Side.RIGHT in cell.sides, np.inf, high + half_gap)
    below = -np.inf if Side.BOTTOM in cell.sides else v0 - half_gap
    above = np.inf if Side.TOP in cell.sides else v1 + half_gap
    owned = (middle_u > own_low) & (middle_u <= own_high) & (middle_v > below) & (middle_v <= above)
    tally = np.bincount(bricks.kind[owned], minlength=len(Kind))
    counts = {kind.label: int(tally[kind]) for kind in Kind if tally[kind]}
    u0 = np.maximum(bricks.u0, low)
    u1 = np.minimum(bricks.u1, np.minimum(high, facing.laying.length_mm))
    bottom, top = np.maximum(bricks.v0, v0), np.minimum(bricks.v1, v1)
    pixel = max(settings.resin.pixel_x_mm, settings.resin.pixel_y_mm)
    least = max(SMALLEST_PIECE_MM, SMALLEST_PIECE_PX * pixel)
    # Under a leaning end face the joints' floor ends further in: only pieces that reach the end stand over that.
    floor_low = low + facing.joints.depth_mm * max(facing.left.slope * (Side.LEFT in cell.sides), 0.0)
    floor_high = high - facing.joints.depth_mm * max(facing.right.slope * (Side.RIGHT in cell.sides), 0.0)
    u0 = np.where(u0 > low, np.maximum(u0, np.where(floor_low > low, floor_low + LEAST_FLOOR_MM, low)), u0)
    u1 = np.where(u1 < high, np.minimum(u1, np.where(floor_high < high, floor_high - LEAST_FLOOR_MM, high)), u1)
    wide = np.minimum(u1, floor_high) - np.maximum(u0, floor_low)
    seen = (wide >= least) & (top - bottom >= least)
    return Rectangles(u0[seen], bottom[seen], u1[seen], top[seen], bricks.kind[seen], bricks.course[seen]), counts


def _limits(outline: Array, v: Array) -> tuple[Array, Array]:
    """Left and right border of the outline at each height; crossed over where it is not there at all."""
    left, right = _chains(outline)
    low, high = np.full(len(v), -np.inf), np.full(len(v), np.inf)
    hit = np.zeros(len(v), dtype=bool)
    for u, bottom, top in left:
        at = (v >= bottom) & (v <= top)
        low[at] = np.maximum(low[at], u)
        hit |= at
    for u, bottom, top in right:
        at = (v >= bottom) & (v <= top)
        high[at] = np.minimum(high[at], u)
    return np.where(hit, low, np.inf), np.where(hit, high, -np.inf)


def _undersides(
    outline: Array, cell: PanelCell, facing: Facing, centre: Array
) -> tuple[list[tuple[float, float, float, float]], list[tuple[float, float, float]], list[Lean]]:
    """Strips of the back at a mitred end, the plane of each, and the leaning end faces; plane 0 is the flat back."""
    tiles: list[tuple[float, float, float, float]] = []
    planes: list[tuple[float, float, float]] = [(0.0, 0.0, 0.0)]
    leans: list[Lean] = []
    v0, v1 = outline[:, 1].min() - centre[1], outline[:, 1].max() - centre[1]
    depth, length = facing.depth_mm, facing.laying.length_mm
    for side, end, sign in ((Side.LEFT, facing.left, 1.0), (Side.RIGHT, facing.right, -1.0)):
        if side not in cell.sides:
            continue

        def across(offset: float, sign: float = sign) -> float:
            return float((offset if sign > 0 else length - offset) - centre[0])

        edge = across(end.face_mm)
        if end.slope:
            ends = ((edge, v1), (edge, v0)) if sign > 0 else ((edge, v0), (edge, v1))
            leans.append(Lean(*ends, end.slope, depth))
        for (start, deep), (stop, deeper) in zip(end.profile_mm, end.profile_mm[1:], strict=False):
            # The rim moves with the leaning end face afterwards; here the strip still starts at the outline.
            begin = end.face_mm if (start, deep) == end.profile_mm[0] else start
            x0, x1 = across(begin), across(stop)
            slope = (deep - deeper) / (x1 - x0)
            tiles.append((min(x0, x1), v0, max(x0, x1), v1))
            planes.append((depth - deep - slope * x0, slope, 0.0))
    return tiles, planes, leans


def _place(facing: Facing, centre: Array) -> Matrix:
    along = np.array([*facing.along, 0.0])
    outward = np.array([*facing.outward, 0.0])
    up = np.array([0.0, 0.0, 1.0])
    origin = facing.foot_mm + along * centre[0] + up * centre[1] - outward * facing.depth_mm
    return frame(along, up, outward, origin)
