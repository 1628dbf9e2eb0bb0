"""The front of a panel over its bricks: finishes and features, then heads and sills of openings."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.panel_bricks import SMALLEST_PIECE_MM
from halfbat.solids.figure import Layer
from halfbat.surfaces import Kind, Lattice, Rectangles, rectangles
from halfbat.surfaces.dressing import Brickwork, Dressing, ground, slope
from halfbat.surfaces.joints import Joints
from halfbat.surfaces.opening_units import OpeningUnits, Plane, Unit
from halfbat.surfaces.remnants import remnant_beds

Array = NDArray[np.float64]
BEYOND_MM = 1.0
ON_PIXEL_MM = 1.5e-3
Owner = Callable[[Array, Array], NDArray[np.bool_]]
"""Says of places along and up the wall which belong to the panel."""


@dataclass(frozen=True, slots=True, eq=False)
class PanelWindow:
    """What is seen of a wall on one panel.

    Parameters
    ----------
    low, high : ndarray (2,)
        Its box in the wall's frame.
    centre : ndarray (2,)
        Where its own frame has its origin.
    lattice_u, lattice_v : Lattice
        Its pixels, in the wall's frame.
    wall_mm : ndarray (2,)
        A place in the wall where pixels were counted from when it was dressed.
    least_mm : float
        Narrowest raised piece that holds.
    owned : callable
        Which places belong to it.
    beds_mm : tuple of (ndarray (N,), ndarray (N,))
        Heights at which courses begin and end, where the wall was dressed and on the panel: each is rounded by itself.
    """

    low: Array
    high: Array
    centre: Array
    lattice_u: Lattice
    lattice_v: Lattice
    wall_mm: Array
    least_mm: float
    owned: Owner
    beds_mm: tuple[Array, Array] = (np.zeros(0), np.zeros(0))

    @property
    def width_mm(self) -> float:
        """Width of its box."""
        return float(self.high[0] - self.low[0])

    def snapped(self, unit: Unit) -> Array:
        """Corners of a level piece, with those on the wall's pixels moved onto the panel's."""
        if unit.plane is not None:
            return unit.ring
        ring = unit.ring.copy()
        for axis, lattice in enumerate((self.lattice_u, self.lattice_v)):
            if lattice.pitch_mm <= 0:
                continue
            steps = (ring[:, axis] - self.wall_mm[axis]) / lattice.pitch_mm
            on = np.abs(steps - np.rint(steps)) * lattice.pitch_mm < ON_PIXEL_MM
            origin = np.array([self.wall_mm[axis]])
            ring[on, axis] += float(lattice.round(origin)[0] - origin[0])
        # What ends in a bed joint does so on the panel too, though its course may have moved by a pixel more or less.
        dressed, own = self.beds_mm
        if len(dressed):
            away = np.abs(unit.ring[:, 1:] - dressed)
            nearest = away.argmin(axis=1)
            on = away.min(axis=1) < ON_PIXEL_MM
            ring[on, 1] = own[nearest[on]]
        return ring

    def sees(self, ring: Array) -> bool:
        """Whether any of a ring's box lies in the panel's box."""
        return bool((ring.min(axis=0) < self.high).all() and (ring.max(axis=0) > self.low).all())


@dataclass(frozen=True, slots=True, eq=False)
class DressedFront:
    """Layers to lay over the bricks of a panel.

    Parameters
    ----------
    layers : tuple of Layer
        In the panel's frame, lowest first.
    planes : tuple of Plane
        Height over the brick faces of each of their cells, in the panel's frame, in the order of the cells.
    counts : mapping of str to int
        Pieces whose middle belongs to the panel.
    """

    layers: tuple[Layer, ...]
    planes: tuple[Plane, ...]
    counts: Mapping[str, int]


def dressed_front(
    dressings: Sequence[Dressing],
    openings: Sequence[OpeningUnits],
    bricks: Rectangles,
    joints: Joints,
    window: PanelWindow,
    first_cell: int,
) -> DressedFront:
    """Lay finishes, features and the surroundings of openings over the bricks of a panel.

    Parameters
    ----------
    dressings : sequence of Dressing
        Of the wall, the lowest first.
    openings : sequence of OpeningUnits
        Those near the panel.
    bricks : Rectangles
        Bricks of the panel, in the wall's frame.
    joints : Joints
        Widths and depth.
    window : PanelWindow
        The panel.
    first_cell : int
        Number of the first cell of what is laid.

    Returns
    -------
    DressedFront
    """
    front = _Front(joints, window, first_cell)
    for dressing in dressings:
        front.margin([unit.ring for layer in dressing.layers for unit in layer])
        for part in dressing.brickwork:
            front.brickwork(part, bricks)
        for layer in dressing.layers:
            front.tiles(layer, snap=dressing.clear_mm is None)
        front.slopes_of(dressing)
    dressed = [opening for opening in openings if opening.units]
    front.margin([ring for own in dressed for ring in (own.outline, *own.bed)])
    beds = [ring for opening in openings for ring in opening.bed]
    beds += [ring for own in dressed for ring in remnant_beds(own, bricks, window.least_mm)]
    front.patches(beds, -joints.depth_mm)
    front.tiles([unit for opening in openings for unit in opening.units])
    return DressedFront(tuple(front.layers), tuple(front.planes), dict(front.counts))


class _Front:
    """Gathers layers, and the plane of each of their cells."""

    def __init__(self, joints: Joints, window: PanelWindow, first_cell: int) -> None:
        self.layers: list[Layer] = []
        self.planes: list[Plane] = []
        self.counts: Counter[str] = Counter()
        self._cells: dict[Plane, int] = {}
        self._sloped: list[tuple[Array, float]] = []
        self._joints, self._window, self._first = joints, window, first_cell

    def _cell(self, plane: Plane) -> int:
        """Number the cell of a plane given in the wall's frame."""
        if plane not in self._cells:
            a, b, c = plane
            u, v = self._window.centre
            self.planes.append((float(a + b * u + c * v), b, c))
            self._cells[plane] = self._first + len(self._cells)
        return self._cells[plane]

    def tiles(self, units: Sequence[Unit], *, snap: bool = False) -> None:
        """Lay pieces that do not overlap, and count them; those of features are moved onto the panel's pixels."""
        seen = [unit for unit in units if self._window.sees(unit.ring)]
        if not seen:
            return
        rings = [(self._window.snapped(unit) if snap else unit.ring) - self._window.centre for unit in seen]
        self.layers.append(Layer.tiles(rings, [self._cell(unit.face) for unit in seen]))
        named = [unit for unit in seen if unit.kind]
        if named:
            middles = np.array([(unit.ring.min(axis=0) + unit.ring.max(axis=0)) / 2 for unit in named])
            owned = self._window.owned(middles[:, 0], middles[:, 1])
            # What is larger than the panel, as a coat of render is, counts for every panel it covers.
            owned |= np.array([bool(np.ptp(unit.ring[:, 0]) > self._window.width_mm) for unit in named])
            self.counts.update(unit.kind for unit, own in zip(named, owned, strict=True) if own)

    def patches(self, rings: Sequence[Array], level_mm: float) -> None:
        """Lay rings at one level; they may overlap."""
        seen = [ring - self._window.centre for ring in rings if self._window.sees(ring)]
        if seen:
            self.layers.append(Layer.patches(seen, self._cell((level_mm, 0.0, 0.0))))

    def slopes_of(self, dressing: Dressing) -> None:
        """Remember where faces slope, and a level that none of them goes under."""
        if dressing.clear_mm is not None:
            self._sloped.append((_box(dressing.layers[0][0].ring), dressing.clear_mm))
            return
        for unit in (unit for layer in dressing.layers for unit in layer if unit.plane is not None):
            a, b, c = unit.face
            self._sloped.append((_box(unit.ring), float((a + unit.ring @ (b, c)).min())))

    def margin(self, rings: Sequence[Array]) -> None:
        """Leave a margin as wide as a joint round what is to lie over sloping faces, so that no two faces cross."""
        joint = max(self._joints.perpend_mm, self._joints.bed_mm)
        for box, level in self._sloped:
            over = [np.array([ring.min(axis=0) - joint, ring.max(axis=0) + joint]) for ring in rings]
            cut = [np.array([np.maximum(low, box[:2]), np.minimum(high, box[2:])]) for low, high in over]
            self.patches([_corners((*low, *high)) for low, high in cut if (high > low).all()], level)

    def brickwork(self, part: Brickwork, bricks: Rectangles) -> None:
        """Lay courses at their level: their joints, and their bricks over them."""
        own = bricks
        if part.laying is not None:
            joints, (u, v) = self._joints, (self._window.lattice_u, self._window.lattice_v)
            shifted = Lattice(u.origin_mm - part.origin_mm, u.pitch_mm)
            own = rectangles(part.laying, joints.perpend_mm, joints.bed_mm, shifted, v)
        rows = (own.course >= part.first) & (own.course <= part.last)
        if not rows.any():
            return
        offset = part.origin_mm if part.laying is not None else 0.0
        begin, end = own.u0[rows] + offset, own.u1[rows] + offset
        u0, u1 = np.maximum(begin, part.left_mm), np.minimum(end, part.right_mm)
        low, high = own.v0[rows], own.v1[rows]
        cut = u1 - u0 < end - begin - 1e-6
        wide = (u1 - u0 >= np.where(cut, SMALLEST_PIECE_MM, 0.0)) & (high > low)
        seen = wide & (u1 > self._window.low[0]) & (u0 < self._window.high[0])
        bottom, top = float(low.min()), float(high.max())
        left = max(part.left_mm, float(self._window.low[0]) - BEYOND_MM)
        right = min(part.right_mm, float(self._window.high[0]) + BEYOND_MM)
        if right <= left:
            return
        face: Plane = (part.level_mm, 0.0, 0.0)
        if part.head_mm is not None:
            face = slope(bottom, top, part.level_mm, part.head_mm)
        behind: Plane = (face[0] - self._joints.depth_mm, face[1], face[2])
        self.margin([_corners((left, bottom, right, top))])
        self.tiles([ground(left, bottom, right, top, behind[0], behind)])
        corners = np.column_stack((u0, low, u1, high))[seen] - np.tile(self._window.centre, 2)
        self.layers.append(Layer.rectangles(corners, np.full(int(seen.sum()), self._cell(face), dtype=np.int64)))
        if part.head_mm is not None:
            lowest = min(part.level_mm, part.head_mm) - self._joints.depth_mm
            self._sloped.append((np.array([left, bottom, right, top]), lowest))
        if part.laying is not None:
            middle = (begin + end) / 2
            counted = _covered(own.course[rows], middle, bricks) if part.again else np.zeros(len(middle), dtype=bool)
            self._count(part.name, own.kind[rows], middle, (low + high) / 2, wide & ~counted)

    def _count(self, name: str, kinds: NDArray[np.int8], u: Array, v: Array, wide: NDArray[np.bool_]) -> None:
        owned = self._window.owned(u, v) & wide
        for kind in kinds[owned]:
            whole = kind == Kind.STRETCHER
            self.counts[Kind(kind).label if not name else name if whole else f"cut {name}"] += 1


def _covered(course: NDArray[np.int32], u: Array, bricks: Rectangles) -> NDArray[np.bool_]:
    """Say of places in courses whether a brick is there already."""
    found = np.zeros(len(u), dtype=bool)
    for row in np.unique(course):
        here, there = course == row, bricks.course == row
        inside = (bricks.u0[there] <= u[here][:, None]) & (u[here][:, None] <= bricks.u1[there])
        found[here] = inside.any(axis=1)
    return found


def _box(ring: Array) -> Array:
    return np.concatenate([ring.min(axis=0), ring.max(axis=0)])


def _corners(reach: tuple[float, float, float, float]) -> Array:
    u0, v0, u1, v1 = reach
    return np.array([[u0, v0], [u1, v0], [u1, v1], [u0, v1]], dtype=np.float64)
