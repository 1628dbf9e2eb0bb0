"""Skins of walls as convex blocks that stand in the building, for what must keep clear of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.clearing import clipped

Array = NDArray[np.float64]
SAME_MM = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Standing:
    """A stretch of a wall's skin with one edge below and one above, model millimetres in the building's frame.

    Parameters
    ----------
    ring_mm : ndarray (4, 2)
        Anticlockwise in plan, from the left end of the face on.
    foot, top : tuple of (float, float, float)
        Heights of its lower and its upper edge, ``a + b * x + c * y``.
    wall : int
        Index of the wall.
    """

    ring_mm: Array
    foot: tuple[float, float, float]
    top: tuple[float, float, float]
    wall: int

    def grown(self, by_mm: float) -> Array:
        """Its ring, larger by a distance on all sides."""
        a, b, _, d = self.ring_mm
        along, inward = (b - a) / np.linalg.norm(b - a), (d - a) / np.linalg.norm(d - a)
        out = np.array([-along - inward, along - inward, along + inward, inward - along])
        return np.asarray(self.ring_mm + by_mm * out, dtype=np.float64)


def height_of(plane: Sequence[float], places: Array) -> Array:
    """Height of a plane over places in plan (N, 2)."""
    return np.asarray(plane[0] + places @ np.asarray(plane[1:]), dtype=np.float64)


def standing(
    outline_mm: Array,
    foot_mm: Array,
    along: Array,
    outward: Array,
    depth_mm: float,
    wall: int,
    spreads: tuple[float, float] = (0.0, 0.0),
) -> list[Standing]:
    """Cut a wall's skin into blocks, upright lines through all its corners.

    Parameters
    ----------
    outline_mm : ndarray (K, 2)
        Anticlockwise in the wall's frame.
    foot_mm : ndarray (3,)
        Origin of that frame in the building's.
    along, outward : ndarray (2,)
        Unit vectors in plan.
    depth_mm : float
        Thickness.
    wall : int
        Its index.
    spreads : tuple of float
        How far its left and right end lie further in for each millimetre of depth.
    """
    found = []
    ends = spreads[0] * depth_mm, float(outline_mm[:, 0].max()) - spreads[1] * depth_mm
    for u0, u1, below, above in columns(outline_mm):
        behind = (u0, u1) if u1 <= ends[0] or u0 >= ends[1] else (max(u0, ends[0]), min(u1, ends[1]))
        corners = foot_mm[:2] + np.array([[u] for u in (u0, u1, *behind[::-1])]) * along
        corners[2:] -= outward * depth_mm
        edges = []
        for start, end in (below, above):
            slope = (end - start) / (u1 - u0)
            level = foot_mm[2] + start - slope * (u0 + float(foot_mm[:2] @ along))
            edges.append((float(level), float(slope * along[0]), float(slope * along[1])))
        found.append(Standing(corners, edges[0], edges[1], wall))
    return found


def columns(ring: Array) -> list[tuple[float, float, tuple[float, float], tuple[float, float]]]:
    """Cut a ring by upright lines through its corners.

    Returns
    -------
    list of (float, float, (float, float), (float, float))
        From where to where each piece reaches, and where its lower and its upper edge stand at either end.
    """
    ends = np.roll(ring, -1, axis=0)
    found = []
    places = np.unique(ring[:, 0])
    for u0, u1 in pairwise(places[np.concatenate([[True], np.diff(places) > SAME_MM])].tolist()):
        middle = (u0 + u1) / 2
        crossed = []
        for (a, p), (b, q) in zip(ring.tolist(), ends.tolist(), strict=True):
            if min(a, b) < middle < max(a, b):
                rise = (q - p) / (b - a)
                crossed.append((p + rise * (u0 - a), p + rise * (u1 - a)))
        crossed.sort(key=sum)
        found += [(u0, u1, low, high) for low, high in zip(crossed[::2], crossed[1::2], strict=False)]
    return found


def within(ring: Array, other: Array) -> Array:
    """What a convex ring shares with another, both anticlockwise; no corners where nothing."""
    shared = ring
    for p, q in zip(other, np.roll(other, -1, axis=0), strict=True):
        if not len(shared):
            return shared
        step = q - p
        shared = clipped(shared, step[0] * (shared[:, 1] - p[1]) - step[1] * (shared[:, 0] - p[0]))
    return shared
