"""What heads, sills and holes leave of the bricks they cut, and what of that is too thin to print."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from halfbat.surfaces.laying import Array
from halfbat.surfaces.opening_units import OpeningUnits, box
from halfbat.surfaces.rectangles import Rectangles

Bools = npt.NDArray[np.bool_]
#: Lines on which what is left of a brick is measured, model millimetres apart.
_STEP_MM = 0.02
_EDGE_MM = 1e-6
#: Lines go on this far beyond an opening, so that bricks it only touches are measured whole.
_BEYOND_MM = 10.0


def extents(ring: Array, at: Array, axis: int = 1) -> tuple[Array, Array]:
    """Measure a polygon along lines.

    Parameters
    ----------
    ring : ndarray, shape (K, 2)
        The polygon.
    at : ndarray, shape (M,)
        Heights of level lines, or with ``axis=0`` places of upright ones.
    axis : {1, 0}
        Which coordinate `at` gives.

    Returns
    -------
    low, high : ndarray, shape (M,)
        Where each line enters and leaves the polygon; infinity and minus infinity where it misses it.
    """
    along = 1 - axis
    p, q = ring[:, along], ring[:, axis]
    r, s = np.roll(p, -1), np.roll(q, -1)
    lines = at[:, None]
    hit = (lines >= np.minimum(q, s)) & (lines <= np.maximum(q, s))
    level = q == s
    slope = np.where(level, 0.0, (r - p) / np.where(level, 1.0, s - q))
    cross = p + (lines - q) * slope
    low = np.where(hit, np.where(level, np.minimum(p, r), cross), np.inf).min(axis=1)
    high = np.where(hit, np.where(level, np.maximum(p, r), cross), -np.inf).max(axis=1)
    return low, high


def covered_span(areas: Sequence[Array], v0: float, v1: float) -> tuple[float, float] | None:
    """Return the stretch that an opening and its beds cover over the whole height of a course.

    Parameters
    ----------
    areas : sequence of ndarray, shape (K, 2) each
        The opening and its beds; on any level line they lie side by side without a gap.
    v0, v1 : float
        Bottom and top of the bricks of the course.

    Returns
    -------
    tuple of float or None
        Left and right end; None if nothing is covered from bottom to top.
    """
    left, right = _sides(areas, np.linspace(v0 + _EDGE_MM, v1 - _EDGE_MM, 9))
    inner = float(left.max()), float(right.min())
    return inner if inner[1] > inner[0] else None


def middle_span(areas: Sequence[Array], v: float) -> tuple[float, float]:
    """Return the stretch that an opening and its beds cover at one height."""
    left, right = _sides(areas, np.array([v]))
    return float(left[0]), float(right[0])


def _sides(areas: Sequence[Array], levels: Array) -> tuple[Array, Array]:
    found = [extents(area, levels) for area in areas]
    left: Array = np.min([low for low, _ in found], axis=0)
    right: Array = np.max([high for _, high in found], axis=0)
    return left, right


def remnant_beds(opening: OpeningUnits, bricks: Rectangles, least_mm: float) -> tuple[Array, ...]:
    """Find what an opening leaves of bricks where it is thinner than can be printed.

    Parameters
    ----------
    opening : OpeningUnits
        The opening.
    bricks : Rectangles
        Bricks of its wall or of one panel of it, as printed, in the frame of the wall.
    least_mm : float
        Thinnest piece left standing, model millimetres.

    Returns
    -------
    tuple of ndarray, shape (4, 2) each
        Rectangles to lay at the level of the joints as well: every tip and strip thinner than the least, measured
        level and upright. They lie inside bricks that the opening or its beds cut.
    """
    u0, v0, u1, v1 = opening.reach
    near = (bricks.u0 < u1) & (bricks.u1 > u0) & (bricks.v0 < v1) & (bricks.v1 > v0)
    level = _Lines.across(opening, 1)
    upright = _Lines.across(opening, 0)
    found: list[Array] = []
    for brick in bricks.corners[near]:
        cuts = level.cuts(brick)
        if cuts.cut.any():
            found += _crumbs(cuts, brick, least_mm)
            found += _thin(cuts, brick, 1, least_mm)
            found += _thin(upright.cuts(brick), brick, 0, least_mm)
    return tuple(found)


@dataclass(frozen=True, slots=True, eq=False)
class _Cuts:
    """Lines across a brick, where the areas begin and end on each, and which lines they cut at all; shape (M,) each."""

    at: Array
    low: Array
    high: Array
    cut: Bools


@dataclass(frozen=True, slots=True, eq=False)
class _Lines:
    """Parallel lines over a whole opening: where they lie, and where each area begins and ends on them, (A, M)."""

    axis: int
    at: Array
    low: Array
    high: Array

    @staticmethod
    def across(opening: OpeningUnits, axis: int) -> _Lines:
        """Measure an opening along level lines (axis 1) or upright ones (axis 0)."""
        begin, end = opening.reach[axis], opening.reach[axis + 2]
        # Half a step off, so that no line runs along a side.
        at = np.arange(begin - _BEYOND_MM + _STEP_MM / 2, end + _BEYOND_MM, _STEP_MM)
        found = [extents(area, at, axis) for area in opening.areas]
        return _Lines(axis, at, np.array([low for low, _ in found]), np.array([high for _, high in found]))

    def cuts(self, brick: Array) -> _Cuts:
        """Return what the lines that cross a brick find in it."""
        first, last = np.searchsorted(self.at, (brick[self.axis], brick[self.axis + 2]))
        begin, end = brick[1 - self.axis], brick[3 - self.axis]
        low, high = self.low[:, first:last], self.high[:, first:last]
        inside = (low < end - _EDGE_MM) & (high > begin + _EDGE_MM)
        lowest = np.where(inside, low, np.inf).min(axis=0)
        highest = np.where(inside, high, -np.inf).max(axis=0)
        return _Cuts(self.at[first:last], lowest, highest, inside.any(axis=0))


def _crumbs(cuts: _Cuts, brick: Array, least: float) -> list[Array]:
    """Rectangles over what is left of a brick on one side if no square of the least size fits into it."""
    rows = max(1, int(np.ceil(least / _STEP_MM - _EDGE_MM)))
    made: list[Array] = []
    for left, free in ((True, cuts.low - brick[0]), (False, brick[2] - cuts.high)):
        width = np.where(cuts.cut, np.maximum(free, 0.0), brick[2] - brick[0])
        windows = np.lib.stride_tricks.sliding_window_view(width, rows) if len(width) >= rows else width[:0, None]
        if (windows.min(axis=1) >= least).any():
            continue
        edge = cuts.low[cuts.cut].max() if left else cuts.high[cuts.cut].min()
        u0, u1 = (brick[0], min(edge, brick[2])) if left else (max(edge, brick[0]), brick[2])
        if u1 - u0 > _EDGE_MM:
            made.append(box(u0, brick[1], u1, brick[3]))
    return [ring for ring in made if len(ring) == 4]


def _thin(cuts: _Cuts, brick: Array, axis: int, least: float) -> list[Array]:
    """Rectangles over what is thin of one brick along level lines (axis 1) or upright ones (axis 0)."""
    begin, end = brick[1 - axis], brick[3 - axis]
    made: list[Array] = []
    for side, free in enumerate((cuts.low - begin, end - cuts.high)):
        for first, last in _runs(cuts.cut & (free > _EDGE_MM) & (free < least)):
            # From the outside of the brick to where the cut is, up to the next lines that are not thin.
            start = brick[axis] if first == 0 else cuts.at[first - 1]
            stop = brick[axis + 2] if last == len(cuts.at) - 1 else cuts.at[last + 1]
            run = slice(first, last + 1)
            low, high = (begin, cuts.low[run].max()) if side == 0 else (cuts.high[run].min(), end)
            made.append(box(low, start, high, stop) if axis else box(start, low, stop, high))
    return [ring for ring in made if len(ring) == 4]


def _runs(flags: Bools) -> list[tuple[int, int]]:
    """Return first and last place of every run of true values."""
    change = np.flatnonzero(np.diff(np.concatenate(([0], flags.astype(np.int8), [0]))))
    return [(int(first), int(last) - 1) for first, last in change.reshape(-1, 2)]
