"""Letters and lengths of walls round a plan: outside everything, side by side where they would meet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from halfbat.drawings.drawing import Array, Dimension, Item, Label
from halfbat.parts.walls import WallPlan

FIRST_MM = 15.0
"""From the outermost wall on a side to the first line, where part numbers stand."""
APART_MM = 14.0
LETTER_MM = 6.5
BEYOND_MM = 11.0
"""Room beyond the last line, for letters."""
SHORTEST_MM = 22.0
"""A size in figures is about so wide."""
_SAME_WAY = 0.999


@dataclass(frozen=True, slots=True, eq=False)
class WallLine:
    """Where the length of a wall is drawn.

    Parameters
    ----------
    wall : WallPlan
        The wall.
    row : int
        0 next to the building, then outward.
    to_edge_mm : float
        From the wall out to the outermost corner of the plan on its side, mm on the model.
    """

    wall: WallPlan
    row: int
    to_edge_mm: float

    def away_mm(self, paper: float) -> float:
        """Return the distance of the line from its wall on paper."""
        return self.to_edge_mm * paper + FIRST_MM + APART_MM * self.row


def wall_lines(walls: Sequence[WallPlan], corners_mm: Array, paper: float) -> tuple[WallLine, ...]:
    """Give each wall a row of its own wherever lines on its side of the plan would meet.

    Parameters
    ----------
    walls : sequence of WallPlan
        Of the kit.
    corners_mm : ndarray (N, 2)
        Corners of the plan, mm on the model.
    paper : float
        Millimetres on paper for one on the model.
    """
    lines: list[WallLine] = []
    rows: list[tuple[Array, list[list[tuple[float, float]]]]] = []
    for wall in sorted(walls, key=lambda one: one.facing.laying.length_mm):
        facing = wall.facing
        side = next((taken for way, taken in rows if way @ facing.outward > _SAME_WAY), None)
        if side is None:
            side = list[list[tuple[float, float]]]()
            rows.append((facing.outward, side))
        span = _span(wall, paper)
        row = next((k for k, taken in enumerate(side) if not any(_meet(span, other) for other in taken)), len(side))
        if row == len(side):
            side.append([])
        side[row].append(span)
        edge = float((corners_mm @ facing.outward).max() - facing.foot_mm[:2] @ facing.outward)
        lines.append(WallLine(wall, row, max(edge, 0.0)))
    return tuple(sorted(lines, key=lambda line: line.wall.wall.index))


def round_mm(lines: Sequence[WallLine]) -> float:
    """Return the room that lines and letters take on each side of the plan."""
    return FIRST_MM + APART_MM * max((line.row for line in lines), default=0) + BEYOND_MM


def drawn_line(line: WallLine, paper: float, mm_per_m: float) -> list[Item]:
    """Draw the length and the letter of a wall."""
    facing = line.wall.facing
    length, away = facing.laying.length_mm, line.away_mm(paper)
    start = facing.foot_mm[:2] * paper
    end = start + facing.along * (length * paper)
    middle = (start + end) / 2 + facing.outward * (away + LETTER_MM)
    size = Dimension(_point(start), _point(end), -away, length, length / mm_per_m)
    return [size, Label(_point(middle), line.wall.wall.letter, 4.0, style="number")]


def _point(at: Array) -> tuple[float, float]:
    return float(at[0]), float(at[1])


def _span(wall: WallPlan, paper: float) -> tuple[float, float]:
    """From where to where along its direction a line and its text reach on paper."""
    facing = wall.facing
    across = np.array([-facing.outward[1], facing.outward[0]])
    start = float(facing.foot_mm[:2] @ across) * paper
    end = start + float(facing.along @ across) * facing.laying.length_mm * paper
    middle, half = (start + end) / 2, max(abs(end - start), SHORTEST_MM) / 2
    return middle - half, middle + half


def _meet(a: tuple[float, float], b: tuple[float, float]) -> bool:
    return a[0] < b[1] - 1e-6 and b[0] < a[1] - 1e-6
