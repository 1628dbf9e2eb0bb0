"""Where boards under eaves and verges end at skins of walls that run into them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.clearing import clipped
from halfbat.parts.gutters import Gutter
from halfbat.parts.roof_boards import SHORTEST_MM, Board, UprightCut
from halfbat.parts.standing import Standing, height_of

Array = NDArray[np.float64]
LEAST_MM = 0.02
"""What a wall reaches less into a board does not part it."""
SHARPEST = float(np.sin(np.radians(42.0)))
"""A board is cut along a wall that crosses it, but square to itself where that leaves a sharper tip."""


def off_walls(board: Board, walls: Sequence[Standing], gap_mm: float) -> Iterator[Board]:
    """Yield what of a board is left clear of the skins of other walls.

    Parameters
    ----------
    board : Board
        Along its whole edge.
    walls : sequence of Standing
        The skins of all walls.
    gap_mm : float
        Left between a board and a skin.
    """
    met = [block for block in walls if block.wall != board.wall and _meets(board, block)]
    if not met:
        yield board
        return
    low, high = board.reach_mm()
    for block in met:
        ends = _cut_before(board, block, gap_mm, 1.0), _cut_before(board, block, gap_mm, -1.0)
        pieces = replace(board, ends=(board.ends[0], ends[0])), replace(board, ends=(ends[1], board.ends[1]))
        for piece in pieces:
            start, stop = piece.reach_mm()
            if stop - start >= SHORTEST_MM and low - LEAST_MM <= start and stop <= high + LEAST_MM:
                yield from off_walls(piece, [one for one in met if one is not block], gap_mm)
        return


def gutter_off_walls(gutter: Gutter, walls: Sequence[Standing], gap_mm: float) -> Iterator[Gutter]:
    """Yield what of a gutter is left clear of the skins of other walls, stopped at these."""
    for run in off_walls(gutter.run, walls, gap_mm):
        first, last = (
            stopped or end is not whole
            for stopped, end, whole in zip(gutter.stops, run.ends, gutter.run.ends, strict=True)
        )
        yield replace(gutter, run=run, stops=(first, last))


def _meets(board: Board, block: Standing) -> bool:
    """Whether a skin stands in a board."""
    run, level = board.along[:2], float(np.hypot(*board.along[:2]))
    low, high = board.reach_mm()
    back, front = float(board.section_mm[:, 0].min()), float(board.section_mm[:, 0].max())
    off = block.ring_mm - board.start[:2]
    ring = np.column_stack([off @ run / level**2, off @ board.outward[:2], block.ring_mm])
    for axis, sign, limit in ((0, 1, low), (0, -1, high), (1, 1, back), (1, -1, front)):
        ring = clipped(ring, sign * (ring[:, axis] - limit)) if len(ring) else ring
    if not len(ring) or (np.ptp(ring[:, :2], axis=0) < LEAST_MM).any():
        return False
    edge = board.start[2] + ring[:, 0] * board.along[2]
    foot, top = (
        edge + float(end) / board.up[2] for end in (board.section_mm[:, 1].min(), board.section_mm[:, 1].max())
    )
    spots = ring[:, 2:]
    above, below = height_of(block.foot, spots) > top - LEAST_MM, height_of(block.top, spots) < foot + LEAST_MM
    return not (above.all() or below.all())


def _cut_before(board: Board, block: Standing, gap_mm: float, toward: float) -> UprightCut:
    """Cut that ends a board before a block, seen along it or against it: along a face of that which leaves most."""
    run = board.along[:2] / np.hypot(*board.along[:2])
    off = (block.ring_mm - board.start[:2]) @ run
    nearest = block.ring_mm[int(np.argmin(off) if toward > 0 else np.argmax(off))]
    best = UprightCut(nearest - toward * gap_mm * run, run)
    left = toward * float((nearest - board.start[:2]) @ run)
    for a, b in zip(block.ring_mm, np.roll(block.ring_mm, -1, axis=0), strict=True):
        step = (b - a) / max(float(np.hypot(*(b - a))), 1e-9)
        outward = np.array([step[1], -step[0]])
        if -toward * float(outward @ run) < SHARPEST:
            continue
        cut = UprightCut(a + gap_mm * outward, outward)
        end = float((toward * board.cut_by(cut)).min())
        if end > left:
            best, left = cut, end
    return best
