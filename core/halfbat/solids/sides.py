"""The sides of a figure's polygons, cut into bands.

A band lies between two heights at which very many sides end (the bed joints of a wall). Upright sides that pass a
band from bottom to top undisturbed are *posts*: they part the band into cells, so that what happens in one cell (the
curve of an arch) does not cut up its neighbours.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from halfbat.solids.crossings import Segments, part_crossings
from halfbat.solids.figure import Figure, Layer
from halfbat.solids.grid import Bools, Ints, ranges

CROWD = 64


@dataclass(frozen=True, slots=True)
class Sides:
    """All sides that are not level, from their low end to their high end.

    Parameters
    ----------
    x0, y0, x1, y1 : ndarray (S,) of int64
        Ends; ``y0 < y1``.
    layer : ndarray (S,) of int64
        Which layer the side belongs to.
    weight : ndarray (S,) of int64
        +1 where the polygon lies to the right of the side, -1 where it lies to the left.
    cell : ndarray (S,) of int64
        The cell of the side's ring.
    line : ndarray (S,) of int64
        The same number for sides on one upright line, and for coincident leaning sides.
    level_y, level_x0, level_x1 : ndarray (H,) of int64
        The level sides, which end runs of sides but bound no trapezoid from the left or right.
    """

    x0: Ints
    y0: Ints
    x1: Ints
    y1: Ints
    layer: Ints
    weight: Ints
    cell: Ints
    line: Ints
    level_y: Ints
    level_x0: Ints
    level_x1: Ints

    def x_at(self, side: Ints, y: Ints) -> Ints:
        """Where a side stands at a height, to the nearest grid unit."""
        x0, y0 = self.x0[side], self.y0[side]
        dx, dy = self.x1[side] - x0, self.y1[side] - y0
        rise = y - y0
        return np.asarray(x0 + (2 * dx * rise + dy) // (2 * dy), dtype=np.int64)


def sides_of(figure: Figure) -> Sides:
    """Collect the sides of every layer of a figure, parted where they cross."""
    layers = figure.layers
    x, y = np.ascontiguousarray(np.concatenate([layer.points for layer in layers]).T)
    sizes = [len(layer.points) for layer in layers]
    offsets = np.cumsum([0, *sizes[:-1]])
    second = np.concatenate([_following(layer) + offset for layer, offset in zip(layers, offsets, strict=True)])
    turn = np.sign(y - y[second])
    side, level = np.flatnonzero(turn), np.flatnonzero(turn == 0)
    low = np.where(turn[side] > 0, second[side], side)
    high = np.where(turn[side] > 0, side, second[side])
    parted = part_crossings(Segments(x[low], y[low], x[high], y[high], side))
    levels = Segments(x[level], y[level], x[second[level]], y[level], level)
    flat = parted.y0 == parted.y1
    if flat.any():
        levels, parted = levels.joined(parted.take(flat)), parted.take(~flat)
    layer_of = np.repeat(np.arange(len(layers), dtype=np.int64), sizes)
    cell_of = np.concatenate([np.repeat(layer.cells, np.diff(layer.starts)) for layer in layers])
    return Sides(
        parted.x0,
        parted.y0,
        parted.x1,
        parted.y1,
        layer_of[parted.origin],
        turn[parted.origin],
        cell_of[parted.origin],
        _lines(parted),
        levels.y0,
        np.minimum(levels.x0, levels.x1),
        np.maximum(levels.x0, levels.x1),
    )


def _following(layer: Layer) -> Ints:
    """The point after each point of a layer, round its ring."""
    following = np.arange(1, len(layer.points) + 1, dtype=np.int64)
    first, past = layer.starts[:-1], layer.starts[1:]
    filled = past > first
    following[past[filled] - 1] = first[filled]
    return following


def _lines(s: Segments) -> Ints:
    if not s.x0.size:
        return s.x0
    lines: Ints = s.x0 - s.x0.min()
    leaning = np.flatnonzero(s.x0 != s.x1)
    if leaning.size:
        ends = np.stack([s.x0[leaning], s.y0[leaning], s.x1[leaning], s.y1[leaning]])
        order = np.lexsort(ends)
        new = (np.diff(ends[:, order], axis=1) != 0).any(axis=0)
        lines[leaning[order]] = lines.max() + 1 + np.append(0, np.cumsum(new))
    return lines


@dataclass(frozen=True, slots=True)
class Pieces:
    """Sides cut at the heights of bands.

    Parameters
    ----------
    heights : ndarray (B + 1,) of int64
        Bounds of the bands.
    side, band : ndarray (P,) of int64
        Which side a piece comes from and the band it lies in.
    y0, y1, x0, x1 : ndarray (P,) of int64
        Its ends.
    post : ndarray (P,) of bool
        Whether it parts cells.
    """

    heights: Ints
    side: Ints
    band: Ints
    y0: Ints
    y1: Ints
    x0: Ints
    x1: Ints
    post: Bools


def cut_into_bands(sides: Sides, crowd: int = CROWD) -> Pieces:
    """Cut sides at every height where at least `crowd` of them end, and find the posts."""
    values, counts = np.unique(np.concatenate([sides.y0, sides.y1]), return_counts=True)
    wanted = counts >= crowd
    wanted[[0, -1]] = True
    heights = values[wanted]
    first = np.searchsorted(heights, sides.y0, side="right") - 1
    past = np.searchsorted(heights, sides.y1, side="left")
    count = past - first
    side = np.repeat(np.arange(len(count), dtype=np.int64), count)
    band = ranges(first, count)
    y0 = np.maximum(sides.y0[side], heights[band])
    y1 = np.minimum(sides.y1[side], heights[band + 1])
    upright = sides.x0[side] == sides.x1[side]
    x0 = sides.x0[side]
    x1 = x0.copy()
    lean = np.flatnonzero(~upright)
    if lean.size:
        x0[lean] = sides.x_at(side[lean], y0[lean])
        x1[lean] = sides.x_at(side[lean], y1[lean])
    whole = (y0 == heights[band]) & (y1 == heights[band + 1])
    post = upright & whole
    _unseat(post, sides, heights, band, (x0, y0), (x1, y1))
    return Pieces(heights, side, band, y0, y1, x0, x1, post)


def _unseat(
    post: Bools, sides: Sides, heights: Ints, band: Ints, low: tuple[Ints, Ints], high: tuple[Ints, Ints]
) -> None:
    """Take away posts that something crosses or ends on, or that a shorter upright piece stands on."""
    (x0, y0), (x1, y1) = low, high
    span = int(max(sides.x0.max(), sides.x1.max()) - min(sides.x0.min(), sides.x1.min())) + 3
    shift = 1 - int(min(sides.x0.min(), sides.x1.min()))
    key = band * span + x0 + shift
    spread = x0 != x1
    level_band = np.searchsorted(heights, sides.level_y, side="right") - 1
    inside = (level_band >= 0) & (level_band < len(heights) - 1)
    inside[inside] = heights[level_band[inside]] != sides.level_y[inside]
    row = np.concatenate([band[spread], level_band[inside]]) * span + shift
    starts = row + np.concatenate([np.minimum(x0, x1)[spread], sides.level_x0[inside]])
    ends = row + np.concatenate([np.maximum(x0, x1)[spread], sides.level_x1[inside]])
    # A side that ends on a post between its foot and its head may go on beyond it.
    foot = spread & (y0 > heights[band])
    head = spread & (y1 < heights[band + 1])
    blocked = np.concatenate([
        key[~post & ~spread], key[foot], band[head] * span + x1[head] + shift,
        starts[int(spread.sum()) :], ends[int(spread.sum()) :],
    ])  # fmt: skip
    if blocked.size:
        blocked.sort()
        place = np.minimum(np.searchsorted(blocked, key), len(blocked) - 1)
        post &= blocked[place] != key
    if starts.size:
        starts.sort()
        ends.sort()
        post &= np.searchsorted(starts, key, side="left") <= np.searchsorted(ends, key, side="right")
