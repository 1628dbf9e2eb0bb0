"""The integer grid on which plane figures are computed.

Corners sit on a grid of 1e-3 mm, crossings of their sides on one of 1e-4 mm. Equal points are then equal, arithmetic
is exact, and two different points stay different in the float32 of an STL file.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

PER_MM = 10_000
CORNER_STEP = 10
LARGEST_MM = 1_500.0
"""Products of two differences of coordinates stay exact in float64 too."""


def to_grid(mm: ArrayLike) -> Ints:
    """Round lengths to the corner grid.

    Parameters
    ----------
    mm : array_like, any shape
        Lengths in millimetres, at most `LARGEST_MM` in size.

    Returns
    -------
    ndarray of int64, same shape
        Multiples of 1e-3 mm, counted in units of 1e-4 mm.

    Raises
    ------
    ValueError
        A length is not finite, or so large that integer arithmetic could overflow.
    """
    values = np.asarray(mm, dtype=np.float64)
    if values.size and not np.abs(values).max() <= LARGEST_MM:
        raise ValueError(f"a figure must be finite and within {LARGEST_MM:g} mm of its origin")
    return np.rint(values * (PER_MM / CORNER_STEP)).astype(np.int64) * CORNER_STEP


def to_mm(grid: Ints) -> Floats:
    """Turn grid units back into millimetres."""
    return np.asarray(grid / float(PER_MM), dtype=np.float64)


def ranges(starts: Ints, counts: Ints) -> Ints:
    """Concatenate ``arange(start, start + count)`` for each pair, without a loop."""
    total = int(counts.sum())
    if not total:
        return np.zeros(0, dtype=np.int64)
    offsets = np.cumsum(counts) - counts
    return np.asarray(np.arange(total, dtype=np.int64) + np.repeat(starts - offsets, counts), dtype=np.int64)
