"""Outlines and lines between the cells of a sheet, for drawings."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from halfbat.building.rings import straighten
from halfbat.drawings.drawing import Array
from halfbat.solids.figure import OUTSIDE
from halfbat.solids.grid import to_mm
from halfbat.solids.sheet import Sheet

_MOST_MITRE = 3.0
_STRAIGHT_MM = 2e-3


def grown(ring: Array, by_mm: float) -> Array:
    """Move the sides of an anticlockwise ring outward; corners move no farther than a blunt mitre asks."""
    before, after = ring - np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0) - ring
    outs = [
        np.column_stack([step[:, 1], -step[:, 0]]) / np.hypot(step[:, 0], step[:, 1])[:, None].clip(1e-9)
        for step in (before, after)
    ]
    square = 1.0 + (outs[0] * outs[1]).sum(axis=1)
    moved = (outs[0] + outs[1]) * np.minimum(1.0 / square.clip(1e-6), _MOST_MITRE)[:, None]
    return np.asarray(ring + moved * by_mm)


def outlines(sheet: Sheet, cells: Iterable[int] | None = None) -> list[Array]:
    """Return the outlines of some cells of a sheet taken together, or of all of it.

    Parameters
    ----------
    sheet : Sheet
        A figure, laid.
    cells : iterable of int, optional
        Those wanted.

    Returns
    -------
    list of ndarray (K, 2)
        Anticlockwise, holes clockwise, mm.
    """
    if cells is None:
        left, right = sheet.left != OUTSIDE, sheet.right != OUTSIDE
    else:
        wanted = np.array(sorted(cells), dtype=np.int64)
        left, right = np.isin(sheet.left, wanted), np.isin(sheet.right, wanted)
    walked = np.concatenate([sheet.borders[left & ~right], sheet.borders[right & ~left][:, ::-1]])
    rings = [_straight(line[:-1]) for line in _chains(walked, sheet)]
    return [ring for ring in rings if len(ring) >= 3]


def lines_between(sheet: Sheet, chosen: NDArray[np.bool_]) -> list[Array]:
    """Return some of the borders of a sheet as lines as long as may be, each border once.

    Parameters
    ----------
    sheet : Sheet
        A figure, laid.
    chosen : ndarray of bool (K,)
        Which borders.

    Returns
    -------
    list of ndarray (K, 2)
        Open lines; a closed one ends where it begins. The cell of the higher number lies on their left.
    """
    turned = (sheet.left < sheet.right)[:, None]
    walked = np.where(turned, sheet.borders[:, ::-1], sheet.borders)[chosen]
    return [_straight_line(line) for line in _chains(walked, sheet)]


def _chains(borders: NDArray[np.int64], sheet: Sheet) -> list[Array]:
    follow: dict[int, list[int]] = {}
    reached = set[int]()
    for a, b in borders.tolist():
        follow.setdefault(a, []).append(b)
        reached.add(b)
    found: list[Array] = []
    starts = [a for a in follow if a not in reached]
    while follow:
        at = starts.pop() if starts else next(iter(follow))
        line = [at]
        while line[-1] in follow:
            choices = follow[line[-1]]
            line.append(choices.pop())
            if not choices:
                del follow[line[-2]]
            if line[-1] == at:
                break
        if len(line) > 1:
            found.append(to_mm(sheet.points[line]))
    return found


def _straight(ring: Array) -> Array:
    return np.asarray(ring[straighten(np.arange(len(ring)), ring, _STRAIGHT_MM)], dtype=np.float64)


def _straight_line(line: Array) -> Array:
    """Leave out points of a line that lie on the straight between their neighbours."""
    if len(line) < 3:
        return line
    step = np.diff(line, axis=0)
    turn = np.abs(step[:-1, 0] * step[1:, 1] - step[:-1, 1] * step[1:, 0])
    long = np.hypot(step[:-1, 0], step[:-1, 1]) * np.hypot(step[1:, 0], step[1:, 1])
    return np.asarray(line[np.concatenate([[True], turn > 1e-4 * long, [True]])])
