"""The outlines of the panels between the cuts of a wall."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.bent_line import BentLine

Array = NDArray[np.float64]
_SAME_MM = 1e-9


class Side(StrEnum):
    """What an edge of a panel's outline lies on, seen from outside."""

    LEFT = "left end"
    RIGHT = "right end"
    BOTTOM = "bottom"
    TOP = "top"
    SEAM = "seam"


@dataclass(frozen=True, slots=True, eq=False)
class PanelCell:
    """One panel of a wall, in the wall's frame.

    Parameters
    ----------
    row, column : int
        Place in the wall, from 0; row 0 at the foot, column 0 at the left.
    index : int
        Place counted from 1 by rows from the foot, each from the left: the last part of the panel's number.
    outline : ndarray, shape (K, 2), float64
        Anticlockwise corners, mm. Edge k runs from corner k to the next.
    sides : tuple of Side, length K
        What each edge lies on.
    bent : bool
        A seam beside it bends, so that it may run through courses at any height.
    """

    row: int
    column: int
    index: int
    outline: Array
    sides: tuple[Side, ...]
    bent: bool = False

    @property
    def is_whole(self) -> bool:
        """Whether the panel is the whole wall."""
        return Side.SEAM not in self.sides

    @property
    def clear_box(self) -> tuple[float, float, float, float]:
        """Least u, least v, greatest u and greatest v of the largest upright box between its sides, mm."""
        a, b = self.outline, np.roll(self.outline, -1, axis=0)
        rise = b[:, 1] - a[:, 1]
        _, v0, _, v1 = self.bounds
        return float(a[rise < 0, 0].max()), v0, float(a[rise > 0, 0].min()), v1

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Least u, least v, greatest u and greatest v, mm."""
        u0, v0 = self.outline.min(axis=0)
        u1, v1 = self.outline.max(axis=0)
        return float(u0), float(v0), float(u1), float(v1)


def panel_cells(
    length_mm: float,
    height_mm: float,
    lines: Sequence[Array],
    rows: Sequence[float],
    gap_mm: float,
    bent: Sequence[int] = (),
) -> tuple[PanelCell, ...]:
    """Cut a wall along its seams and move every panel back from them by half the gap.

    Parameters
    ----------
    length_mm, height_mm : float
        Size of the wall.
    lines : sequence of ndarray, each shape (K, 2)
        Centre lines of the upright cuts from bottom to top, left to right; upright and level runs by turns.
    rows : sequence of float
        Levels of the level cuts, bottom first.
    gap_mm : float
        Whole gap between two panels.
    bent : sequence of int
        Which of the lines bend; these may slope too, but not lead down.

    Returns
    -------
    tuple of PanelCell
        By rows from the foot, each from the left.
    """
    half = gap_mm / 2
    levels = [0.0, *rows, height_mm]
    left_end = np.array([[0.0, 0.0], [0.0, height_mm]])
    right_end = np.array([[length_mm, 0.0], [length_mm, height_mm]])
    borders = [left_end, *lines, right_end]
    cells: list[PanelCell] = []
    for row, (low, high) in enumerate(pairwise(levels)):
        bottom = low + half if row else low
        top = high - half if row < len(rows) else high
        for column, (left, right) in enumerate(pairwise(borders)):
            left_side = (_along if column - 1 in bent else _beside)(left, bottom, top, half if column else 0.0)
            shift = -half if column < len(lines) else 0.0
            right_side = (_along if column in bent else _beside)(right, bottom, top, shift)
            sides = (
                *[Side.SEAM if column < len(lines) else Side.RIGHT] * (len(right_side) - 1),
                Side.SEAM if row < len(rows) else Side.TOP,
                *[Side.SEAM if column else Side.LEFT] * (len(left_side) - 1),
                Side.SEAM if row else Side.BOTTOM,
            )
            outline = np.concatenate([right_side, left_side[::-1]])
            beside_bend = column in bent or column - 1 in bent
            cells.append(PanelCell(row, column, len(cells) + 1, outline, sides, beside_bend))
    return tuple(cells)


def _beside(line: Array, bottom: float, top: float, shift: float) -> Array:
    """Return the part of a cut between two levels, moved to its right (shift above zero) or left, steps included."""
    begins, ends = line[:-1:2], line[1::2]
    inside = np.maximum(begins[:, 1], bottom) < np.minimum(ends[:, 1], top)
    runs, levels = begins[inside, 0], ends[inside, 1]
    points = [(runs[0] + shift, bottom)]
    for before, after, level in zip(runs, runs[1:], levels, strict=False):
        # Half the gap is taken off a step from the side the panel lies on.
        moved = level - shift * np.sign(after - before)
        points += [(before + shift, moved), (after + shift, moved)]
    points.append((runs[-1] + shift, top))
    return np.array(points, dtype=np.float64)


def _along(line: Array, bottom: float, top: float, shift: float) -> Array:
    """Return the part of a cut that bends between two levels, moved to its right (shift above zero) or left."""
    moved = BentLine(tuple((float(u), float(v)) for u, v in line)).beside(-shift)
    points: list[tuple[float, float]] = []
    for (u0, v0), (u1, v1) in pairwise(moved.tolist()):
        low, high = max(v0, bottom), min(v1, top)
        if v1 <= bottom or v0 >= top:
            continue  # a level stretch on the edge of a row parts nothing there
        for level, end in ((low, u0), (high, u1)):
            u = u0 + (level - v0) * (u1 - u0) / (v1 - v0) if v1 > v0 else end
            if not points or np.hypot(u - points[-1][0], level - points[-1][1]) > _SAME_MM:
                points.append((u, level))
    return np.array(points, dtype=np.float64)
