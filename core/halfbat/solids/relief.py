"""A sheet whose cells stand at different heights, and the steps between them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.grid import CORNER_STEP, PER_MM, Bools, Floats, Ints, ranges, to_mm
from halfbat.solids.sheet import Sheet, lay

CUT_BACK_MM = 0.02
ROUNDS = 4
MEET = 3 * CORNER_STEP
Reach = Callable[[Ints], np.int64]


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


@dataclass(frozen=True, slots=True)
class Raised:
    """A sheet with vertices at their heights, and with its steps.

    Parameters
    ----------
    sheet : Sheet
        Points, triangles and borders in the plane.
    vertices : ndarray (V, 3) of int64
        Grid units, ordered by point and then upward, so that the vertices over a point follow one another.
    triangles : ndarray (M, 3) of int64
        Level faces first, then steps; anticlockwise seen from above or from the open side.
    rim_from, rim_to : ndarray (R,) of int64
        Open edge, the sheet lying to its left, as points of the sheet.
    rim_vertex_from, rim_vertex_to : ndarray (R,) of int64
        The same edge as vertices.
    """

    sheet: Sheet
    vertices: Ints
    triangles: Ints
    rim_from: Ints
    rim_to: Ints
    rim_vertex_from: Ints
    rim_vertex_to: Ints


def raise_relief(relief: Relief, *, upper: bool) -> Raised:
    """Give a relief its heights, with every step closed.

    The rim of an upper side steps down all round to a level *belt*, at the height of the lowest cell along it. That
    of a lower side stays at its cells' heights; only where these leave steps in it does it rise to a belt too. Where
    two pieces touch along one upright edge only, what stands out there is cut back.

    Parameters
    ----------
    relief : Relief
        Cells and their heights.
    upper : bool
        Whether this is the upper side of a plate, or its lower side, seen from above too.

    Raises
    ------
    ValueError
        Pieces still touch at a corner only after cutting them back, or steps cross.
    """
    current = relief
    for _ in range(ROUNDS):
        sheet = lay(current.figure)
        numbering = _Numbering.of(sheet, current.planes, upper)
        pinched = _pinches(sheet, numbering)
        if not pinched.size:
            return _raise(sheet, numbering)
        current = _cut_back(current, sheet, pinched, upper)
    raise ValueError("pieces touch at a corner only and could not be parted")


@dataclass(frozen=True, slots=True)
class _Numbering:
    """Vertices of a sheet, and the numbers of those at the ends of borders and triangles."""

    vertices: Ints
    faces: Ints
    left: Ints
    right: Ints

    @staticmethod
    def of(sheet: Sheet, planes: Floats, upper: bool) -> _Numbering:
        cells = np.concatenate([np.repeat(sheet.cells, 3), np.repeat(sheet.left, 2), np.repeat(sheet.right, 2)])
        inner = np.concatenate([np.repeat(sheet.cells, 3), np.repeat(sheet.right, 2), np.repeat(sheet.left, 2)])
        points = np.concatenate([sheet.triangles.ravel(), sheet.borders.ravel(), sheet.borders.ravel()])
        rim = cells == OUTSIDE
        # Outside lies the belt, or else the height of the cell inside the rim.
        cells = np.where(rim, inner, cells)
        number_vertices = _number_sloped if planes[:, 1:].any() else _number_flat
        if upper:
            vertices, number = number_vertices(sheet, planes, cells, points, rim, np.min)
        else:
            vertices, number = number_vertices(sheet, planes, cells, points, rim & False, np.max)
            ends = np.unique(np.stack([points[rim], number[rim]]), axis=1)
            if (ends[0, 1:] == ends[0, :-1]).any():
                vertices, number = number_vertices(sheet, planes, cells, points, rim, np.max)
        m, k = 3 * len(sheet.triangles), 2 * len(sheet.borders)
        return _Numbering(
            vertices, number[:m].reshape(-1, 3), number[m : m + k].reshape(-1, 2), number[m + k :].reshape(-1, 2)
        )


def _number_flat(
    sheet: Sheet, planes: Floats, cells: Ints, points: Ints, belt: Bools, reach: Reach
) -> tuple[Ints, Ints]:
    heights = np.rint(planes[:, 0] * PER_MM).astype(np.int64)
    levels, level_of = np.unique(heights, return_inverse=True)
    level = level_of.reshape(-1)[cells]
    if belt.any():
        level[belt] = reach(level[belt])
    key = points * len(levels) + level
    present = np.zeros(len(sheet.points) * len(levels), dtype=bool)
    present[key] = True
    number = np.cumsum(present) - 1
    at = np.flatnonzero(present)
    vertices = np.column_stack([sheet.points[at // len(levels)], levels[at % len(levels)]])
    return vertices, number[key]


def _number_sloped(
    sheet: Sheet, planes: Floats, cells: Ints, points: Ints, belt: Bools, reach: Reach
) -> tuple[Ints, Ints]:
    xy = to_mm(sheet.points)[points]
    own = planes[cells]
    z = np.rint((own[:, 0] + own[:, 1] * xy[:, 0] + own[:, 2] * xy[:, 1]) * PER_MM).astype(np.int64)
    if belt.any():
        z[belt] = reach(z[belt])
    low = int(z.min())
    span = int(z.max()) - low + 1 + MEET
    keys, number = np.unique(points * span + (z - low), return_inverse=True)
    # Planes that meet in a line miss each other by the rounding of its points: heights that close become one.
    apart = np.ones(len(keys), dtype=bool)
    apart[1:] = np.diff(keys) > MEET
    keys, number = keys[apart], (np.cumsum(apart) - 1)[number.reshape(-1)]
    vertices = np.column_stack([sheet.points[keys // span], keys % span + low])
    return vertices, number


def _pinches(sheet: Sheet, numbering: _Numbering) -> Ints:
    """Find the points at which more than two steps share an upright edge, or at which the rim meets itself."""
    low = np.minimum(numbering.left, numbering.right).ravel()
    count = np.abs(numbering.left - numbering.right).ravel()
    use = np.bincount(ranges(low, count), minlength=len(numbering.vertices))
    points = np.repeat(sheet.borders.ravel(), count)
    crowded = points[use[ranges(low, count)] > 2]
    rim = (sheet.left == OUTSIDE) | (sheet.right == OUTSIDE)
    at_rim = np.bincount(sheet.borders[rim].ravel(), minlength=len(sheet.points))
    return np.unique(np.concatenate([crowded, np.flatnonzero(at_rim > 2)]))


def _cut_back(relief: Relief, sheet: Sheet, pinched: Ints, upper: bool) -> Relief:
    """Lay a small square over each pinched point, of the cell around it that stands out least."""
    half = int(CUT_BACK_MM * PER_MM / CORNER_STEP) * CORNER_STEP
    squares: dict[int, list[Floats]] = {}
    for point in pinched.tolist():
        around = (sheet.borders == point).any(axis=1)
        cells = np.unique(np.concatenate([sheet.left[around], sheet.right[around]]))
        least = OUTSIDE
        if cells[0] != OUTSIDE:
            x, y = to_mm(sheet.points[point])
            heights = relief.planes[cells] @ np.array([1.0, x, y])
            least = int(cells[np.argmin(heights) if upper else np.argmax(heights)])
        x, y = (np.rint(sheet.points[point] / CORNER_STEP) * CORNER_STEP).tolist()
        square = np.array([[-half, -half], [half, -half], [half, half], [-half, half]]) + np.array([x, y])
        squares.setdefault(least, []).append(to_mm(square.astype(np.int64)))
    figure = relief.figure
    for cell, rings in squares.items():
        figure = figure.with_layer(Layer.patches(rings, cell))
    return Relief(figure, relief.planes)


def _raise(sheet: Sheet, numbering: _Numbering) -> Raised:
    steps = _steps(numbering.left, numbering.right)
    inside_left = sheet.right == OUTSIDE
    rim = np.flatnonzero(inside_left | (sheet.left == OUTSIDE))
    turn = ~inside_left[rim]
    ends = np.where(turn[:, None], sheet.borders[rim][:, ::-1], sheet.borders[rim])
    outer = np.where(inside_left[rim][:, None], numbering.right[rim], numbering.left[rim])
    outer = np.where(turn[:, None], outer[:, ::-1], outer)
    return Raised(
        sheet,
        numbering.vertices,
        np.concatenate([numbering.faces, steps]),
        ends[:, 0],
        ends[:, 1],
        outer[:, 0],
        outer[:, 1],
    )


def _steps(left: Ints, right: Ints) -> Ints:
    """Close every border whose cells differ in height, with a vertex at each height it passes."""
    rise = left - right
    if ((rise[:, 0] > 0) & (rise[:, 1] < 0) | (rise[:, 0] < 0) & (rise[:, 1] > 0)).any():
        raise ValueError("the heights of two neighbouring cells cross along their border")
    count = np.abs(rise)
    sign = np.sign(rise)
    start, end = right[:, 0], right[:, 1]
    which = np.repeat(np.arange(len(left), dtype=np.int64), count[:, 1])
    step = ranges(np.zeros(len(left), dtype=np.int64), count[:, 1])
    at = end[which] + step * sign[which, 1]
    far = np.stack([start[which], at, at + sign[which, 1]], axis=1)
    which = np.repeat(np.arange(len(left), dtype=np.int64), count[:, 0])
    step = ranges(np.zeros(len(left), dtype=np.int64), count[:, 0])
    at = start[which] + step * sign[which, 0]
    near = np.stack([left[which, 1], at + sign[which, 0], at], axis=1)
    return np.concatenate([far, near])
