"""A figure as triangles that share all their points, with the borders between its cells.

This is the one contract between laying and extruding: points, triangles with the cell of each, and border segments
with the cells to their left and right.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from halfbat.solids.figure import OUTSIDE, Figure
from halfbat.solids.grid import Bools, Ints, ranges
from halfbat.solids.trapezoids import Trapezoids, joined_upward, trapezoids_of


@dataclass(frozen=True, slots=True)
class Sheet:
    """Triangles over a plane figure.

    Parameters
    ----------
    points : ndarray (N, 2) of int64
        Corners in grid units, each once, ordered by height and then from left to right.
    triangles : ndarray (M, 3) of int64
        Anticlockwise.
    cells : ndarray (M,) of int64
        Cell of each triangle.
    borders : ndarray (K, 2) of int64
        Segments between neighbouring points where the cell changes.
    left, right : ndarray (K,) of int64
        Cells to the left and right of a border, seen along it; `OUTSIDE` at the rim.
    """

    points: Ints
    triangles: Ints
    cells: Ints
    borders: Ints
    left: Ints
    right: Ints

    @property
    def rim(self) -> Ints:
        """Which borders have the outside on one hand."""
        return np.flatnonzero((self.left == OUTSIDE) | (self.right == OUTSIDE))


def lay(figure: Figure) -> Sheet:
    """Cut a figure into triangles.

    Parameters
    ----------
    figure : Figure
        Layers of polygons, the first of them the outline.

    Returns
    -------
    Sheet
        Closed over the figure: neighbours share every point, no triangle is without area.

    Raises
    ------
    ValueError
        Tiles of one layer overlap, or nothing of the figure is left.
    """
    pieces = trapezoids_of(figure)
    loose = np.ones(len(pieces.cell), dtype=bool)
    upright = pieces.upright
    while True:
        joined, into = joined_upward(pieces, loose)
        fan = _fan(joined)
        bad = _turned_over(joined, fan)
        if not bad.any():
            break
        # Rounded points on a long side may stand on its wrong side: there every piece keeps its own stretch.
        loose &= upright | ~bad[into]
    inside = joined.cell[fan.owner] != OUTSIDE
    if not inside.any():
        raise ValueError("nothing of the figure is left inside its outline")
    return _sheet(joined, fan, inside)


@dataclass(frozen=True, slots=True)
class _Fan:
    """Triangles of trapezoids and the trapezoid of each, with the points they stand on.

    `corner` numbers low left, low right, high left and high right point of each trapezoid. `posts` are the points on
    side lines from line to line and upward; `on_line` numbers in it the low and high end of each left side, then of
    each right one.
    """

    points: Ints
    triangles: Ints
    owner: Ints
    corner: Ints
    posts: Ints
    on_line: Ints


def _fan(t: Trapezoids) -> _Fan:
    x = np.concatenate([t.left0, t.right0, t.left1, t.right1])
    y = np.concatenate([t.y0, t.y0, t.y1, t.y1])
    line = np.concatenate([t.left, t.right, t.left, t.right])
    count = len(t.cell)
    points, at = _number(x, y)
    corner = at.reshape(4, count)
    posts, on_line = _number_on_lines(line, y, at)
    left_low, right_low, left_high, right_high = on_line.reshape(4, count)
    on = (left_low, left_high, right_low, right_high)
    triangles, owner = _triangles(points, corner, posts, on)
    return _Fan(points, triangles, owner, corner, posts, np.stack(on))


def _turned_over(t: Trapezoids, fan: _Fan) -> Bools:
    """Which trapezoids have no area, or a triangle without."""
    bad = t.twice_area <= 0
    leaning = np.flatnonzero(~t.upright[fan.owner])
    a, b, c = (fan.points[fan.triangles[leaning, k]] for k in range(3))
    u, v = b - a, c - a
    bad[fan.owner[leaning[u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0] <= 0]]] = True
    return bad


def _sheet(t: Trapezoids, fan: _Fan, inside: Bools) -> Sheet:
    level = _borders_on_levels(fan.points, t.cell, *fan.corner)
    upright = _borders_on_sides(fan.posts, t.cell, *fan.on_line)
    borders = np.concatenate([level[0], upright[0]])
    left, right = np.concatenate([level[1], upright[1]]), np.concatenate([level[2], upright[2]])
    if inside.all():
        return Sheet(fan.points, fan.triangles, t.cell[fan.owner], borders, left, right)
    triangles = fan.triangles[inside]
    used = np.zeros(len(fan.points), dtype=bool)
    used[triangles] = True
    number = np.cumsum(used) - 1
    return Sheet(fan.points[used], number[triangles], t.cell[fan.owner[inside]], number[borders], left, right)


def _number(x: Ints, y: Ints) -> tuple[Ints, Ints]:
    """Give every point a number, by height and then from left to right."""
    if not x.size:
        return np.zeros((0, 2), dtype=np.int64), np.zeros(0, dtype=np.int64)
    x_min, y_min = int(x.min()), int(y.min())
    span = int(x.max()) - x_min + 1
    keys, at = np.unique((y - y_min) * span + (x - x_min), return_inverse=True)
    return np.stack([keys % span + x_min, keys // span + y_min], axis=1), at.reshape(-1).astype(np.int64)


def _number_on_lines(line: Ints, y: Ints, at: Ints) -> tuple[Ints, Ints]:
    """Give points on side lines numbers that run upward; return the point of each, and the number of each corner."""
    if not line.size:
        return np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64)
    y_min = int(y.min())
    span = int(y.max()) - y_min + 1
    _, first, number = np.unique(line * span + (y - y_min), return_index=True, return_inverse=True)
    return at[first], number.reshape(-1).astype(np.int64)


def _triangles(points: Ints, corner: Ints, posts: Ints, on: tuple[Ints, Ints, Ints, Ints]) -> tuple[Ints, Ints]:
    """Zip the points on the low and high line of each trapezoid, then fan the points on its sides."""
    low_left, low_right, high_left, high_right = corner
    count = len(low_left)
    lows, highs = low_right - low_left, high_right - high_left
    total = lows + highs
    plain = (lows == 1) & (highs == 1)
    first = np.cumsum(total) - total
    triangles = np.empty((int(total.sum()), 3), dtype=np.int64)
    owner = np.repeat(np.arange(count, dtype=np.int64), total)
    at = first[plain]
    triangles[at] = np.stack([low_left[plain], low_right[plain], high_left[plain]], axis=1)
    triangles[at + 1] = np.stack([low_right[plain], high_right[plain], high_left[plain]], axis=1)
    rest = np.flatnonzero(~plain)
    if rest.size:
        zipped = _zip(points, low_left[rest], lows[rest], high_left[rest], highs[rest])
        triangles[ranges(first[rest], total[rest])] = zipped
    return _fan_sides(triangles, owner, first, total, posts, on, corner)


def _zip(points: Ints, low: Ints, lows: Ints, high: Ints, highs: Ints) -> Ints:
    count = len(low)
    which = np.arange(count, dtype=np.int64)
    own = np.concatenate([np.repeat(which, lows), np.repeat(which, highs)])
    step = np.concatenate([ranges(np.ones(count, dtype=np.int64), lows), ranges(np.ones(count, dtype=np.int64), highs)])
    upper = np.zeros(len(own), dtype=bool)
    upper[int(lows.sum()) :] = True
    start = np.where(upper, high[own], low[own])
    length = np.where(upper, highs[own], lows[own])
    x = points[:, 0]
    along = (x[start + step] - x[start]) / (x[start + length] - x[start])
    order = np.argsort(own + 0.5 * along, kind="stable")
    own, upper = own[order], upper[order]
    total = lows + highs
    begin = np.cumsum(total) - total
    running = np.cumsum(~upper)
    before = np.concatenate([[0], running])[begin]
    passed_low = running - before[own]
    passed_high = np.arange(len(own)) - begin[own] + 1 - passed_low
    at_low, at_high = low[own] + passed_low, high[own] + passed_high
    # The third corner is the one just left behind: on the line that has advanced.
    behind = np.where(upper, at_high - 1, at_low - 1)
    out = np.where(
        upper[:, None], np.stack([at_low, at_high, behind], axis=1), np.stack([behind, at_low, at_high], axis=1)
    )
    return np.asarray(out, dtype=np.int64)


def _fan_sides(
    triangles: Ints, owner: Ints, first: Ints, total: Ints, posts: Ints, on: tuple[Ints, Ints, Ints, Ints], corner: Ints
) -> tuple[Ints, Ints]:
    """Divide the first and last triangle of each trapezoid at the points its neighbours have on its sides."""
    left_low, left_high, right_low, right_high = on
    low_left, low_right, high_left, high_right = corner
    on_left, on_right = left_high - left_low - 1, right_high - right_low - 1
    busy = np.flatnonzero((on_left > 0) | (on_right > 0))
    if not busy.size:
        return triangles, owner
    # Apex of the left fan: the corner of the first triangle that is not on the left side.
    head = triangles[first[busy]]
    left_apex = _other(head, low_left[busy], high_left[busy])
    tail = triangles[first[busy] + total[busy] - 1]
    right_apex = _other(tail, low_right[busy], high_right[busy])
    single = total[busy] == 1
    # A lone triangle is fanned from the left first; its right side then belongs to one triangle of that fan.
    split = single & (on_left[busy] > 0)
    pointed_high = high_left[busy] == high_right[busy]
    last_left = posts[np.where(pointed_high, left_high[busy] - 1, left_low[busy] + 1)]
    right_apex = np.where(split, last_left, right_apex)
    keep = np.ones(len(triangles), dtype=bool)
    fans, owners = [], []
    for apex, low, number, upward in (
        (left_apex, left_low[busy], on_left[busy], False),
        (right_apex, right_low[busy], on_right[busy], True),
    ):
        some = np.flatnonzero(number > 0)
        segments = number[some] + 1
        at = ranges(low[some], segments)
        tip = np.repeat(apex[some], segments)
        a, b = posts[at], posts[at + 1]
        fans.append(np.stack([a, b, tip] if upward else [b, a, tip], axis=1))
        owners.append(np.repeat(busy[some], segments))
        gone = first[busy[some]] + (total[busy[some]] - 1 if upward else 0)
        keep[gone] = False
    left_fan, right_fan = fans
    drop = _covered(left_fan, owners[0], busy, split, on_right[busy], low_right[busy], high_right[busy])
    kept = np.concatenate([triangles[keep], left_fan[~drop], right_fan])
    kept_owner = np.concatenate([owner[keep], owners[0][~drop], owners[1]])
    return kept, kept_owner


def _other(triangle: Ints, p: Ints, q: Ints) -> Ints:
    """Return the corner of each triangle that is neither p nor q."""
    aside = (triangle != p[:, None]) & (triangle != q[:, None])
    return np.asarray(triangle[np.arange(len(triangle)), np.argmax(aside, axis=1)], dtype=np.int64)


def _covered(
    fan: Ints, owner: Ints, busy: Ints, split: Ints, on_right: Ints, low_right: Ints, high_right: Ints
) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Which triangles of a left fan hold the whole right side of a lone triangle that is itself divided there."""
    place = np.searchsorted(busy, owner)
    wanted = (split & (on_right > 0))[place]
    low, high = low_right[place], high_right[place]
    holds = (fan == low[:, None]).any(axis=1) & (fan == high[:, None]).any(axis=1)
    return np.asarray(wanted & holds, dtype=np.bool_)


def _borders_on_levels(
    points: Ints, cell: Ints, low_left: Ints, low_right: Ints, high_left: Ints, high_right: Ints
) -> tuple[Ints, Ints, Ints]:
    above = np.full(len(points), OUTSIDE, dtype=np.int64)
    below = above.copy()
    above[ranges(low_left, low_right - low_left)] = np.repeat(cell, low_right - low_left)
    below[ranges(high_left, high_right - high_left)] = np.repeat(cell, high_right - high_left)
    at = np.flatnonzero(above != below)
    return np.stack([at, at + 1], axis=1), above[at], below[at]


def _borders_on_sides(
    posts: Ints, cell: Ints, left_low: Ints, left_high: Ints, right_low: Ints, right_high: Ints
) -> tuple[Ints, Ints, Ints]:
    to_right = np.full(len(posts), OUTSIDE, dtype=np.int64)
    to_left = to_right.copy()
    to_right[ranges(left_low, left_high - left_low)] = np.repeat(cell, left_high - left_low)
    to_left[ranges(right_low, right_high - right_low)] = np.repeat(cell, right_high - right_low)
    at = np.flatnonzero(to_left != to_right)
    if not at.size:
        return np.zeros((0, 2), dtype=np.int64), at, at
    return np.stack([posts[at], posts[at + 1]], axis=1), to_left[at], to_right[at]
