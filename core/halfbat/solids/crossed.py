"""Borders along which the heights of two cells cross: they get a point where both are the same."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np

from halfbat.solids.grid import Bools, Floats, Ints
from halfbat.solids.sheet import Sheet
from halfbat.solids.stacks import Stacks

CROSS = "the heights of two neighbouring cells cross along their border"


def crossed_borders(stacks: Stacks) -> Bools:
    """Tell which borders (K,) have one cell above the other at one end, and below it at the other."""
    rise = stacks.left - stacks.right
    crossed: Bools = rise[:, 0] * rise[:, 1] < 0
    return crossed


def split_crossed(sheet: Sheet, stacks: Stacks) -> Sheet:
    """Put a point into each border along which the heights of its cells cross, and cut the triangles beside it there.

    Parameters
    ----------
    sheet : Sheet
        In the plane.
    stacks : Stacks
        Its vertices.

    Raises
    ------
    ValueError
        The triangles beside a border are too slight to be cut.
    """
    for border in np.flatnonzero(crossed_borders(stacks)).tolist():
        left, right = stacks.vertices[stacks.left[border], 2], stacks.vertices[stacks.right[border], 2]
        apart = (left - right).astype(np.float64)
        start, end = sheet.points[sheet.borders[border]].astype(np.float64)
        sheet = _split(sheet, border, start + (end - start) * apart[0] / (apart[0] - apart[1]))
    return sheet


def _split(sheet: Sheet, border: int, at: Floats) -> Sheet:
    """Cut one border, and the triangles on both sides of it."""
    p, q = sheet.borders[border].tolist()
    sides = [_beside(sheet.triangles, p, q), _beside(sheet.triangles, q, p)]
    place = _place(sheet.points, [(p, q, apex) for _, apex in sides], at)
    new = len(sheet.points)
    triangles = sheet.triangles.copy()
    more = []
    for triangle, apex in sides:
        corners = triangles[triangle].tolist()
        first = corners.index(apex)
        one, two = corners[(first + 1) % 3], corners[(first + 2) % 3]
        triangles[triangle] = apex, one, new
        more.append((apex, new, two))
    borders = np.concatenate([sheet.borders, [[new, q]]])
    borders[border] = p, new
    return replace(
        sheet,
        points=np.concatenate([sheet.points, place[None, :]]),
        triangles=np.concatenate([triangles, more]),
        cells=np.concatenate([sheet.cells, sheet.cells[[triangle for triangle, _ in sides]]]),
        borders=borders,
        left=np.append(sheet.left, sheet.left[border]),
        right=np.append(sheet.right, sheet.right[border]),
    )


def _beside(triangles: Ints, p: int, q: int) -> tuple[int, int]:
    """The triangle that runs from one point to another, and its third point."""
    for k in range(3):
        found = np.flatnonzero((triangles[:, k] == p) & (triangles[:, (k + 1) % 3] == q))
        if len(found):
            return int(found[0]), int(triangles[found[0], (k + 2) % 3])
    raise ValueError(CROSS)


def _place(points: Ints, sides: list[tuple[int, int, int]], at: Floats) -> Ints:
    """The point of the grid next to a place on a border that turns no triangle over."""
    near = np.floor(at).astype(np.int64) + np.array(list(itertools.product((0, 1, -1, 2), repeat=2)))
    for place in near[np.argsort(np.abs(near - at).max(axis=1), kind="stable")]:
        if all(_clear(points[p], points[q], points[apex], place) for p, q, apex in sides):
            return np.asarray(place, dtype=np.int64)
    raise ValueError(CROSS)


def _clear(p: Ints, q: Ints, apex: Ints, place: Ints) -> bool:
    """Tell whether both halves of a triangle turn as the whole does."""
    whole = _twice(p, q, apex)
    return whole * _twice(p, place, apex) > 0 and whole * _twice(place, q, apex) > 0


def _twice(a: Ints, b: Ints, c: Ints) -> int:
    (ax, ay), (bx, by), (cx, cy) = a.tolist(), b.tolist(), c.tolist()
    return int((bx - ax) * (cy - ay) - (by - ay) * (cx - ax))
