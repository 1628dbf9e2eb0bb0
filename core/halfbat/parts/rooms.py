"""Where on a surface there is room for a number."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.marks import Room

STEPS = 96
_SAME_MM = 1e-7


def largest_room(
    rings_mm: Sequence[NDArray[np.float64]],
    window_mm: tuple[NDArray[np.float64], NDArray[np.float64]] | None = None,
    margin_mm: float = 0.0,
    *,
    mirrored: bool = False,
    within: int = 1,
) -> Room | None:
    """Find a large upright rectangle within an area.

    Parameters
    ----------
    rings_mm : sequence of ndarray (K, 2)
        The free area: anticlockwise rings, holes clockwise.
    window_mm : tuple of ndarray (2,), optional
        Lowest and highest corner of what may be used of it.
    margin_mm : float
        Kept free inside the sides of the first ring.
    mirrored : bool
        Handed on to the `Room`.
    within : int
        How many of the rings must lie round the rectangle.

    Returns
    -------
    Room or None
        Its corners lie on a grid over the area, of `STEPS` lines and of those on which upright and level sides lie, so
        that it does not reach over such a side; None where not even one square of it is free.
    """
    low, high = rings_mm[0].min(axis=0), rings_mm[0].max(axis=0)
    if window_mm is not None:
        low, high = np.maximum(low, window_mm[0]), np.minimum(high, window_mm[1])
    if (high <= low).any():
        return None
    x, y = (_lines(rings_mm, axis, float(low[axis]), float(high[axis]), margin_mm) for axis in (0, 1))
    at_x, at_y = (x[1:] + x[:-1]) / 2, (y[1:] + y[:-1]) / 2
    inside = (_winding(rings_mm, at_x, at_y) >= within) & ~_near_sides(rings_mm[0], x, y, margin_mm)
    best, area = None, 0.0
    heights = np.zeros(len(at_x), dtype=np.int64)
    for row in range(len(at_y)):
        heights = np.where(inside[row], heights + 1, 0)
        for left, right, tall in _rectangles(heights.tolist()):
            size = (x[right] - x[left]) * (y[row + 1] - y[row + 1 - tall])
            if size > area + 1e-9:
                best, area = (left, right, row + 1 - tall, row + 1), size
    if best is None:
        return None
    left, right, bottom, top = best
    return Room((float(x[left]), float(y[bottom])), (float(x[right]), float(y[top])), mirrored)


def _lines(
    rings: Sequence[NDArray[np.float64]], axis: int, low: float, high: float, margin: float
) -> NDArray[np.float64]:
    """Lines of the grid square to one axis."""
    lines = [np.linspace(low, high, STEPS + 1)]
    for ring in rings:
        ends = np.roll(ring, -1, axis=0)
        at = ring[np.abs(ring[:, axis] - ends[:, axis]) < _SAME_MM, axis]
        lines += [at, at - margin, at + margin] if ring is rings[0] else [at]
    every: NDArray[np.float64] = np.unique(np.round(np.concatenate(lines), 9))
    kept: NDArray[np.float64] = every[(every >= low - _SAME_MM) & (every <= high + _SAME_MM)]
    return kept


def _winding(rings: Sequence[NDArray[np.float64]], x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.int64]:
    """How often the rings wind round the middle of each grid square."""
    winding = np.zeros((len(y), len(x)), dtype=np.int64)
    for ring in rings:
        a, b = ring, np.roll(ring, -1, axis=0)
        for (x0, y0), (x1, y1) in zip(a.tolist(), b.tolist(), strict=True):
            if y0 == y1:
                continue
            low, high = min(y0, y1), max(y0, y1)
            rows = np.flatnonzero((y >= low) & (y < high))
            at = x0 + (y[rows] - y0) * ((x1 - x0) / (y1 - y0))
            winding[rows] += np.where(x[None, :] > at[:, None], 1 if y1 < y0 else -1, 0)
    return winding


def _near_sides(
    ring: NDArray[np.float64], x: NDArray[np.float64], y: NDArray[np.float64], margin: float
) -> NDArray[np.bool_]:
    """Whether a corner or the middle of each square between lines of a grid lies within a margin of a ring's sides."""
    middles = _near(ring, (x[1:] + x[:-1]) / 2, (y[1:] + y[:-1]) / 2, margin)
    corners = _near(ring, x, y, margin)
    return np.asarray(middles | corners[1:, 1:] | corners[1:, :-1] | corners[:-1, 1:] | corners[:-1, :-1])


def _near(
    ring: NDArray[np.float64], x: NDArray[np.float64], y: NDArray[np.float64], margin: float
) -> NDArray[np.bool_]:
    near = np.zeros((len(y), len(x)), dtype=bool)
    if margin <= 0:
        return near
    gx, gy = np.meshgrid(x, y)
    for a, b in zip(ring, np.roll(ring, -1, axis=0), strict=True):
        step = b - a
        along = np.clip(((gx - a[0]) * step[0] + (gy - a[1]) * step[1]) / max(float(step @ step), 1e-12), 0.0, 1.0)
        near |= np.hypot(gx - a[0] - along * step[0], gy - a[1] - along * step[1]) < margin - _SAME_MM
    return near


def _rectangles(heights: list[int]) -> list[tuple[int, int, int]]:
    """Largest rectangles under a row of columns, as left, right and height."""
    found = []
    stack: list[tuple[int, int]] = []
    for place, height in enumerate([*heights, 0]):
        left = place
        while stack and stack[-1][1] >= height:
            left, tall = stack.pop()
            if tall:
                found.append((left, place, tall))
        stack.append((left, height))
    return found
