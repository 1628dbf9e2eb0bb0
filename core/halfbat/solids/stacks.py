"""The vertices of a sheet: those over one point follow one another, upward."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from halfbat.solids.figure import OUTSIDE
from halfbat.solids.grid import CORNER_STEP, Ints
from halfbat.solids.sheet import Sheet

MEET = 3 * CORNER_STEP
"""Planes that meet in a line miss each other by the rounding of its points: heights that close become one."""


@dataclass(frozen=True, slots=True)
class Stacks:
    """Numbered vertices, and which of them stand where.

    Parameters
    ----------
    vertices : ndarray (V, 3) of int64
        Grid units, ordered by point and then upward.
    over : ndarray (V,) of int64
        The point under each vertex.
    faces : ndarray (M, 3) of int64
        Vertices of the sheet's triangles.
    left, right : ndarray (K, 2) of int64
        Vertices at both ends of each border on its left and on its right; outside, the belt or else the inner side.
    """

    vertices: Ints
    over: Ints
    faces: Ints
    left: Ints
    right: Ints


def stack_flat(sheet: Sheet, heights: Ints, belt: Ints | None) -> Stacks:
    """Number the vertices of a sheet whose cells are level.

    Parameters
    ----------
    sheet : Sheet
    heights : ndarray (C,) of int64
        Height of each cell in grid units.
    belt : ndarray (K,) of int64, optional
        Height of the belt at each border of the rim.
    """
    levels, level = np.unique(heights if belt is None else np.concatenate([heights, belt]), return_inverse=True)
    level = level.reshape(-1).astype(np.int64)
    count = len(levels)
    corner = sheet.triangles * count
    corner += level[sheet.cells][:, None]
    present = np.zeros(len(sheet.points) * count, dtype=bool)
    present[corner.ravel()] = True
    if belt is not None:
        belted = np.zeros(len(sheet.borders), dtype=np.int64)
        belted[sheet.rim] = level[len(heights) :]
        present[(sheet.borders[sheet.rim] * count + belted[sheet.rim][:, None]).ravel()] = True
    number = np.cumsum(present)
    number -= 1
    place = np.flatnonzero(present)
    over = place // count
    vertices = np.empty((len(place), 3), dtype=np.int64)
    vertices[:, 0], vertices[:, 1] = sheet.points[over, 0], sheet.points[over, 1]
    vertices[:, 2] = levels[place - over * count]
    ends = sheet.borders * count

    def side(cells: Ints, inner: Ints) -> Ints:
        outside = level[inner] if belt is None else belted
        own = np.where(cells == OUTSIDE, outside, level[cells])
        return number.take(ends + own[:, None])

    return Stacks(vertices, over, number.take(corner), side(sheet.left, sheet.right), side(sheet.right, sheet.left))


def stack_sloped(sheet: Sheet, heights_at: Callable[[Ints, Ints], Ints], belt: Ints | None) -> Stacks:
    """Number the vertices of a sheet whose cells slope.

    Parameters
    ----------
    sheet : Sheet
    heights_at : callable
        Height of cells over points (..., 2) in grid units.
    belt : ndarray (K,) of int64, optional
        Height of the belt at each border of the rim.
    """
    belted = np.zeros(len(sheet.borders), dtype=np.int64)
    if belt is not None:
        belted[sheet.rim] = belt
    corner = heights_at(sheet.points[sheet.triangles], np.repeat(sheet.cells[:, None], 3, axis=1))

    def side(cells: Ints, inner: Ints) -> Ints:
        own = np.where(cells == OUTSIDE, inner, cells)
        height = heights_at(sheet.points[sheet.borders], np.stack([own, own], axis=1))
        return height if belt is None else np.where((cells == OUTSIDE)[:, None], belted[:, None], height)

    left, right = side(sheet.left, sheet.right), side(sheet.right, sheet.left)
    low = min(int(corner.min()), int(left.min()), int(right.min()))
    span = max(int(corner.max()), int(left.max()), int(right.max())) - low + 1 + MEET
    found = [
        points * span + (z - low)
        for points, z in zip((sheet.triangles, sheet.borders, sheet.borders), (corner, left, right), strict=True)
    ]
    keys, number = np.unique(np.concatenate([one.ravel() for one in found]), return_inverse=True)
    apart = np.ones(len(keys), dtype=bool)
    apart[1:] = np.diff(keys) > MEET
    number = (np.cumsum(apart) - 1)[number.reshape(-1)]
    keys = keys[apart]
    over = keys // span
    vertices = np.column_stack([sheet.points[over], keys - over * span + low])
    faces, rest = number[: corner.size], number[corner.size :]
    ends = rest.reshape(2, -1, 2)
    return Stacks(vertices, over, faces.reshape(-1, 3), ends[0], ends[1])
