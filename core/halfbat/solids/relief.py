"""A sheet whose cells stand at different heights, and the steps between them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from halfbat.solids.crossed import CROSS, crossed_borders, split_crossed
from halfbat.solids.figure import OUTSIDE, Figure
from halfbat.solids.grid import PER_MM, Floats, Ints, ranges, to_mm
from halfbat.solids.sheet import Sheet, lay
from halfbat.solids.stacks import MEET, Stacks, stack_flat, stack_sloped

CUT_BACK = 200
"""Half the side of the square that parts pieces touching at a corner: 0.02 mm in grid units."""
ROUNDS = 4


@dataclass(frozen=True, slots=True)
class Relief:
    """A figure with the height of each of its cells.

    Parameters
    ----------
    figure : Figure
        Layers of polygons; cells count into `planes`.
    planes : ndarray (C, 3) of float64
        Height of each cell in millimetres: ``a + b * x + c * y`` for the rows ``(a, b, c)``.
    """

    figure: Figure
    planes: Floats

    @staticmethod
    def flat(figure: Figure, heights_mm: ArrayLike) -> Relief:
        """Build a relief whose cells are all level."""
        heights = np.asarray(heights_mm, dtype=np.float64)
        return Relief(figure, np.stack([heights, np.zeros_like(heights), np.zeros_like(heights)], axis=1))

    def heights_at(self, points: Ints, cells: Ints) -> Ints:
        """Height of cells over points (..., 2) in grid units, both given alike."""
        plane = self.planes[cells]
        xy = to_mm(points)
        height = plane[..., 0] + plane[..., 1] * xy[..., 0] + plane[..., 2] * xy[..., 1]
        return np.asarray(np.rint(height * PER_MM), dtype=np.int64)


@dataclass(frozen=True, slots=True)
class Raised:
    """A sheet with vertices at their heights, and with its steps.

    Parameters
    ----------
    sheet : Sheet
        Points, triangles and borders in the plane.
    vertices : ndarray (V, 3) of int64
        Grid units, ordered by point and then upward, so that the vertices over a point follow one another.
    over : ndarray (V,) of int64
        The point under each vertex.
    faces, steps : ndarray (M, 3) of int64
        Triangles of the cells and of the steps between them; anticlockwise seen from above or from the open side.
    rim_from, rim_to : ndarray (R,) of int64
        Open edge, the sheet lying to its left, as points of the sheet.
    rim_vertex_from, rim_vertex_to : ndarray (R,) of int64
        The same edge as vertices.
    """

    sheet: Sheet
    vertices: Ints
    over: Ints
    faces: Ints
    steps: Ints
    rim_from: Ints
    rim_to: Ints
    rim_vertex_from: Ints
    rim_vertex_to: Ints

    @property
    def rim_pinches(self) -> Ints:
        """Places (K, 2) in grid units at which the rim meets itself."""
        met = np.bincount(self.rim_from, minlength=len(self.sheet.points)) > 1
        return np.asarray(self.sheet.points[met], dtype=np.int64)


def raise_relief(relief: Relief, *, upper: bool) -> Raised:
    """Give a relief its heights, with every step closed.

    The rim of an upper side steps down all round to a level *belt*, at the height of the lowest cell along it; that of
    each hole has a belt of its own. That of a lower side stays at its cells' heights; only where these leave steps in
    it does it rise to belts too. Where two pieces touch along one upright edge only, what stands out there is cut back;
    where that does not part them, because the cut between them is a sliver, they are joined instead.

    Parameters
    ----------
    relief : Relief
        Cells and their heights.
    upper : bool
        Whether this is the upper side of a plate, or its lower side, seen from above too.

    Raises
    ------
    ValueError
        Pieces still touch at a corner only after cutting them back, or heights cross beside a triangle too slight to
        cut.
    """
    for attempt in range(ROUNDS):
        sheet = lay(relief.figure)
        stacks = _stacks(relief, sheet, upper)
        pinched = _pinches(sheet, stacks)
        if not pinched.size:
            return _raise(*_uncrossed(relief, sheet, stacks, upper))
        relief = _part(relief, sheet, pinched, prefer_low=upper == (attempt < ROUNDS // 2))
    raise ValueError("pieces touch at a corner only and could not be parted")


def _uncrossed(relief: Relief, sheet: Sheet, stacks: Stacks, upper: bool) -> tuple[Sheet, Stacks]:
    """Cut borders where the heights of their cells cross."""
    for _ in range(ROUNDS):
        if not crossed_borders(stacks).any():
            break
        sheet = split_crossed(sheet, stacks)
        stacks = _stacks(relief, sheet, upper)
    return sheet, stacks


def _stacks(relief: Relief, sheet: Sheet, upper: bool) -> Stacks:
    rim = sheet.rim
    inner = np.where(sheet.left[rim] == OUTSIDE, sheet.right[rim], sheet.left[rim])
    heights = relief.heights_at(sheet.points[sheet.borders[rim]], np.stack([inner, inner], axis=1))
    belt = None
    if upper:
        belt = _belts(sheet.borders[rim], heights.min(axis=1), np.minimum)
    elif _stepped(sheet, heights):
        belt = _belts(sheet.borders[rim], heights.max(axis=1), np.maximum)
    if relief.planes[:, 1:].any():
        return stack_sloped(sheet, relief.heights_at, belt)
    return stack_flat(sheet, relief.heights_at(np.zeros(2, dtype=np.int64), np.arange(len(relief.planes))), belt)


def _belts(ends: Ints, heights: Ints, furthest: np.ufunc) -> Ints:
    """Height of the belt at each border of the rim: the lowest or highest of the loop of borders that it is in."""
    points, at = np.unique(ends, return_inverse=True)
    at = at.reshape(ends.shape)
    loop = np.arange(len(points))
    while True:
        least, before = loop[at].min(axis=1), loop.copy()
        for end in (0, 1):
            np.minimum.at(loop, at[:, end], least)
        loop = loop[loop]
        if (loop == before).all():
            break
    belts = np.full(len(points), heights.max() if furthest is np.minimum else heights.min())
    furthest.at(belts, loop[at[:, 0]], heights)
    return np.asarray(belts[loop[at[:, 0]]], dtype=np.int64)


def _stepped(sheet: Sheet, heights: Ints) -> bool:
    """Whether the two stretches of the rim that meet at a point end there at different heights."""
    points = sheet.borders[sheet.rim].ravel()
    order = np.argsort(points, kind="stable")
    met = points[order][1:] == points[order][:-1]
    return bool((met & (np.abs(np.diff(heights.ravel()[order])) > MEET)).any())


def _pinches(sheet: Sheet, stacks: Stacks) -> Ints:
    """Find the points at which more than two steps share an upright edge; not those at which the rim meets itself."""
    crowded = np.bincount(sheet.borders.ravel(), minlength=len(sheet.points)) > 3
    if not crowded.any():
        return np.zeros(0, dtype=np.int64)
    crowded &= np.bincount(sheet.borders[sheet.rim].ravel(), minlength=len(sheet.points)) <= 2
    ends = np.flatnonzero(crowded[sheet.borders.ravel()])
    left, right = stacks.left.ravel()[ends], stacks.right.ravel()[ends]
    count = np.abs(left - right)
    passed = ranges(np.minimum(left, right), count)
    use = np.bincount(passed, minlength=len(stacks.vertices))
    return np.unique(np.repeat(sheet.borders.ravel()[ends], count)[use[passed] > 2])


def _part(relief: Relief, sheet: Sheet, pinched: Ints, *, prefer_low: bool) -> Relief:
    """Lay a small square over each pinched point, of the lowest cell around it or of the highest."""
    around = np.isin(sheet.borders, pinched)
    point = np.tile(sheet.borders[around], 2)
    cell = np.concatenate([np.repeat(sheet.left, 2)[around.ravel()], np.repeat(sheet.right, 2)[around.ravel()]])
    point, cell = point[cell != OUTSIDE], cell[cell != OUTSIDE]
    height = relief.heights_at(sheet.points[point], cell)
    order = np.lexsort((cell, height if prefer_low else -height, point))
    chosen = cell[order][np.searchsorted(point[order], pinched)]
    figure = relief.figure
    for number in np.unique(chosen).tolist():
        figure = figure.with_squares(sheet.points[pinched[chosen == number]], CUT_BACK, number)
    return Relief(figure, relief.planes)


def _raise(sheet: Sheet, stacks: Stacks) -> Raised:
    rim = sheet.rim
    turned = sheet.left[rim] == OUTSIDE
    ends = np.where(turned[:, None], sheet.borders[rim][:, ::-1], sheet.borders[rim])
    outer = np.where(turned[:, None], stacks.left[rim][:, ::-1], stacks.right[rim])
    return Raised(
        sheet,
        stacks.vertices,
        stacks.over,
        stacks.faces,
        _steps(stacks.left, stacks.right),
        ends[:, 0],
        ends[:, 1],
        outer[:, 0],
        outer[:, 1],
    )


def _steps(left: Ints, right: Ints) -> Ints:
    """Close every border whose cells differ in height, with a vertex at each height it passes."""
    stepped = np.flatnonzero((left != right).any(axis=1))
    left, right = left[stepped], right[stepped]
    rise = left - right
    if (rise[:, 0] * rise[:, 1] < 0).any():
        raise ValueError(CROSS)
    count = np.abs(rise)
    far = int(count[:, 1].sum())
    steps = np.empty((int(count.sum()), 3), dtype=np.int64)
    # Up the far end, then up the near one: all from the right side's near vertex, then from the left side's far one.
    for end, apex, part in ((1, right[:, 0], steps[:far]), (0, left[:, 1], steps[far:])):
        which = np.repeat(np.arange(len(left), dtype=np.int64), count[:, end])
        up = np.sign(rise[:, end])[which]
        first = np.cumsum(count[:, end]) - count[:, end]
        at = right[which, end] + up * (np.arange(len(which), dtype=np.int64) - first[which])
        part[:, 0] = apex[which]
        part[:, 2 - end] = at
        part[:, 1 + end] = at + up
    return steps
