"""Closed rings of points in a plane: tracing, straightening, measuring."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]


def trace_rings(directed: Sequence[tuple[int, int]], flat: Array) -> list[list[int]]:
    """Join directed border edges to rings, keeping the area on their left.

    Where a ring meets itself in one point, the sharpest turn to the left is taken: areas that
    touch at a corner become rings of their own, and a hole that touches the border becomes a
    notch in it.

    Parameters
    ----------
    directed : sequence of (int, int)
        Edges from one point to the next; as many arrive at each point as leave it.
    flat : ndarray, shape (N, 2)
        The points in their plane; only those used are looked at.

    Returns
    -------
    list of list of int
        Point indices of each ring; edges that close no ring are left out.
    """
    leaving: dict[int, list[int]] = {}
    for a, b in sorted(directed):
        leaving.setdefault(a, []).append(b)
    rings = []
    while leaving:
        # Not from a point where rings touch: which way to leave it is only known on arrival.
        start = min(leaving, key=lambda point: (len(leaving[point]) > 1, point))
        ring = [start]
        before, here = -1, start
        while True:
            options = leaving.get(here)
            if not options:
                break
            ahead = options[0] if before < 0 or len(options) == 1 else _leftmost(flat, before, here, options)
            options.remove(ahead)
            if not options:
                del leaving[here]
            before, here = here, ahead
            if here == start:
                rings.append(ring)
                break
            ring.append(here)
    return rings


def _leftmost(flat: Array, before: int, here: int, options: list[int]) -> int:
    """Return the option that turns most to the left, coming from one point to the next."""
    back = flat[before] - flat[here]
    angle_back = math.atan2(back[1], back[0])

    def swing(option: int) -> float:
        step = flat[option] - flat[here]
        return (angle_back - math.atan2(step[1], step[0])) % (2.0 * math.pi) or 2.0 * math.pi

    return min(options, key=swing)


def straighten(ring: Ints, points: Array, tolerance: float) -> Ints:
    """Drop the points of a ring that lie on a straight line between those kept.

    Parameters
    ----------
    ring : ndarray of int, shape (n,)
        Point indices.
    points : ndarray, shape (N, D)
        Points.
    tolerance : float
        How far a dropped point may lie off the line.

    Returns
    -------
    ndarray of int
        At least two indices.
    """
    spots = points[ring]
    first = int(np.argmax(np.sum((spots - spots.mean(axis=0)) ** 2, axis=1)))
    ring, spots = np.roll(ring, -first), np.roll(spots, -first, axis=0)
    far = int(np.argmax(np.sum((spots - spots[0]) ** 2, axis=1)))
    if far == 0:
        return ring[:1]
    closed = np.vstack([spots, spots[:1]])
    keep = np.zeros(len(ring) + 1, dtype=np.bool_)
    keep[[0, far, len(ring)]] = True
    waiting = [(0, far), (far, len(ring))]
    while waiting:
        low, high = waiting.pop()
        if high - low < 2:
            continue
        inner = closed[low + 1 : high] - closed[low]
        chord = closed[high] - closed[low]
        length = float(np.linalg.norm(chord))
        share = np.clip(inner @ chord / length**2, 0.0, 1.0) if length > 0 else np.zeros(len(inner))
        off = np.linalg.norm(inner - share[:, None] * chord, axis=1)
        worst = int(np.argmax(off))
        if off[worst] > tolerance:
            middle = low + 1 + worst
            keep[middle] = True
            waiting += [(low, middle), (middle, high)]
    return ring[keep[:-1]]


def ring_area(spots: Array) -> float:
    """Return the area of a ring, shape (n, 2); negative if it runs clockwise."""
    local = spots - spots[0]
    ahead = np.roll(local, -1, axis=0)
    return float(np.sum(local[:, 0] * ahead[:, 1] - ahead[:, 0] * local[:, 1]) / 2.0)


def inside_rings(rings: Sequence[Array], spots: Array) -> Flags:
    """Say which spots lie inside an odd number of rings.

    Parameters
    ----------
    rings : sequence of ndarray, each shape (n, 2)
        Outer rings and holes alike.
    spots : ndarray, shape (M, 2)
        Places to judge.

    Returns
    -------
    ndarray of bool, shape (M,)
    """
    odd = np.zeros(len(spots), dtype=np.bool_)
    x, y = spots[:, 0:1], spots[:, 1:2]
    for ring in rings:
        ahead = np.roll(ring, -1, axis=0)
        x0, y0, x1, y1 = ring[:, 0], ring[:, 1], ahead[:, 0], ahead[:, 1]
        spans = (y0 <= y) != (y1 <= y)
        rise = np.where(y1 == y0, 1.0, y1 - y0)
        right = x < x0 + (y - y0) / rise * (x1 - x0)
        odd ^= (np.count_nonzero(spans & right, axis=1) % 2).astype(np.bool_)
    return odd


def inner_spot(rings: Sequence[Array]) -> Array:
    """Return a place well inside a figure of rings, shape (2,).

    It is the middle of the longest stretch inside the figure on one of a few level lines.
    """
    heights = np.concatenate([ring[:, 1] for ring in rings])
    low, high = float(heights.min()), float(heights.max())
    best, found = -1.0, np.array([float(rings[0][:, 0].mean()), (low + high) / 2.0])
    for share in (0.5, 0.35, 0.65, 0.2, 0.8, 0.08, 0.92):
        y = low + share * (high - low) + 1e-7
        crossings: list[float] = []
        for ring in rings:
            ahead = np.roll(ring, -1, axis=0)
            spans = (ring[:, 1] <= y) != (ahead[:, 1] <= y)
            a, b = ring[spans], ahead[spans]
            crossings += (a[:, 0] + (y - a[:, 1]) / (b[:, 1] - a[:, 1]) * (b[:, 0] - a[:, 0])).tolist()
        crossings.sort()
        for left, right in zip(crossings[::2], crossings[1::2], strict=False):
            if right - left > best * 1.2:
                best, found = right - left, np.array([(left + right) / 2.0, y])
    return found
