"""Where leaning sides cross other sides within a cell."""

from __future__ import annotations

import numpy as np

from halfbat.solids.grid import Ints, ranges
from halfbat.solids.sides import Pieces, Sides


def crossing_heights(sides: Sides, pieces: Pieces, local: Ints, cell: Ints) -> tuple[Ints, Ints]:
    """Find the heights of all crossings between the pieces of each cell.

    Parameters
    ----------
    local : ndarray (L,) of int64
        Pieces that are no posts, ordered by cell.
    cell : ndarray (L,) of int64
        The cell of each.

    Returns
    -------
    cell, y : ndarray (C,) of int64
        One entry for each crossing, to the nearest grid unit of height.
    """
    none = np.zeros(0, dtype=np.int64)
    leaning = np.flatnonzero(sides.x0[pieces.side[local]] != sides.x1[pieces.side[local]])
    if not leaning.size:
        return none, none
    first = np.searchsorted(cell, cell[leaning], side="left")
    past = np.searchsorted(cell, cell[leaning], side="right")
    a = np.repeat(leaning, past - first)
    b = ranges(first, past - first)
    both = np.zeros(len(local), dtype=bool)
    both[leaning] = True
    once = ~both[b] | (a < b)
    a, b = a[once], b[once]
    p, q = local[a], local[b]
    low = np.maximum(pieces.y0[p], pieces.y0[q])
    high = np.minimum(pieces.y1[p], pieces.y1[q])
    near = (low < high) & (np.minimum(pieces.x0[p], pieces.x1[p]) <= np.maximum(pieces.x0[q], pieces.x1[q]))
    near &= np.minimum(pieces.x0[q], pieces.x1[q]) <= np.maximum(pieces.x0[p], pieces.x1[p])
    a, p, q, low, high = a[near], p[near], q[near], low[near], high[near]
    gap_low = _exact_x(sides, pieces.side[p], low) - _exact_x(sides, pieces.side[q], low)
    gap_high = _exact_x(sides, pieces.side[p], high) - _exact_x(sides, pieces.side[q], high)
    cross = gap_low * gap_high < 0
    a, low, high, gap_low, gap_high = a[cross], low[cross], high[cross], gap_low[cross], gap_high[cross]
    y = np.rint(low + (high - low) * (gap_low / (gap_low - gap_high))).astype(np.int64)
    inside = (y > low) & (y < high)
    return cell[a[inside]], y[inside]


def _exact_x(sides: Sides, side: Ints, y: Ints) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    x0, y0 = sides.x0[side], sides.y0[side]
    slope = (sides.x1[side] - x0) / (sides.y1[side] - y0)
    return np.asarray((y - y0) * slope + x0, dtype=np.float64)
