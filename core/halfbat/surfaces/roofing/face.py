"""The face of a slope: its outline with holes, what its edges are, and how much of it lies where."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfbat.errors import KitError

Array = NDArray[np.float64]
SIDES = frozenset({"verge", "abutment", "parapet"})
"""Edges at the sides of a slope, along which pieces are set out and not under half a piece where lapped twice."""
UPRIGHT_MM = 0.02


@dataclass(frozen=True, slots=True, eq=False)
class RoofFace:
    """A slope in its frame, u along the eaves and v up the slope, model millimetres.

    Parameters
    ----------
    outline_mm : ndarray (K, 2)
        Anticlockwise.
    edges : tuple of str, length K
        ``"eaves"``, ``"verge"``, ``"ridge"``, ``"hip"``, ``"valley"``, ``"abutment"``, ``"top edge"`` or
        ``"parapet"``; edge i runs from corner i to corner i + 1.
    holes_mm : tuple of ndarray (H, 2)
        Where a chimney, a dormer or a roof light stands; turned clockwise.
    """

    outline_mm: Array
    edges: tuple[str, ...]
    holes_mm: tuple[Array, ...] = ()

    @staticmethod
    def of(outline_mm: Array, edges: Sequence[str], holes_mm: Sequence[Array], where: str) -> RoofFace:
        """Check and turn rings.

        Raises
        ------
        KitError
            The outline has no area, or edges do not match it.
        """
        outline = np.asarray(outline_mm, dtype=np.float64)
        if len(outline) < 3 or not np.isfinite(outline).all() or twice_area(outline) <= 0:
            raise KitError("the outline of a slope has no area", where, "give at least three corners, anticlockwise")
        if len(edges) != len(outline):
            raise KitError(f"{len(edges)} edges for {len(outline)} corners", where, "name every edge of the slope")
        holes = [np.asarray(hole, dtype=np.float64) for hole in holes_mm]
        turned = tuple(hole if twice_area(hole) < 0 else hole[::-1] for hole in holes)
        return RoofFace(outline, tuple(edges), turned)

    @property
    def low(self) -> Array:
        """Least u and v."""
        return np.asarray(self.outline_mm.min(axis=0), dtype=np.float64)

    @property
    def high(self) -> Array:
        """Largest u and v."""
        return np.asarray(self.outline_mm.max(axis=0), dtype=np.float64)

    def length_of_mm(self, kind: str) -> float:
        """Add up the lengths of all edges of one kind."""
        steps = np.roll(self.outline_mm, -1, axis=0) - self.outline_mm
        chosen = np.array([edge == kind for edge in self.edges])
        return float(np.linalg.norm(steps[chosen], axis=1).sum())

    @property
    def ridge_mm(self) -> float:
        """Lowest v of its ridges, infinite where it has none."""
        ends = zip(self.outline_mm, np.roll(self.outline_mm, -1, axis=0), self.edges, strict=True)
        return min([np.inf, *(float(min(p[1], q[1])) for p, q, kind in ends if kind == "ridge")])

    def sides(self) -> list[tuple[float, float, float]]:
        """Return u, lowest and highest v of every upright edge at a side."""
        ends = np.roll(self.outline_mm, -1, axis=0)
        return [
            (float(p[0]), float(min(p[1], q[1])), float(max(p[1], q[1])))
            for p, q, kind in zip(self.outline_mm, ends, self.edges, strict=True)
            if kind in SIDES and abs(p[0] - q[0]) < UPRIGHT_MM and abs(p[1] - q[1]) > UPRIGHT_MM
        ]

    def side_bounds(self) -> tuple[float | None, float | None]:
        """Return u of the leftmost and of the rightmost side, None where a hip or valley reaches further out."""
        places = [u for u, _, _ in self.sides()]
        left = next((u for u in places if abs(u - self.low[0]) < UPRIGHT_MM), None)
        right = next((u for u in places if abs(u - self.high[0]) < UPRIGHT_MM), None)
        return left, right

    def area_left_of(self, u_mm: Array, v0_mm: Array, v1_mm: Array) -> Array:
        """Measure what lies left of upright lines within bands.

        Parameters
        ----------
        u_mm : ndarray (R, J)
            Lines in each band.
        v0_mm, v1_mm : ndarray (R,)
            Bottom and top of the bands.

        Returns
        -------
        ndarray (R, J)
            Square millimetres of the face.
        """
        total = np.zeros_like(u_mm)
        for ring in (self.outline_mm, *self.holes_mm):
            for p, q in zip(ring, np.roll(ring, -1, axis=0), strict=True):
                if p[1] == q[1]:
                    continue
                total += np.sign(q[1] - p[1]) * _left_of_edge(p, q, u_mm, v0_mm, v1_mm)
        return total


def squared(outline_mm: Array, within_mm: float = UPRIGHT_MM) -> Array:
    """Make edges that are almost level or upright exactly so.

    A side of a figure that leans by a few thousandths of a millimetre meets the lines of a covering at no sure place,
    so slopes are squared before anything is laid on them.

    Parameters
    ----------
    outline_mm : ndarray (K, 2)
        Corners of a slope or of a hole in it.
    within_mm : float
        How far the ends of an edge may differ.

    Returns
    -------
    ndarray (K, 2)
        Corners moved by less than that for each edge of a run, onto the first corner of the run.
    """
    ring = np.array(outline_mm, dtype=np.float64)
    for axis in (0, 1):
        for i in range(len(ring)):
            gap = ring[i, axis] - ring[i - 1, axis]
            if 0 < abs(gap) < within_mm:
                run = np.abs(ring[:, axis] - ring[i, axis]) == 0
                ring[run, axis] = ring[i - 1, axis]
    return ring


def twice_area(ring: Array) -> float:
    """Twice the area of a ring, above zero where it runs anticlockwise."""
    nxt = np.roll(ring, -1, axis=0)
    return float((ring[:, 0] * nxt[:, 1] - ring[:, 1] * nxt[:, 0]).sum())


def _left_of_edge(p: Array, q: Array, u: Array, v0: Array, v1: Array) -> Array:
    """Add up the smaller of a line's u and the edge's u over the height of the edge within each band."""
    low, high = min(p[1], q[1]), max(p[1], q[1])
    a, b = np.clip(v0, low, high), np.clip(v1, low, high)
    lean = (q[0] - p[0]) / (q[1] - p[1])
    at_a, at_b = p[0] + lean * (a - p[1]), p[0] + lean * (b - p[1])
    least, most = np.minimum(at_a, at_b)[:, None], np.maximum(at_a, at_b)[:, None]
    span = np.maximum(most - least, 1e-12)
    into = np.clip(u, least, most) - least
    mean = np.minimum(u, least) + into - into**2 / (2 * span)
    return np.asarray((b - a)[:, None] * mean, dtype=np.float64)
