"""Sides parted where they cross, so that afterwards they meet at points of the grid only.

This is snap rounding: crossings are rounded to the grid, and every side is bent through each end and crossing that it
passes within half a grid unit. Sides bent so do not cross again, however narrow the angles between them.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from halfbat.solids.grid import Bools, Ints, ranges

ROUNDS = 8


@dataclass(frozen=True, slots=True)
class Segments:
    """Sides from their low end to their high end, and the side of the figure each is a stretch of.

    Parameters
    ----------
    x0, y0, x1, y1 : ndarray (S,) of int64
        Ends; ``y0 < y1``, or ``y0 == y1`` for level stretches.
    origin : ndarray (S,) of int64
    """

    x0: Ints
    y0: Ints
    x1: Ints
    y1: Ints
    origin: Ints

    def take(self, which: Ints | Bools) -> Segments:
        """Return some of the segments."""
        return Segments(self.x0[which], self.y0[which], self.x1[which], self.y1[which], self.origin[which])

    def joined(self, other: Segments) -> Segments:
        """Return these segments and others."""
        names = self.__slots__
        return Segments(*(np.concatenate([getattr(self, name), getattr(other, name)]) for name in names))


def part_crossings(sides: Segments) -> Segments:
    """Part sides, none of them level, at all their crossings.

    Parameters
    ----------
    sides : Segments

    Returns
    -------
    Segments
        Some of them may have become level.

    Raises
    ------
    ValueError
        Rounding does not come to an end.
    """
    level = sides.take(np.zeros(0, dtype=np.int64))
    for attempt in range(ROUNDS):
        if not (sides.x0 != sides.x1).any():
            return sides.joined(level)
        bands = _Bands.of(sides)
        crossed, x, y = _crossings(sides, *bands.neighbours())
        if attempt and not x.size:
            return sides.joined(level)
        side, px, py = bands.passed(np.concatenate([sides.x0, sides.x1, x]), np.concatenate([sides.y0, sides.y1, y]))
        sides = _bent(sides, np.append(crossed, side), np.append(x, px), np.append(y, py))
        flat = sides.y0 == sides.y1
        level, sides = level.joined(sides.take(flat)), sides.take(~flat)
    raise ValueError("sides cross too closely to be told apart")


@dataclass(frozen=True, slots=True)
class _Bands:
    """Sides in even bands of the plane: the band and the side, and between which x it may pass there."""

    sides: Segments
    base: int
    height: int
    band: Ints
    side: Ints
    lowest: Ints
    highest: Ints

    @staticmethod
    def of(s: Segments) -> _Bands:
        base = int(s.y0.min())
        height = (int(s.y1.max()) - base) // max(1, int(np.sqrt(len(s.x0))) // 8) + 1
        first, last = (s.y0 - base) // height, (s.y1 - base) // height
        side = np.repeat(np.arange(len(first), dtype=np.int64), last - first + 1)
        band = ranges(first, last - first + 1)
        lowest, highest = np.minimum(s.x0, s.x1)[side], np.maximum(s.x0, s.x1)[side]
        cut = np.flatnonzero((last > first)[side] & (lowest < highest))
        x0, y0 = s.x0[side[cut]], s.y0[side[cut]]
        slope = (s.x1[side[cut]] - x0) / (s.y1[side[cut]] - y0)
        # Where it passes the bounds of the band, half a grid unit higher and lower, one unit further to be safe.
        edges = [x0 + slope * (base + (band[cut] + k) * height + 2 * k - 1 - y0) for k in (0, 1)]
        lowest[cut] = np.maximum(lowest[cut], np.floor(np.minimum(*edges)).astype(np.int64) - 1)
        highest[cut] = np.minimum(highest[cut], np.ceil(np.maximum(*edges)).astype(np.int64) + 1)
        return _Bands(s, base, height, band, side, lowest, highest)

    def neighbours(self) -> tuple[Ints, Ints]:
        """Pairs of sides that may cross, the first of each leaning; some more than once."""
        s, left = self.sides, int(self.lowest.min())
        span = int(self.highest.max()) - left + 2
        key = self.band * span + self.lowest - left
        order = np.argsort(key, kind="stable")
        key, side, lowest = key[order], self.side[order], self.lowest[order]
        leans = (s.x0 != s.x1)[side]
        one = np.flatnonzero(leans)
        start = np.searchsorted(key, key[one], side="left")
        past = np.searchsorted(key, key[one] + (self.highest[order] - lowest)[one], side="right")
        p, q = np.repeat(one, past - start), ranges(start, past - start)
        a, b = side[p], side[q]
        near = ~leans[q] | (lowest[p] < lowest[q]) | (a < b)
        near &= (s.y0[a] < s.y1[b]) & (s.y0[b] < s.y1[a])
        return a[near], b[near]

    def passed(self, x: Ints, y: Ints) -> tuple[Ints, Ints, Ints]:
        """Leaning sides and the points within half a grid unit of which they pass, their own ends left out."""
        s, left = self.sides, min(int(self.lowest.min()), int(x.min())) - 1
        span = max(int(self.highest.max()), int(x.max())) - left + 2
        key = (y - self.base) // self.height * span + x - left
        order = np.argsort(key, kind="stable")
        key, x, y = key[order], x[order], y[order]
        entry = np.flatnonzero(self.lowest < self.highest)
        floor = self.band[entry] * span - left
        start = np.searchsorted(key, floor + self.lowest[entry], side="left")
        past = np.searchsorted(key, floor + self.highest[entry], side="right")
        side, at = np.repeat(self.side[entry], past - start), ranges(start, past - start)
        px, py = x[at], y[at]
        dx, dy = s.x1[side] - s.x0[side], s.y1[side] - s.y0[side]
        off = np.abs(dx * (py - s.y0[side]) - dy * (px - s.x0[side]))
        hit = (2 * off < np.abs(dx) + dy) & (py >= s.y0[side]) & (py <= s.y1[side])
        return side[hit], px[hit], py[hit]


def _crossings(s: Segments, a: Ints, b: Ints) -> tuple[Ints, Ints, Ints]:
    """Sides to be bent, and the points through which: where two pass right through each other."""

    def beside(line: Ints, x: Ints, y: Ints) -> Ints:
        dx, dy = s.x1[line] - s.x0[line], s.y1[line] - s.y0[line]
        return np.asarray(dx * (y - s.y0[line]) - dy * (x - s.x0[line]), dtype=np.int64)

    b_low, b_high = beside(a, s.x0[b], s.y0[b]), beside(a, s.x1[b], s.y1[b])
    a_low, a_high = beside(b, s.x0[a], s.y0[a]), beside(b, s.x1[a], s.y1[a])
    cross = ((b_low < 0) != (b_high < 0)) & (b_low != 0) & (b_high != 0)
    cross &= ((a_low < 0) != (a_high < 0)) & (a_low != 0) & (a_high != 0)
    a, b, a_low, a_high = a[cross], b[cross], a_low[cross], a_high[cross]
    share = a_low / (a_low - a_high)
    x = np.rint(s.x0[a] + (s.x1[a] - s.x0[a]) * share).astype(np.int64)
    y = np.rint(s.y0[a] + (s.y1[a] - s.y0[a]) * share).astype(np.int64)
    upright = s.x0[b] == s.x1[b]
    x[upright] = s.x0[b[upright]]
    return np.concatenate([a, b]), np.tile(x, 2), np.tile(y, 2)


def _bent(s: Segments, side: Ints, x: Ints, y: Ints) -> Segments:
    """Bend sides through points, in order upward and along."""
    inner = ((x != s.x0[side]) | (y != s.y0[side])) & ((x != s.x1[side]) | (y != s.y1[side]))
    side, x, y = side[inner], x[inner], y[inner]
    along = np.where(s.x1[side] < s.x0[side], -x, x)
    order = np.lexsort((along, y, side))
    side, x, y = side[order], x[order], y[order]
    new = np.ones(len(side), dtype=bool)
    new[1:] = (side[1:] != side[:-1]) | (x[1:] != x[:-1]) | (y[1:] != y[:-1])
    side, x, y = side[new], x[new], y[new]
    count = np.bincount(side, minlength=len(s.x0))
    # Each side becomes a run of stretches; a point ends one and starts the next.
    whole = np.repeat(np.arange(len(s.x0), dtype=np.int64), count + 1)
    x0, y0, x1, y1 = s.x0[whole], s.y0[whole], s.x1[whole], s.y1[whole]
    at = np.arange(len(side), dtype=np.int64) + side
    x1[at], y1[at] = x, y
    x0[at + 1], y0[at + 1] = x, y
    return Segments(x0, y0, x1, y1, s.origin[whole])
