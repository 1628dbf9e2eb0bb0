"""Panels of walls of any outline: where a cut leaves a wall in two pieces, each becomes a panel of its own."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.cells import PanelCell, Side
from halfbat.parts.clearing import clipped, lines_between, spans_within

Array = NDArray[np.float64]
_ON_MM = 1e-6
_BEYOND_MM = 1.0


def parted_cells(cells: Sequence[PanelCell], outline_mm: Array) -> tuple[PanelCell, ...]:
    """Part the cells of a wall in which its outline falls into pieces.

    Parameters
    ----------
    cells : sequence of PanelCell
        As the seams have them.
    outline_mm : ndarray (N, 2)
        Face of the wall, anticlockwise.

    Returns
    -------
    tuple of PanelCell
        In the same order, numbered anew; the same where nothing falls apart.
    """
    found = [piece for cell in cells for piece in _parted(cell, outline_mm)]
    if len(found) == len(cells):
        return tuple(cells)
    return tuple(replace(cell, index=index) for index, cell in enumerate(found, 1))


def _parted(cell: PanelCell, outline: Array) -> Iterator[PanelCell]:
    spans = [] if cell.is_whole else spans_within(outline, opened(cell))
    for axis in (0, 1):
        lines = lines_between(spans, axis)
        if lines:
            for low, high in pairwise([-np.inf, *lines, np.inf]):
                yield between(cell, axis, low, high)
            return
    yield cell


def opened(cell: PanelCell) -> Array:
    """Outline of a cell, drawn out over the ends of the wall, which lips and leaning ends may pass."""
    ring = cell.outline.copy()
    sides = (cell.sides[-1], *cell.sides)
    for place, around in enumerate(zip(sides, cell.sides, strict=False)):
        for side, axis, step in ((Side.LEFT, 0, -1), (Side.RIGHT, 0, 1), (Side.BOTTOM, 1, -1), (Side.TOP, 1, 1)):
            if side in around:
                ring[place, axis] += step * _BEYOND_MM
    return ring


def between(cell: PanelCell, axis: int, low: float, high: float) -> PanelCell:
    """The part of a cell between two lines, which lie where the wall is not."""
    ring = cell.outline
    for level, sign in ((low, 1.0), (high, -1.0)):
        if np.isfinite(level):
            ring = clipped(ring, sign * (ring[:, axis] - level))
    sides = [_side_of((a + b) / 2, cell) for a, b in zip(ring, np.roll(ring, -1, axis=0), strict=True)]
    return replace(cell, outline=ring, sides=tuple(sides))


def _side_of(place: Array, cell: PanelCell) -> Side:
    """What an edge of a part lies on; a new one lies on a seam."""
    for a, b, side in zip(cell.outline, np.roll(cell.outline, -1, axis=0), cell.sides, strict=True):
        step = b - a
        off = abs(float(step[0] * (place - a)[1] - step[1] * (place - a)[0])) / float(np.hypot(*step))
        if off < _ON_MM and 0 <= float((place - a) @ step) <= float(step @ step):
            return side
    return Side.SEAM
