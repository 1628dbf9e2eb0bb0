"""Upright strips of wall that show where the building steps down along a border."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from halfbat.building.border import Border, Borders, crests_over
from halfbat.building.columns import STEP_M
from halfbat.building.plan_map import PlanMap

Array = npt.NDArray[np.float64]

#: Pieces that turn by less than this lie in one wall, as sine: one degree.
_STRAIGHT = 0.0175


@dataclass(frozen=True, slots=True, eq=False)
class Strip:
    """What shows of a wall over one piece of border, or part of it.

    Parameters
    ----------
    border : Border
        The piece, walked so that the higher region is on its left.
    start_m, end_m : ndarray, shape (2,)
        Ends in plan, left and right seen from outside.
    low_m, high_m : tuple of float
        Heights at the left and the right end.
    """

    border: Border
    start_m: Array
    end_m: Array
    low_m: tuple[float, float]
    high_m: tuple[float, float]

    @property
    def length_m(self) -> float:
        """Length in plan."""
        return float(np.hypot(*(self.end_m - self.start_m)))

    @property
    def tallest_m(self) -> float:
        """Greatest height between its lower and upper border."""
        return max(high - low for low, high in zip(self.low_m, self.high_m, strict=True))

    @property
    def area_m2(self) -> float:
        """Area of the strip."""
        rise = [high - low for low, high in zip(self.low_m, self.high_m, strict=True)]
        return self.length_m * (rise[0] + rise[1]) / 2.0


def find_strips(plan: PlanMap, borders: Borders) -> list[Strip]:
    """Return the strips of wall over all borders with a step.

    Where two roofs cross over one border, each of its sides shows a wall on its own stretch.

    Parameters
    ----------
    plan : PlanMap
        Regions.
    borders : Borders
        Their borders.

    Returns
    -------
    list of Strip
        In the order of the borders.
    """
    found = []
    for piece in borders.pieces:
        spots = borders.nodes[[piece.start, piece.end]]
        left, right = crests_over(plan, piece, spots)
        # A parapet between two regions hides the lower roof's own height at the border.
        rise = left - right
        if np.all(np.abs(rise) <= STEP_M):
            continue
        stretches = [(0.0, 1.0)]
        if rise[0] * rise[1] < 0.0 and np.all(np.abs(rise) > STEP_M):
            share = float(rise[0] / (rise[0] - rise[1]))
            stretches = [(0.0, share), (share, 1.0)]
        for low, high in stretches:
            found.append(_strip(piece, spots, left, right, low, high))
    return found


def _strip(piece: Border, spots: Array, left: Array, right: Array, low: float, high: float) -> Strip:
    """Return the strip over part of a piece, the higher side on its left."""
    shares = np.array([low, high])
    ends = spots[0] + shares[:, None] * (spots[1] - spots[0])
    one, two = (side[0] + shares * (side[1] - side[0]) for side in (left, right))
    if float((one - two).sum()) < 0.0:
        piece, ends, one, two = piece.reversed(), ends[::-1], two[::-1], one[::-1]
    one = np.maximum(one, two)
    return Strip(piece, ends[0], ends[1], (float(two[0]), float(two[1])), (float(one[0]), float(one[1])))


def joined_strips(strips: Sequence[Strip]) -> list[list[Strip]]:
    """Gather strips that go on straight and touch over some height to walls, each from left to right.

    Parameters
    ----------
    strips : sequence of Strip
        Higher side on the left.

    Returns
    -------
    list of list of Strip
    """
    after: dict[int, int] = {}
    taken: set[int] = set()
    for one, strip in enumerate(strips):
        options = [
            two for two in range(len(strips)) if two not in taken and two != one and _goes_on(strip, strips[two])
        ]
        if options:
            after[one] = max(options, key=lambda two: _shared(strip, strips[two]))
            taken.add(after[one])
    chains = []
    for first in range(len(strips)):
        if first in taken:
            continue
        chain, here = [strips[first]], first
        while here in after:
            here = after[here]
            chain.append(strips[here])
        chains.append(chain)
    return chains


def _shared(one: Strip, two: Strip) -> float:
    """Return over what height two strips touch where the first ends and the second starts."""
    return min(one.high_m[1], two.high_m[0]) - max(one.low_m[1], two.low_m[0])


def _goes_on(one: Strip, two: Strip) -> bool:
    if np.hypot(*(two.start_m - one.end_m)) > 1e-6:
        return False
    first, second = (one.end_m - one.start_m) / one.length_m, (two.end_m - two.start_m) / two.length_m
    straight = abs(first[0] * second[1] - first[1] * second[0]) < _STRAIGHT and float(first @ second) > 0.0
    return bool(straight and (_shared(one, two) > STEP_M or _meet_in_point(one, two)))


def _meet_in_point(one: Strip, two: Strip) -> bool:
    """Say whether both come to a point at the same height, as under the crossing of two roofs."""
    pointed = all(strip.high_m[end] - strip.low_m[end] < STEP_M for strip, end in ((one, 1), (two, 0)))
    return pointed and one.border.left == two.border.left and abs(one.high_m[1] - two.high_m[0]) < 1e-3
