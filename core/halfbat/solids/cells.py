"""Bands parted into cells by posts, cells into rows by height, and the sides in each row from left to right."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from halfbat.solids.grid import Ints, ranges
from halfbat.solids.sides import Pieces, Sides, cut_into_bands


@dataclass(frozen=True, slots=True)
class Cut:
    """A figure's sides, cut into bands and cells.

    Parameters
    ----------
    sides : Sides
    pieces : Pieces
        The sides in bands.
    posts : ndarray (Q,) of int64
        Pieces that part cells, ordered by band and then from left to right.
    local : ndarray (L,) of int64
        All other pieces, ordered by cell.
    cell : ndarray (L,) of int64
        The cell of each of these.
    """

    sides: Sides
    pieces: Pieces
    posts: Ints
    local: Ints
    cell: Ints

    @property
    def cell_count(self) -> int:
        """Cells in all bands: one before the first post of a band and one after each."""
        return len(self.posts) + len(self.pieces.heights) - 1

    @property
    def post_cell(self) -> Ints:
        """The cell to the right of each post."""
        return np.arange(len(self.posts), dtype=np.int64) + self.pieces.band[self.posts] + 1


def cut_into_cells(sides: Sides) -> Cut:
    """Cut sides into bands, and find the posts and the cells between them."""
    pieces = cut_into_bands(sides)
    posts = np.flatnonzero(pieces.post)
    posts = posts[np.lexsort((pieces.x0[posts], pieces.band[posts]))]
    local = np.flatnonzero(~pieces.post)
    cell = _cell_of(pieces, posts, local)
    order = np.argsort(cell, kind="stable")
    return Cut(sides, pieces, posts, local[order], cell[order])


@dataclass(frozen=True, slots=True)
class Rows:
    """Slabs within cells: the cell, its bounds in height, and the posts to the left and right (-1: none).

    The first `busy` rows, ordered by cell and height, are those of cells with local sides.
    """

    cell: Ints
    y0: Ints
    y1: Ints
    left_post: Ints
    right_post: Ints
    busy: int


@dataclass(frozen=True, slots=True)
class Entries:
    """Local sides within rows, ordered from left to right."""

    row: Ints
    piece: Ints
    x0: Ints
    x1: Ints
    line: Ints


def _cell_of(pieces: Pieces, posts: Ints, local: Ints) -> Ints:
    low = 2 * int(min(pieces.x0.min(), pieces.x1.min()))
    span = 2 * int(max(pieces.x0.max(), pieces.x1.max())) - low + 2
    keys = pieces.band[posts] * span + 2 * pieces.x0[posts] - low
    middle = pieces.band[local] * span + pieces.x0[local] + pieces.x1[local] - low
    return np.searchsorted(keys, middle, side="right") + pieces.band[local]


def rows_of(cut: Cut) -> Rows:
    """Divide every cell at the heights at which a side ends in it."""
    pieces, posts = cut.pieces, cut.posts
    local, cell_of_local = cut.local, cut.cell
    bands = len(pieces.heights) - 1
    cells = len(posts) + bands
    # Cells of a band come one after another: one before its first post, then one after each post.
    per_band = np.bincount(pieces.band[posts], minlength=bands) + 1
    band = np.repeat(np.arange(bands, dtype=np.int64), per_band)
    in_band = ranges(np.zeros(bands, dtype=np.int64), per_band)
    cell = np.arange(cells, dtype=np.int64)
    left = np.where(in_band > 0, cell - band - 1, -1)
    right = np.where(in_band < per_band[band] - 1, cell - band, -1)
    low, high = pieces.heights[band], pieces.heights[band + 1]
    base = int(pieces.heights[0])
    span = int(pieces.heights[-1]) - base + 1
    busy = np.unique(cell_of_local)
    ends = np.concatenate(
        [
            cell_of_local * span + pieces.y0[local] - base,
            cell_of_local * span + pieces.y1[local] - base,
            busy * span + low[busy] - base,
            busy * span + high[busy] - base,
        ]
    )
    ends = np.unique(ends)
    end_cell, end_y = ends // span, ends % span + base
    same = end_cell[1:] == end_cell[:-1]
    busy_cell, busy_y0, busy_y1 = end_cell[:-1][same], end_y[:-1][same], end_y[1:][same]
    quiet = np.ones(cells, dtype=bool)
    quiet[busy] = False
    quiet &= (left >= 0) & (right >= 0)
    all_cell = np.concatenate([busy_cell, cell[quiet]])
    y0 = np.concatenate([busy_y0, low[quiet]])
    y1 = np.concatenate([busy_y1, high[quiet]])
    lefts = np.where(left >= 0, posts[left] if posts.size else -1, -1)
    rights = np.where(right >= 0, posts[right] if posts.size else -1, -1)
    return Rows(all_cell, y0, y1, lefts[all_cell], rights[all_cell], len(busy_cell))


def entries_of(cut: Cut, rows: Rows) -> Entries:
    """Order the local sides of every row from left to right."""
    sides, pieces = cut.sides, cut.pieces
    local, cell_of_local = cut.local, cut.cell
    base = int(pieces.heights[0])
    span = int(pieces.heights[-1]) - base + 1
    keys = rows.cell[: rows.busy] * span + rows.y0[: rows.busy] - base
    first = np.searchsorted(keys, cell_of_local * span + pieces.y0[local] - base, side="left")
    past = np.searchsorted(keys, cell_of_local * span + pieces.y1[local] - base, side="left")
    piece = np.repeat(local, past - first)
    row = ranges(first, past - first)
    side = pieces.side[piece]
    x0 = sides.x0[side].copy()
    x1 = x0.copy()
    lean = np.flatnonzero(sides.x0[side] != sides.x1[side])
    x0[lean] = sides.x_at(side[lean], rows.y0[row[lean]])
    x1[lean] = sides.x_at(side[lean], rows.y1[row[lean]])
    corner = 2 * int(min(pieces.x0.min(), pieces.x1.min()))
    width = 2 * int(max(pieces.x0.max(), pieces.x1.max())) - corner + 2
    order = np.argsort(row * width + x0 + x1 - corner, kind="stable")
    row, piece, x0, x1 = row[order], piece[order], x0[order], x1[order]
    line = sides.line[pieces.side[piece]]
    line = _one_line(row, x0, x1, line)
    for post in (rows.left_post[row], rows.right_post[row]):
        on_post = (post >= 0) & (x0 == x1) & (x0 == pieces.x0[post])
        line[on_post] = sides.line[pieces.side[post[on_post]]]
    return Entries(row, piece, x0, x1, line)


def _one_line(row: Ints, x0: Ints, x1: Ints, line: Ints) -> Ints:
    """Give sides that coincide in a row the line of the first of them."""
    if not row.size:
        return line
    new = np.ones(len(row), dtype=bool)
    new[1:] = (row[1:] != row[:-1]) | (x0[1:] != x0[:-1]) | (x1[1:] != x1[:-1])
    return line[np.maximum.accumulate(np.where(new, np.arange(len(row)), 0))]
