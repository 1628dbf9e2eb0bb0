"""What heads, sills and holes leave of the bricks they cut, and what of that is too thin to print."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from halfbat.surfaces.laying import Array
from halfbat.surfaces.opening_units import OpeningUnits, box
from halfbat.surfaces.rectangles import Rectangles

Bools = npt.NDArray[np.bool_]
#: Lines on which what is left of a brick is measured, model millimetres apart.
_STEP_MM = 0.02
_EDGE_MM = 1e-6


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
    a, b = ring, np.roll(ring, -1, axis=0)
    along = 1 - axis
    low, high = np.full(len(at), np.inf), np.full(len(at), -np.inf)
    for (p, q), (r, s) in zip(a[:, [along, axis]], b[:, [along, axis]], strict=True):
        hit = (at >= min(q, s)) & (at <= max(q, s))
        if q == s:
            ends = np.array([min(p, r), max(p, r)])
            low[hit], high[hit] = np.minimum(low[hit], ends[0]), np.maximum(high[hit], ends[1])
            continue
        cross = p + (at[hit] - q) * ((r - p) / (s - q))
        low[hit], high[hit] = np.minimum(low[hit], cross), np.maximum(high[hit], cross)
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
    levels = np.linspace(v0 + _EDGE_MM, v1 - _EDGE_MM, 9)
    found = [extents(area, levels) for area in areas]
    left = float(np.min([low for low, _ in found], axis=0).max())
    right = float(np.max([high for _, high in found], axis=0).min())
    return (left, right) if right > left else None


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
    found: list[Array] = []
    for index in np.flatnonzero(near):
        brick = bricks.corners[index]
        found += _crumbs(opening.areas, brick, least_mm)
        for axis in (1, 0):
            found += _thin(opening.areas, brick, axis, least_mm)
    return tuple(found)


def _cuts(areas: Sequence[Array], brick: Array, axis: int) -> tuple[Array, Array, Array, Bools]:
    """Return lines across a brick, where the areas begin and end on each, and which lines they cut at all."""
    begin, end = brick[1 - axis], brick[3 - axis]
    count = max(2, int(np.ceil((brick[axis + 2] - brick[axis]) / _STEP_MM)) + 1)
    at = np.linspace(brick[axis] + _EDGE_MM, brick[axis + 2] - _EDGE_MM, count)
    low, high = np.full(count, end), np.full(count, begin)
    for area in areas:
        a, b = extents(area, at, axis)
        cuts = (a < end - _EDGE_MM) & (b > begin + _EDGE_MM)
        low[cuts], high[cuts] = np.minimum(low[cuts], a[cuts]), np.maximum(high[cuts], b[cuts])
    return at, low, high, high > low


def _crumbs(areas: Sequence[Array], brick: Array, least: float) -> list[Array]:
    """Rectangles over what is left of a brick on one side if no square of the least size fits into it."""
    at, low, high, cut = _cuts(areas, brick, 1)
    if not cut.any():
        return []
    wide = brick[2] - brick[0]
    step = at[1] - at[0]
    rows = min(len(at), int(np.floor(least / step + _EDGE_MM)) + 1)
    made: list[Array] = []
    for left, free in ((True, low - brick[0]), (False, brick[2] - high)):
        width = np.where(cut, np.maximum(free, 0.0), wide)
        tall = at[-1] - at[0] >= least - 2 * _EDGE_MM
        fits = tall and bool((np.lib.stride_tricks.sliding_window_view(width, rows).min(axis=1) >= least).any())
        edge = low[cut].max() if left else high[cut].min()
        inside = edge - brick[0] if left else brick[2] - edge
        if not fits and inside > _EDGE_MM:
            made.append(box(brick[0], brick[1], edge, brick[3]) if left else box(edge, brick[1], brick[2], brick[3]))
    return [ring for ring in made if len(ring) == 4]


def _thin(areas: Sequence[Array], brick: Array, axis: int, least: float) -> list[Array]:
    """Rectangles over what is thin of one brick along level lines (axis 1) or upright ones (axis 0)."""
    at, low, high, cut = _cuts(areas, brick, axis)
    count, begin, end = len(at), brick[1 - axis], brick[3 - axis]
    before, after = low - begin, end - high
    made: list[Array] = []
    for thin, side in (
        (cut & (before > _EDGE_MM) & (before < least), 0),
        (cut & (after > _EDGE_MM) & (after < least), 1),
    ):
        for first, last in _runs(thin):
            # From the outside of the brick to where the cut is, on lines up to the next ones that are not thin.
            lines = at[max(first - 1, 0)], at[min(last + 1, count - 1)]
            ends = (begin, low[first : last + 1].max()) if side == 0 else (high[first : last + 1].min(), end)
            made.append(
                box(ends[0], lines[0], ends[1], lines[1]) if axis else box(lines[0], ends[0], lines[1], ends[1])
            )
    return [ring for ring in made if len(ring) == 4]


def _runs(flags: Bools) -> list[tuple[int, int]]:
    """Return first and last place of every run of true values."""
    change = np.flatnonzero(np.diff(np.concatenate(([0], flags.astype(np.int8), [0]))))
    return [(int(first), int(last) - 1) for first, last in change.reshape(-1, 2)]
