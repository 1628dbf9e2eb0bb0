"""Upright edges at which two walls meet, over all of their height or a part of it, at their ends or in mid wall."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from halfbat.building.columns import STEP_M
from halfbat.building.structure import FaceOfWall

Array = npt.NDArray[np.float64]

#: Edges nearer than this in plan are at one place, metres.
SAME_PLACE_M = 0.003
_UPRIGHT_M = 1e-6


@dataclass(frozen=True, slots=True)
class UprightEdge:
    """An upright side of a wall's outline.

    Parameters
    ----------
    wall : int
        Index of the wall.
    at_m : float
        Place along the wall, metres.
    low_m, high_m : float
        Heights above the building's base, metres.
    right : bool
        Whether the wall ends here seen from outside; else it starts here.
    """

    wall: int
    at_m: float
    low_m: float
    high_m: float
    right: bool


@dataclass(frozen=True, slots=True)
class Meeting:
    """Where one wall ends and another starts.

    Parameters
    ----------
    before, after : UprightEdge
        Of the wall that ends, and of the wall that starts, each whole.
    low_m, high_m : float
        Heights between which both show, metres above the base.
    corner_deg : float
        Interior angle: 90 at a plain outer corner, 270 at an inner one.
    """

    before: UprightEdge
    after: UprightEdge
    low_m: float
    high_m: float
    corner_deg: float


def upright_edges(wall: FaceOfWall) -> list[UprightEdge]:
    """Return the upright sides of a wall's outline, in the order of its corners."""
    found = []
    for a, b in zip(wall.outline_m, np.roll(wall.outline_m, -1, axis=0), strict=True):
        if abs(a[0] - b[0]) <= _UPRIGHT_M and a[1] != b[1]:
            low, high = sorted((float(a[1]), float(b[1])))
            found.append(UprightEdge(wall.index, float(a[0]), low, high, bool(b[1] > a[1])))
    return found


def meetings(walls: Sequence[FaceOfWall]) -> list[Meeting]:
    """Find all upright edges that two walls share.

    Parameters
    ----------
    walls : sequence of FaceOfWall
        Of one building.

    Returns
    -------
    list of Meeting
        In the order of the walls that end there. A wall may meet one wall low down and another above it, and it may
        meet a wall in the middle of its own length where its outline steps.
    """
    by_index = {wall.index: wall for wall in walls}
    edges = [edge for wall in walls for edge in upright_edges(wall)]
    spots = {id(edge): spot_m(by_index[edge.wall], edge.at_m) for edge in edges}
    found = []
    for before in (edge for edge in edges if edge.right):
        for after in (edge for edge in edges if not edge.right and edge.wall != before.wall):
            if np.hypot(*(spots[id(before)] - spots[id(after)])) > SAME_PLACE_M:
                continue
            low, high = max(before.low_m, after.low_m), min(before.high_m, after.high_m)
            if high - low > STEP_M:
                angle = interior_deg(by_index[before.wall].along, by_index[after.wall].along)
                found.append(Meeting(before, after, low, high, angle))
    return found


def spot_m(wall: FaceOfWall, at_m: float) -> Array:
    """Return a place along a wall in plan, shape (2,), metres."""
    spot: Array = wall.start_m + wall.along * at_m
    return spot


def interior_deg(before: Array, after: Array) -> float:
    """Return the angle inside the building between two walls walked counter-clockwise, given their directions."""
    turn = math.atan2(before[0] * after[1] - before[1] * after[0], float(before @ after))
    return 180.0 - math.degrees(turn)
