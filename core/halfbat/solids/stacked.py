"""Solids built of level slices, one upon another, each wholly inside or outside the outline of the next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfbat.solids.grid import Ints, to_grid, to_mm
from halfbat.solids.patch import triangulate
from halfbat.solids.solid import Solid

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Slice:
    """A level slice of a solid.

    Parameters
    ----------
    ring_mm : ndarray (K, 2)
        Anticlockwise outline; one of two neighbours lies strictly inside the other.
    top_mm : float
        Height of its top; it begins where the one below ends.
    holes_mm : tuple of ndarray (H, 2)
        Anticlockwise; in the topmost slice only.
    """

    ring_mm: Array
    top_mm: float
    holes_mm: tuple[Array, ...] = ()


def stacked(foot_mm: float, slices: Sequence[Slice]) -> Solid:
    """Join slices into one closed solid.

    Parameters
    ----------
    foot_mm : float
        Height of the foot of the lowest.
    slices : sequence of Slice
        From the lowest up.
    """
    points: list[Ints] = []
    triangles: list[NDArray[np.int64]] = []
    count = 0

    def put(ring: Array, height: float) -> NDArray[np.int64]:
        nonlocal count
        corners = to_grid(ring)
        points.append(np.column_stack([corners, np.full(len(corners), int(to_grid(np.array([height]))[0]))]))
        count += len(corners)
        return np.arange(count - len(corners), count)

    def side(low: NDArray[np.int64], high: NDArray[np.int64], turned: bool = False) -> None:
        a, b, c, d = low, np.roll(low, -1), np.roll(high, -1), high
        quads = np.concatenate([np.column_stack([a, b, c]), np.column_stack([a, c, d])])
        triangles.append(quads[:, ::-1] if turned else quads)

    def level(outline: NDArray[np.int64], holes: Sequence[NDArray[np.int64]], up: bool) -> None:
        flat = np.concatenate(points)[:, :2]
        found = triangulate(flat, outline.tolist(), [hole[::-1].tolist() for hole in holes])
        triangles.append(found if up else found[:, ::-1])

    below = foot_mm
    before: NDArray[np.int64] | None = None
    for place, own in enumerate(slices):
        low, high = put(own.ring_mm, below), put(own.ring_mm, own.top_mm)
        if before is None:
            level(low, [], up=False)
        elif _twice_area(own.ring_mm) < _twice_area(slices[place - 1].ring_mm):
            level(before, [low], up=True)
        else:
            level(low, [before], up=False)
        side(low, high)
        tops = []
        for hole in own.holes_mm:
            floor, rim = put(hole, below), put(hole, own.top_mm)
            level(floor, [], up=True)
            side(floor, rim, turned=True)
            tops.append(rim)
        if place == len(slices) - 1:
            level(high, tops, up=True)
        before, below = high, own.top_mm
    return Solid(to_mm(np.concatenate(points)), np.concatenate(triangles))


def _twice_area(ring: Array) -> float:
    nxt = np.roll(ring, -1, axis=0)
    return float((ring[:, 0] * nxt[:, 1] - ring[:, 1] * nxt[:, 0]).sum())
