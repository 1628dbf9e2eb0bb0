"""A figure as triangles that share all their points, with the borders between its cells.

This is the one contract between laying and extruding: points, triangles with the cell of each, and border segments
with the cells to their left and right.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from halfbat.solids.figure import OUTSIDE, Figure
from halfbat.solids.grid import Bools, Floats, Ints, ranges
from halfbat.solids.trapezoids import Trapezoids, joined_upward, trapezoids_of

NOTHING_LEFT = "nothing of the figure is left inside its outline"


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
    while len(pieces.cell):
        joined, into = joined_upward(pieces, loose)
        fan = _fan(joined)
        bad = _turned_over(joined, fan)
        if not bad.any():
            return _sheet(joined, fan)
        # Rounded points on a long side may stand on its wrong side: there every piece keeps its own stretch.
        loose &= upright | ~bad[into]
    raise ValueError(NOTHING_LEFT)


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
    on_line, x, y = _number_on_lines(t)
    x_min, y_min = int(x.min()), int(y.min())
    span = int(x.max()) - x_min + 1
    keys, posts = np.unique((y - y_min) * span + (x - x_min), return_inverse=True)
    posts = posts.reshape(-1).astype(np.int64)
    row = keys // span
    points = np.stack([keys - row * span + x_min, row + y_min], axis=1)
    left_low, left_high, right_low, right_high = on_line
    corner = posts[np.stack([left_low, right_low, left_high, right_high])]
    triangles, owner = _triangles(points, corner, posts, on_line)
    return _Fan(points, triangles, owner, corner, posts, on_line)


def _number_on_lines(t: Trapezoids) -> tuple[Ints, Ints, Ints]:
    """Number the points on side lines from line to line and upward.

    Returns
    -------
    on_line : ndarray (4, T) of int64
        Numbers of the low and high end of each left side, then of each right one.
    x, y : ndarray (P,) of int64
        Where these points are.
    """
    base = int(t.y0.min())
    span = int(t.y1.max()) - base + 1
    # Trapezoids come ordered by their left lines, and one on a line starts where the one below it ends, or higher.
    right = np.argsort(t.right * span + t.y0, kind="stable")
    ends = [
        np.stack([line * span + t.y0[order], line * span + t.y1[order]], axis=1).ravel() - base
        for line, order in ((t.left, slice(None)), (t.right[right], right))
    ]
    keys = np.sort(np.concatenate(ends))
    keys = keys[np.append(True, keys[1:] != keys[:-1])]
    on_line = np.empty((4, len(t.cell)), dtype=np.int64)
    on_line[:2] = np.searchsorted(keys, ends[0]).reshape(-1, 2).T
    on_line[2:, right] = np.searchsorted(keys, ends[1]).reshape(-1, 2).T
    x = np.empty(len(keys), dtype=np.int64)
    for number, place in zip(on_line, (t.left0, t.left1, t.right0, t.right1), strict=True):
        x[number] = place
    return on_line, x, keys % span + base


def _turned_over(t: Trapezoids, fan: _Fan) -> Bools:
    """Which trapezoids have no area, or a triangle without."""
    bad = t.twice_area <= 0
    leaning = np.flatnonzero(~t.upright[fan.owner])
    a, b, c = (fan.points[fan.triangles[leaning, k]] for k in range(3))
    u, v = b - a, c - a
    bad[fan.owner[leaning[u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0] <= 0]]] = True
    return bad


def _sheet(t: Trapezoids, fan: _Fan) -> Sheet:
    inside = t.cell[fan.owner] != OUTSIDE
    if not inside.any():
        raise ValueError(NOTHING_LEFT)
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


def _triangles(points: Ints, corner: Ints, posts: Ints, on: Ints) -> tuple[Ints, Ints]:
    """Zip the points on the low and high line of each trapezoid, then fan the points on its sides."""
    low_left, low_right, high_left, high_right = corner
    lows, highs = low_right - low_left, high_right - high_left
    total = lows + highs
    plain, rest = np.flatnonzero((lows == 1) & (highs == 1)), np.flatnonzero((lows != 1) | (highs != 1))
    triangles = np.empty((int(total.sum()), 3), dtype=np.int64)
    count = len(plain)
    low, high = low_left[plain], high_left[plain]
    for column, (one, two) in enumerate(((low, low + 1), (low + 1, high + 1), (high, high))):
        triangles[:count, column] = one
        triangles[count : 2 * count, column] = two
    first, last = np.empty_like(total), np.empty_like(total)
    first[plain] = np.arange(count, dtype=np.int64)
    last[plain] = first[plain] + count
    last[rest] = 2 * count + np.cumsum(total[rest]) - 1
    first[rest] = last[rest] - total[rest] + 1
    owner = np.concatenate([plain, plain, np.repeat(rest, total[rest])])
    _zip(triangles[2 * count :], points[:, 0], (low_left[rest], lows[rest]), (high_left[rest], highs[rest]))
    return _fan_sides(triangles, owner, (first, last), posts, on, corner)


def _zip(out: Ints, x: Ints, low: tuple[Ints, Ints], high: tuple[Ints, Ints]) -> None:
    """Fill in the triangles between low and high lines, each given by its first point and how many stretches it has.

    From left to right the line whose next stretch ends first goes on, the low one where both end alike.
    """
    before = np.cumsum(low[1] + high[1]) - low[1] - high[1]
    own, at, along = zip(*(_stretches(x, *line) for line in (low, high)), strict=True)
    for line, side in ((0, "left"), (1, "right")):
        other = 1 - line
        start, count = (low, high)[other]
        passed = np.searchsorted(along[other], along[line], side=side)  # type: ignore[call-overload]
        passed -= (np.cumsum(count) - count)[own[line]]
        beside = start[own[line]] + passed
        place = before[own[line]] + passed + at[line] - (low, high)[line][0][own[line]] - 1
        # The third corner is the one just left behind, on the line that goes on.
        out[place] = np.stack([at[0] - 1, at[0], beside] if line == 0 else [beside, at[1], at[1] - 1], axis=1)


def _stretches(x: Ints, start: Ints, count: Ints) -> tuple[Ints, Ints, Floats]:
    """The line and the end point of each stretch, and how far along all lines it ends."""
    own = np.repeat(np.arange(len(start), dtype=np.int64), count)
    at = ranges(start + 1, count)
    begin, end = x[start][own], x[start + count][own]
    return own, at, np.asarray(own + 0.5 * ((x[at] - begin) / (end - begin)), dtype=np.float64)


def _fan_sides(
    triangles: Ints, owner: Ints, ends: tuple[Ints, Ints], posts: Ints, on: Ints, corner: Ints
) -> tuple[Ints, Ints]:
    """Divide the first and last triangle of each trapezoid at the points its neighbours have on its sides."""
    left_low, left_high, right_low, right_high = on
    low_left, low_right, high_left, high_right = corner
    first, last = ends
    on_left, on_right = left_high - left_low - 1, right_high - right_low - 1
    busy = np.flatnonzero((on_left > 0) | (on_right > 0))
    if not busy.size:
        return triangles, owner
    # Apex of the left fan: the corner of the first triangle that is not on the left side.
    head = triangles[first[busy]]
    left_apex = _other(head, low_left[busy], high_left[busy])
    tail = triangles[last[busy]]
    right_apex = _other(tail, low_right[busy], high_right[busy])
    single = first[busy] == last[busy]
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
        keep[(last if upward else first)[busy[some]]] = False
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
