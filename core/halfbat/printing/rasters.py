"""Sections as pixels, and what is thin, enclosed or apart in them.

Pixels are counted from the origin of the part's frame and belong to a section when their middle does, as on the screen
of a printer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np
from numpy.typing import NDArray

from halfbat.printing.sections import Array
from halfbat.solids.grid import ranges

Mask = NDArray[np.bool_]
Ints = NDArray[np.int64]
ACROSS_PX = 11
"""Pixels across the disc that thin places are looked for with; a place a tenth under the limit may just be missed."""
CORNER_SHARE = 0.6
"""Of the disc's radius: how far beyond the disc a square corner or a shallow bay may reach."""


@dataclass(frozen=True, slots=True)
class Grid:
    """Pixels that cover a part.

    Parameters
    ----------
    first : tuple of int
        Column and row of the lowest pixel, counted from the origin.
    size : tuple of int
        Columns and rows.
    pitch_mm : tuple of float
        Size of a pixel.
    """

    first: tuple[int, int]
    size: tuple[int, int]
    pitch_mm: tuple[float, float]

    @staticmethod
    def over(bounds_mm: Array, pitch_x_mm: float, pitch_y_mm: float | None = None, *, edge_px: int = 2) -> Grid:
        """Cover a box, rows of ``bounds_mm`` being its low and high corner, with some pixels to spare."""
        pitch = (pitch_x_mm, pitch_x_mm if pitch_y_mm is None else pitch_y_mm)
        first, size = [], []
        for axis in range(2):
            low = int(np.floor(bounds_mm[0, axis] / pitch[axis])) - edge_px
            high = int(np.ceil(bounds_mm[1, axis] / pitch[axis])) + edge_px
            first.append(low)
            size.append(high - low)
        return Grid((first[0], first[1]), (size[0], size[1]), pitch)

    @property
    def pixel_mm2(self) -> float:
        """Area of a pixel."""
        return self.pitch_mm[0] * self.pitch_mm[1]


def winding(segments: Array, grid: Grid) -> NDArray[np.int16]:
    """Return how many times a section winds round the middle of each pixel, shape (rows, columns); 1 is material."""
    columns, rows = grid.size
    flips = np.zeros((rows, columns + 1), dtype=np.int16)
    x = segments[:, [0, 2]] / grid.pitch_mm[0] - 0.5 - grid.first[0]
    y = segments[:, [1, 3]] / grid.pitch_mm[1] - 0.5 - grid.first[1]
    low, high = np.ceil(y.min(axis=1)), np.ceil(y.max(axis=1))
    low, high = np.clip(low, 0, rows).astype(np.int64), np.clip(high, 0, rows).astype(np.int64)
    count = high - low
    which = np.repeat(np.arange(len(segments)), count)
    row = ranges(low, count)
    rise = y[which, 1] - y[which, 0]
    at = x[which, 0] + (row - y[which, 0]) * (x[which, 1] - x[which, 0]) / rise
    column = np.clip(np.ceil(at), 0, columns).astype(np.int64)
    np.add.at(flips, (row, column), np.where(rise > 0, -1, 1).astype(np.int16))
    return np.cumsum(flips[:, :columns], axis=1, dtype=np.int16)


def raster(segments: Array, grid: Grid) -> Mask:
    """Return which pixels are material, shape (rows, columns)."""
    return winding(segments, grid) > 0


def _box(mask: Mask, edge_px: int) -> tuple[slice, slice] | None:
    """Rows and columns that hold all of a mask, with an edge; None where there is nothing."""
    rows, columns = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    if not rows.size:
        return None
    return (
        slice(max(0, int(rows[0]) - edge_px), int(rows[-1]) + 1 + edge_px),
        slice(max(0, int(columns[0]) - edge_px), int(columns[-1]) + 1 + edge_px),
    )


def dilated(mask: Mask, radius_px: float) -> Mask:
    """Grow a mask by a disc; it does not grow beyond its edges."""
    grown = np.zeros_like(mask)
    box = _box(mask, int(radius_px))
    if box is not None:
        grown[box] = _grown(mask[box], radius_px)
    return grown


def _grown(mask: Mask, radius_px: float) -> Mask:
    whole = int(radius_px)
    rows, columns = mask.shape
    sums = np.zeros((rows, columns + 2 * whole + 2), dtype=np.int32)
    np.cumsum(mask, axis=1, out=sums[:, whole + 1 : whole + 1 + columns])
    sums[:, whole + 1 + columns :] = sums[:, whole + columns, None]
    grown = np.zeros_like(mask)
    for step in range(whole + 1):
        half = int(np.sqrt(radius_px * radius_px - step * step))
        right = sums[:, whole + half + 1 : whole + half + 1 + columns]
        left = sums[:, whole - half : whole - half + columns]
        reached = right > left
        grown[step:] |= reached[: rows - step]
        if step:
            grown[:-step] |= reached[step:]
    return grown


def eroded(mask: Mask, radius_px: float) -> Mask:
    """Shrink a mask by a disc; beyond the edges there is nothing."""
    shrunk = np.zeros_like(mask)
    box = _box(mask, 0)
    if box is not None:
        edge = int(radius_px) + 1
        shrunk[box] = ~_grown(~np.pad(mask[box], edge), radius_px)[edge:-edge, edge:-edge]
    return shrunk


def opened(mask: Mask, across_px: float) -> Mask:
    """Keep what a disc that moves inside a mask can reach."""
    radius = (across_px - 1) / 2
    return dilated(eroded(mask, radius), radius)


def fine_pitch_mm(limit_mm: float, across_px: int = ACROSS_PX) -> float:
    """Pixel for finding what is thinner than a limit; a place exactly as wide as the limit is never found thin."""
    return limit_mm / (across_px + 0.5)


def thin_places(mask: Mask, across_px: int = ACROSS_PX) -> Mask:
    """Return what of a mask is thinner than a disc, corners and shallow bays aside."""
    if not mask.any():
        return mask
    edge = across_px
    padded = np.pad(mask, edge)
    reached = dilated(opened(padded, across_px), CORNER_SHARE * (across_px - 1) / 2)
    return np.asarray((padded & ~reached)[edge:-edge, edge:-edge], dtype=np.bool_)


@dataclass(frozen=True, slots=True, eq=False)
class Pieces:
    """Connected pieces of a mask.

    Parameters
    ----------
    shape : tuple of int
        Of the mask.
    row, start, end : ndarray (R,)
        Runs of pixels, and the piece of each.
    piece : ndarray (R,)
        Number of the piece of each run, from 0.
    count : int
        How many pieces there are.
    """

    shape: tuple[int, int]
    row: Ints
    start: Ints
    end: Ints
    piece: Ints
    count: int

    @property
    def sizes_px(self) -> Ints:
        """Pixels in each piece."""
        return np.bincount(self.piece, weights=self.end - self.start, minlength=self.count).astype(np.int64)

    def touching(self, mask: Mask) -> Mask:
        """Which pieces share a pixel with a mask, shape (count,)."""
        sums = np.zeros((self.shape[0], self.shape[1] + 1), dtype=np.int64)
        np.cumsum(mask, axis=1, out=sums[:, 1:])
        hit = sums[self.row, self.end] > sums[self.row, self.start]
        found = np.zeros(self.count, dtype=np.bool_)
        found[self.piece[hit]] = True
        return found

    def at_edge(self) -> Mask:
        """Which pieces reach the edge of the mask."""
        rows, columns = self.shape
        hit = (self.row == 0) | (self.row == rows - 1) | (self.start == 0) | (self.end == columns)
        found = np.zeros(self.count, dtype=np.bool_)
        found[self.piece[hit]] = True
        return found

    def mask(self, wanted: Mask) -> Mask:
        """Return the pixels of some of the pieces."""
        kept = wanted[self.piece]
        flips = np.zeros((self.shape[0], self.shape[1] + 1), dtype=np.int8)
        np.add.at(flips, (self.row[kept], self.start[kept]), 1)
        np.add.at(flips, (self.row[kept], self.end[kept]), -1)
        return np.cumsum(flips[:, :-1], axis=1, dtype=np.int8) > 0


def runs(mask: Mask) -> tuple[Ints, Ints, Ints]:
    """Return row, start and end of every run of pixels along X, row by row."""
    padded = np.zeros((mask.shape[0], mask.shape[1] + 2), dtype=np.int8)
    padded[:, 1:-1] = mask
    change = np.diff(padded, axis=1)
    row, start = np.nonzero(change == 1)
    _, end = np.nonzero(change == -1)
    return row.astype(np.int64), start.astype(np.int64), end.astype(np.int64)


def pieces(mask: Mask, *, diagonal: bool = False) -> Pieces:
    """Part a mask into connected pieces; with ``diagonal`` also across corners."""
    row, start, end = runs(mask)
    wide = mask.shape[1] + 3
    reach = 1 if diagonal else 0
    first = np.searchsorted(row * wide + end, (row + 1) * wide + start - reach, side="right")
    past = np.searchsorted(row * wide + start, (row + 1) * wide + end + reach, side="left")
    count = np.maximum(past - first, 0)
    label = _joined(len(row), np.repeat(np.arange(len(row)), count), ranges(first, count))
    found, piece = np.unique(label, return_inverse=True)
    return Pieces((mask.shape[0], mask.shape[1]), row, start, end, piece.reshape(-1).astype(np.int64), len(found))


def _joined(count: int, a: Ints, b: Ints) -> Ints:
    """Give everything that is connected by pairs the same label, by hooking to the smallest and halving paths."""
    label = np.arange(count, dtype=np.int64)
    while True:
        low = np.minimum(label[a], label[b])
        new = label.copy()
        np.minimum.at(new, label[a], low)
        np.minimum.at(new, label[b], low)
        while not np.array_equal(new, new[new]):
            new = new[new]
        if np.array_equal(new, label):
            return label
        label = new


def enclosed(mask: Mask) -> Mask:
    """Return the holes of a mask: background that cannot be reached from outside."""
    background = pieces(~np.pad(mask, 1), diagonal=True)
    return background.mask(~background.at_edge())[1:-1, 1:-1]


def united(masks: Sequence[Mask]) -> Mask:
    """Return what is in any of some masks."""
    return np.asarray(np.logical_or.reduce(masks), dtype=np.bool_)


def step_px(length_mm: float, pitch_mm: float) -> int:
    """Whole pixels that a length reaches over."""
    return ceil(length_mm / pitch_mm - 1e-9)
