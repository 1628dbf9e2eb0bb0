"""A plane figure cut into trapezoids, each of one cell.

Every trapezoid has level low and high lines and a side to its left and right. Its lines end at the first sides they
meet. Neighbours may divide its sides and lines further: `sheets` gathers those points.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from halfbat.solids.cells import Cut, Entries, Rows, cut_into_cells, entries_of, rows_of
from halfbat.solids.figure import OUTSIDE, Figure
from halfbat.solids.grid import PER_MM, Bools, Ints
from halfbat.solids.sides import sides_of


@dataclass(frozen=True, slots=True)
class Trapezoids:
    """Trapezoids of a figure, outside left out.

    Parameters
    ----------
    y0, y1 : ndarray (T,) of int64
        Heights of the low and high line.
    left0, left1, right0, right1 : ndarray (T,) of int64
        Where the left and right side stand at the low and the high line.
    left, right : ndarray (T,) of int64
        Number of the line each side lies on, as in `Sides.line`.
    cell : ndarray (T,) of int64
        What lies there.
    """

    y0: Ints
    y1: Ints
    left0: Ints
    left1: Ints
    right0: Ints
    right1: Ints
    left: Ints
    right: Ints
    cell: Ints

    def take(self, which: Ints | Bools) -> Trapezoids:
        """Return some of the trapezoids."""
        return Trapezoids(*(getattr(self, name)[which] for name in self.__slots__))

    @property
    def upright(self) -> Bools:
        """Which trapezoids are rectangles."""
        return np.asarray((self.left0 == self.left1) & (self.right0 == self.right1), dtype=np.bool_)

    @property
    def twice_area(self) -> Ints:
        """Twice the area of each trapezoid, in grid units squared."""
        width = self.right0 - self.left0 + self.right1 - self.left1
        return np.asarray(width * (self.y1 - self.y0), dtype=np.int64)


def decompose(figure: Figure) -> Trapezoids:
    """Cut a figure into trapezoids.

    Parameters
    ----------
    figure : Figure
        Layers of polygons.

    Raises
    ------
    ValueError
        Tiles of one layer overlap.
    """
    found = trapezoids_of(figure)
    joined = joined_upward(found, found.upright)[0]
    return joined.take(joined.cell != OUTSIDE)


def trapezoids_of(figure: Figure) -> Trapezoids:
    """Cut a figure into trapezoids row by row, with those that lie outside between its sides."""
    sides = sides_of(figure)
    if not sides.x0.size:
        none = np.zeros(0, dtype=np.int64)
        return Trapezoids(none, none, none, none, none, none, none, none, none)
    cut = cut_into_cells(sides)
    rows = rows_of(cut)
    gaps = _gaps(cut, rows, entries_of(cut, rows))
    cell = _labels(figure, gaps)
    kept = gaps.wide
    row = gaps.row[kept]
    bounds = (
        gaps.left0[kept], gaps.left1[kept], gaps.right0[kept], gaps.right1[kept], gaps.left[kept], gaps.right[kept]
    )  # fmt: skip
    return _join_across(Trapezoids(rows.y0[row], rows.y1[row], *bounds, cell[kept]), row)


@dataclass(frozen=True, slots=True)
class _Gaps:
    """The gaps between neighbouring sides of each row, from left to right."""

    cut: Cut
    rows: Rows
    entries: Entries
    row: Ints
    opens: Bools
    left0: Ints
    left1: Ints
    left: Ints
    right0: Ints
    right1: Ints
    right: Ints

    @property
    def wide(self) -> Bools:
        """Gaps that lie between two sides and have some width."""
        bound = (self.left >= 0) & (self.right >= 0)
        return np.asarray(bound & ((self.right0 > self.left0) | (self.right1 > self.left1)), dtype=np.bool_)


def _gaps(cut: Cut, rows: Rows, entries: Entries) -> _Gaps:
    # One gap to the right of each row's left bound and one to the right of each local side.
    row_count = len(rows.cell)
    row = np.concatenate([np.arange(row_count, dtype=np.int64), entries.row])
    inner = np.concatenate([np.zeros(row_count, dtype=bool), np.ones(len(entries.row), dtype=bool)])
    order = np.argsort(row * 2 + inner, kind="stable")
    row, inner = row[order], inner[order]
    post_x, post_line = cut.pieces.x0, cut.sides.line[cut.pieces.side]

    def bound(post: Ints) -> tuple[Ints, Ints, Ints]:
        x = np.where(post >= 0, post_x[post], 0)
        return x, x.copy(), np.where(post >= 0, post_line[post], -1)

    left0, left1, left = bound(rows.left_post[row])
    left0[inner], left1[inner], left[inner] = entries.x0, entries.x1, entries.line
    right0, right1, right = bound(rows.right_post[row])
    at = np.flatnonzero(inner)
    right0[at - 1], right1[at - 1], right[at - 1] = left0[at], left1[at], left[at]
    return _Gaps(cut, rows, entries, row, ~inner, left0, left1, left, right0, right1, right)


def _labels(figure: Figure, gaps: _Gaps) -> Ints:
    """Say which cell lies in each gap: that of the topmost layer that covers it."""
    sides, wide = gaps.cut.sides, gaps.wide
    label = np.full(len(gaps.row), OUTSIDE, dtype=np.int64)
    inside = np.zeros(len(gaps.row), dtype=bool)
    for number, layer in enumerate(figure.layers):
        on_layer = sides.layer == number
        count = _cover(gaps, np.where(on_layer, sides.weight, 0))
        covered = count > 0
        if number == 0:
            inside = covered
        if layer.within:
            covered &= label != OUTSIDE
        if layer.united:
            label[covered] = layer.cells[0] if layer.cells.size else OUTSIDE
            continue
        if (wide & ((count < 0) | (count > 1))).any():
            worst = gaps.row[np.argmax(wide & ((count < 0) | (count > 1)))]
            raise ValueError(f"tiles of one layer overlap near height {gaps.rows.y0[worst] / PER_MM:.3f} mm")
        value = _cover(gaps, np.where(on_layer, sides.weight * (sides.cell + 2), 0))
        label[covered] = value[covered] - 2
    label[~inside] = OUTSIDE
    return label


def _cover(gaps: _Gaps, amounts: Ints) -> Ints:
    """Add up an amount of each side over all sides to the left of every gap."""
    cut, rows = gaps.cut, gaps.rows
    side = cut.pieces.side
    seated = cut.pieces.y0[cut.local] == cut.pieces.heights[cut.pieces.band[cut.local]]
    cells = cut.cell_count
    at_post = np.bincount(cut.post_cell, weights=amounts[side[cut.posts]], minlength=cells)
    # A local side adds to the cells after its own; no post is crossed, so those that stand on the band tell all.
    after = np.bincount(cut.cell[seated] + 1, weights=amounts[side[cut.local[seated]]], minlength=cells + 1)[:cells]
    base = np.rint(np.cumsum(at_post + after)).astype(np.int64)[rows.cell[gaps.row]]
    step = np.zeros(len(gaps.row), dtype=np.int64)
    step[~gaps.opens] = amounts[side[gaps.entries.piece]]
    running = np.cumsum(step)
    start = np.flatnonzero(gaps.opens)
    before = np.repeat(running[start], np.diff(np.append(start, len(gaps.row))))
    return np.asarray(base + running - before, dtype=np.int64)


def _join_across(t: Trapezoids, row: Ints) -> Trapezoids:
    """Join neighbours of one cell within a row."""
    same = (row[1:] == row[:-1]) & (t.cell[1:] == t.cell[:-1]) & (t.right[:-1] == t.left[1:])
    same &= (t.right0[:-1] == t.left0[1:]) & (t.right1[:-1] == t.left1[1:])
    if not same.any():
        return t
    starts = np.flatnonzero(np.concatenate([[True], ~same]))
    ends = np.concatenate([starts[1:], [len(row)]]) - 1
    return Trapezoids(
        t.y0[starts], t.y1[starts], t.left0[starts], t.left1[starts], t.right0[ends], t.right1[ends],
        t.left[starts], t.right[ends], t.cell[starts],
    )  # fmt: skip


def joined_upward(t: Trapezoids, loose: Bools) -> tuple[Trapezoids, Ints]:
    """Join trapezoids one over the other between the same two sides.

    Parameters
    ----------
    t : Trapezoids
        As `trapezoids_of` gives them.
    loose : ndarray (T,) of bool
        Which of them may be joined with others.

    Returns
    -------
    joined : Trapezoids
        Ordered by the line of their left side, and upward.
    into : ndarray (T,) of int64
        Which of these each trapezoid has become part of.
    """
    if not len(t.cell):
        return t, np.zeros(0, dtype=np.int64)
    order = np.argsort(t.left * (int(t.y1.max()) - int(t.y0.min()) + 1) + t.y0, kind="stable")
    a, b = order[:-1], order[1:]
    same = (t.left[a] == t.left[b]) & (t.right[a] == t.right[b]) & (t.cell[a] == t.cell[b]) & (t.y1[a] == t.y0[b])
    same &= (t.left1[a] == t.left0[b]) & (t.right1[a] == t.right0[b]) & loose[a] & loose[b]
    first = np.append(True, ~same)
    into = np.empty(len(order), dtype=np.int64)
    into[order] = np.cumsum(first) - 1
    low = order[first]
    high = order[np.append(np.flatnonzero(first)[1:], len(order)) - 1]
    joined = Trapezoids(
        t.y0[low], t.y1[high], t.left0[low], t.left1[high], t.right0[low], t.right1[high],
        t.left[low], t.right[low], t.cell[low],
    )  # fmt: skip
    return joined, into
