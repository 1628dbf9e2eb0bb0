"""A line that bends on a wall, measured along its middle: bands beside it, and what lies under it.

Positions are (u, v) in the wall's frame, mm; s is the length along the line from its start, t how far to its left.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Point = tuple[float, float]
Box = tuple[float, float, float, float]
"""Least u and v, greatest u and v."""
CHORD_DEG = 30.0
"""Largest turn between two chords of a rounded bend."""
GRID_DECIMALS = 3
_SAME = 1e-6
_NEAR_MM = 2e-3
_FAR_MM = 1e6


@dataclass(frozen=True, slots=True)
class BentLine:
    """A line of straight legs.

    Parameters
    ----------
    points : tuple of (float, float)
        Its ends and the bends between, on the grid of solids; no two that follow each other are the same.
    """

    points: tuple[Point, ...]

    @property
    def array(self) -> Array:
        """Its points, shape (K, 2)."""
        return np.array(self.points, dtype=np.float64)

    @property
    def stations(self) -> Array:
        """Length along the line at each of its points, shape (K,)."""
        return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(self.array, axis=0).T))])

    @property
    def length_mm(self) -> float:
        """Length of its middle from end to end."""
        return float(self.stations[-1])

    @property
    def directions(self) -> Array:
        """Unit vector of each leg, shape (K - 1, 2)."""
        legs = np.diff(self.array, axis=0)
        return np.asarray(legs / np.hypot(*legs.T)[:, None])

    @property
    def bounds(self) -> Box:
        """Least u and v, greatest u and v of its middle."""
        (u0, v0), (u1, v1) = self.array.min(axis=0), self.array.max(axis=0)
        return float(u0), float(v0), float(u1), float(v1)

    def at(self, s: float) -> Point:
        """Return the place at a length along it, on the grid."""
        leg = self._leg(s)
        along = min(max(s, 0.0), self.length_mm) - self.stations[leg]
        u, v = self.array[leg] + along * self.directions[leg]
        return round(float(u), GRID_DECIMALS), round(float(v), GRID_DECIMALS)

    def beside_at(self, s: float, t: float) -> Point:
        """Return the place at a length along it and a distance to its left; near a bend, on the mitred band."""
        edge, leg = self.beside(t), self._leg(s)
        share = (s - self.stations[leg]) / (self.stations[leg + 1] - self.stations[leg])
        u, v = edge[leg] + share * (edge[leg + 1] - edge[leg])
        return float(u), float(v)

    def zones(self, half_mm: float) -> list[tuple[float, float]]:
        """Return from where to where along it each bend reaches into a band of some half width."""
        turns = [turn_deg(a, b) for a, b in pairwise(self.directions)]
        reaches = [half_mm * float(np.tan(np.radians(turn) / 2)) for turn in turns]
        return [(s - reach, s + reach) for s, reach in zip(self.stations[1:-1].tolist(), reaches, strict=True)]

    def part(self, low_mm: float, high_mm: float) -> BentLine:
        """Return the stretch between two lengths along it."""
        # A bend that an end lies on, but for rounding, is that end.
        low, high = low_mm + _NEAR_MM, high_mm - _NEAR_MM
        inner = [p for p, s in zip(self.points, self.stations.tolist(), strict=True) if low < s < high]
        return BentLine((self.at(low_mm), *inner, self.at(high_mm)))

    def beside(self, t: float) -> Array:
        """Return the line moved to its left (t above zero) or right, mitred at its bends, shape (K, 2)."""
        normals = self.directions @ np.array([[0.0, 1.0], [-1.0, 0.0]])
        before, after = np.vstack([normals[:1], normals]), np.vstack([normals, normals[-1:]])
        mitre = (before + after) / (1.0 + (before * after).sum(axis=1))[:, None]
        return np.asarray(self.array + t * mitre)

    def bands(self, right_mm: float, left_mm: float) -> list[Array]:
        """Return the band between two distances to its left, one ring (4, 2) for each leg, anticlockwise."""
        low, high = self.beside(right_mm), self.beside(left_mm)
        return [np.array([low[k], low[k + 1], high[k + 1], high[k]]) for k in range(len(self.points) - 1)]

    def band(self, half_mm: float) -> Array:
        """Return the outline of a band along it, shape (K, 2), anticlockwise."""
        return np.concatenate([self.beside(-half_mm), self.beside(half_mm)[::-1]])

    def over(self, box: Box, half_mm: float) -> list[tuple[float, float]]:
        """Return from where to where along it, leg by leg, a band lies over an upright box.

        At a bend a leg counts half a width further, as the mitre may reach there.
        """
        u0, v0, u1, v1 = box
        corners = np.clip(np.array([[u0, v0], [u1, v0], [u1, v1], [u0, v1]]), -_FAR_MM, _FAR_MM)
        found, last = [], len(self.points) - 2
        for leg, (place, along, s0, s1) in enumerate(
            zip(self.array[:-1], self.directions, self.stations[:-1], self.stations[1:], strict=True)
        ):
            frame = np.column_stack([along, [-along[1], along[0]]])
            low, high = (-half_mm if leg else 0.0), float(s1 - s0) + (half_mm if leg < last else 0.0)
            ring = _clipped(_clipped((corners - place) @ frame, 1, -half_mm, half_mm), 0, low, high)
            if len(ring) and np.ptp(ring[:, 0]) > _SAME and np.ptp(ring[:, 1]) > _SAME:
                found.append((float(s0 + ring[:, 0].min()), float(s0 + ring[:, 0].max())))
        return found

    def _leg(self, s: float) -> int:
        place = int(np.searchsorted(self.stations, s - _SAME, side="right")) - 1
        return min(max(place, 0), len(self.points) - 2)


def turn_deg(before: Array, after: Array) -> float:
    """Return by how much a line turns between two unit vectors, degrees; 180 is right back."""
    return float(np.degrees(np.arccos(np.clip(before @ after, -1.0, 1.0))))


def plain_points(points: Sequence[Point], same_mm: float = 1e-3) -> tuple[Point, ...]:
    """Leave out points that repeat the one before or lie on a straight leg."""
    kept: list[Array] = []
    for point in (np.array(one, dtype=np.float64) for one in points):
        if kept and np.hypot(*(point - kept[-1])) <= same_mm:
            continue
        if len(kept) > 1:
            leg, on = kept[-1] - kept[-2], point - kept[-2]
            aside = abs(leg[0] * on[1] - leg[1] * on[0]) / np.hypot(*on) if np.hypot(*on) > same_mm else np.inf
            if aside <= same_mm and leg @ (point - kept[-1]) > 0:
                kept.pop()
        kept.append(point)
    return tuple((float(u), float(v)) for u, v in kept)


def rounded(points: Sequence[Point], radius_mm: float, least_mm: float) -> BentLine:
    """Round the bends of a line, each by as much as the legs beside it leave room for, with chords.

    Parameters
    ----------
    points : sequence of (float, float)
        Ends and corners.
    radius_mm : float
        Of the middle of the line at a bend.
    least_mm : float
        A bend that has no room for this radius stays a corner, to be mitred.
    """
    at = np.array(points, dtype=np.float64)
    legs = np.diff(at, axis=0)
    lengths = np.hypot(*legs.T)
    along = legs / lengths[:, None]
    found = [at[0]]
    for k in range(1, len(at) - 1):
        turn = np.radians(turn_deg(along[k - 1], along[k]))
        # A bend may have a third of the legs beside it, so that between two bends some straight is left.
        cut = min(radius_mm * float(np.tan(turn / 2)), lengths[k - 1] / 3, lengths[k] / 3)
        count = max(1, int(np.ceil(np.degrees(turn) / CHORD_DEG - _SAME)))
        radius = cut / np.tan(turn / 2)
        if count == 1 or radius < least_mm:
            found.append(at[k])
            continue
        inward = (along[k] - along[k - 1]) / np.hypot(*(along[k] - along[k - 1]))
        middle = at[k] + inward * radius / np.cos(turn / 2)
        begin = at[k] - cut * along[k - 1]
        side = np.sign(along[k - 1][0] * along[k][1] - along[k - 1][1] * along[k][0])
        # Corners of the chords lie outside the arc, so that their middles touch it and the ends run on straight.
        half = turn / count / 2
        for chord in range(count):
            angle = side * (2 * chord + 1) * half
            cos, sin = np.cos(angle), np.sin(angle)
            spoke = (begin - middle) / np.cos(half)
            found.append(middle + np.array([cos * spoke[0] - sin * spoke[1], sin * spoke[0] + cos * spoke[1]]))
    inner = [(round(float(u), GRID_DECIMALS), round(float(v), GRID_DECIMALS)) for u, v in found[1:]]
    # The ends keep their height, which may be that of the wall.
    ends = [(round(float(u), GRID_DECIMALS), float(v)) for u, v in at[[0, -1]]]
    return BentLine((ends[0], *inner, ends[1]))


def apart_mm(one: Sequence[Point], other: Sequence[Point]) -> float:
    """Return the least distance between two lines; 0 where they cross."""
    return min(_legs_apart(a, b, c, d) for a, b in pairwise(one) for c, d in pairwise(other))


def from_box_mm(line: Sequence[Point], box: Box) -> float:
    """Return the least distance of a line from an upright box; 0 where it meets it."""
    u0, v0, u1, v1 = box
    sides = [(u0, v0), (u1, v0), (u1, v1), (u0, v1), (u0, v0)]
    if any(u0 <= u <= u1 and v0 <= v <= v1 for u, v in line):
        return 0.0
    return apart_mm(line, sides)


def _legs_apart(a: Point, b: Point, c: Point, d: Point) -> float:
    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    if side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0:
        return 0.0
    return min(_from_leg(a, c, d), _from_leg(b, c, d), _from_leg(c, a, b), _from_leg(d, a, b))


def _from_leg(p: Point, a: Point, b: Point) -> float:
    along = (b[0] - a[0], b[1] - a[1])
    square = along[0] ** 2 + along[1] ** 2
    share = ((p[0] - a[0]) * along[0] + (p[1] - a[1]) * along[1]) / square if square else 0.0
    share = min(max(share, 0.0), 1.0)
    return float(np.hypot(p[0] - a[0] - share * along[0], p[1] - a[1] - share * along[1]))


def _clipped(ring: Array, axis: int, low: float, high: float) -> Array:
    """Clip a convex ring between two lines at right angles to an axis."""
    for sign, limit in ((1.0, low), (-1.0, -high)):
        if not len(ring):
            return ring
        inside = sign * ring[:, axis] - limit
        points = []
        for p, q, a, b in zip(ring, np.roll(ring, -1, axis=0), inside, np.roll(inside, -1), strict=True):
            if a >= 0:
                points.append(p)
            if (a >= 0) != (b >= 0):
                points.append(p + (q - p) * (a / (a - b)))
        ring = np.array(points).reshape(-1, 2)
    return ring
