"""What a cut passes through: walls and rooms of a body."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from halfbat.solids.grid import PER_MM
from halfbat.solids.trapezoids import Trapezoids

OUTER, ROOM, WALL = 0, 1, 2
"""Cells of a body to be cut: `ROOM` and `WALL` of its k-th mass are two cells each further on."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """What a cut crosses: a cell from one place to another along the cut, and how its ends lean across it."""

    cell: int
    low: float
    high: float
    lean_low: float
    lean_high: float


def stretches(body: Trapezoids, at: float, reach_mm: float) -> list[Stretch]:
    """What a cut crosses, by rising s; what changes within a reach of it is left out.

    Parameters
    ----------
    body : Trapezoids
        The body in the frame of the cut.
    at, reach_mm : float
        Where the cut lies, and how far to each side of it all must run straight.
    """
    here, before, after = (row_at(body, at + shift) for shift in (0.0, -reach_mm, reach_mm))
    found = []
    for cell, low, high in here:
        same = [
            (a, b)
            for a in before
            for b in after
            if a[0] == b[0] == cell and abs(a[1] + b[1] - 2 * low) < 0.02 and abs(a[2] + b[2] - 2 * high) < 0.02
        ]
        if same:
            a, b = same[0]
            found.append(Stretch(cell, low, high, (b[1] - a[1]) / (2 * reach_mm), (b[2] - a[2]) / (2 * reach_mm)))
    return found


def is_wall(cell: int) -> bool:
    """Whether a cell of a body is a wall of it."""
    return cell >= WALL and cell % 2 == 0


def is_room(cell: int) -> bool:
    """Whether a cell of a body is a room between walls."""
    return cell >= ROOM and cell % 2 == ROOM


def row_at(body: Trapezoids, at: float) -> list[tuple[int, float, float]]:
    """Cells along a level line and where each begins and ends."""
    t = round(at * PER_MM) + 0.5
    on = np.flatnonzero((body.y0 < t) & (body.y1 > t))
    share = (t - body.y0[on]) / (body.y1[on] - body.y0[on])
    low = body.left0[on] + (body.left1[on] - body.left0[on]) * share
    high = body.right0[on] + (body.right1[on] - body.right0[on]) * share
    row: list[tuple[int, float, float]] = []
    for k in np.argsort(low, kind="stable").tolist():
        cell, begin, end = int(body.cell[on[k]]), float(low[k]) / PER_MM, float(high[k]) / PER_MM
        if row and row[-1][0] == cell and abs(row[-1][2] - begin) < 1e-3:
            row[-1] = (cell, row[-1][1], end)
        else:
            row.append((cell, begin, end))
    return row
