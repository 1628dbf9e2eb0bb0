"""The borders between regions of a plan."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from halfbat.building.columns import STEP_M, height_of
from halfbat.building.plan_map import PlanMap

Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Border:
    """A straight piece of border.

    Parameters
    ----------
    start, end : int
        Nodes.
    left, right : int
        Regions beside it, seen from start to end; -1 is outside.
    left_crest, right_crest : int
        Roofs whose height stands there, parapets included; -1 is the ground.
    """

    start: int
    end: int
    left: int
    right: int
    left_crest: int
    right_crest: int

    def reversed(self) -> Border:
        """Return the same piece walked the other way."""
        return Border(self.end, self.start, self.right, self.left, self.right_crest, self.left_crest)

    @property
    def sides(self) -> tuple[int, int, int, int]:
        """All that is beside it."""
        return self.left, self.right, self.left_crest, self.right_crest


def crests_over(plan: PlanMap, piece: Border, spots: Array) -> tuple[Array, Array]:
    """Return the heights, parapets included, to the left and to the right of a border over places in plan (N, 2)."""
    left, right = (
        np.full(len(spots), plan.base_m) if crest < 0 else height_of(plan.roofs[crest], spots)
        for crest in (piece.left_crest, piece.right_crest)
    )
    return left, right


@dataclass(frozen=True, slots=True, eq=False)
class Borders:
    """Borders of all regions.

    Parameters
    ----------
    pieces : tuple of Border
        Each once.
    nodes : ndarray, shape (N, 2)
        Where each node of the map has come to stand, metres.
    standing : ndarray of int, shape (N,)
        The node that now stands for each.
    dissolved_m : tuple of (float, float, float)
        Length and place in plan of each edge that is no more.
    """

    pieces: tuple[Border, ...]
    nodes: Array
    standing: Ints
    dissolved_m: tuple[tuple[float, float, float], ...]


def border_of(plan: PlanMap, edge: int) -> Border:
    """Return one edge of the map as a piece of border."""
    start, end = plan.ends[edge].tolist()
    spots = plan.nodes[[start, end]]
    sides = [int(side) for side in plan.sides[edge]]
    crests = []
    for place, side in enumerate(sides):
        own = int(plan.roof_of[side]) if side >= 0 else -1
        before = int(plan.crest_of[plan.beside[edge, place]])
        raised = side >= 0 and before >= 0 and before != own
        if raised and np.all(height_of(plan.roofs[before], spots) > height_of(plan.roofs[own], spots) + STEP_M):
            own = before
        crests.append(own)
    return Border(start, end, sides[0], sides[1], crests[0], crests[1])


def pieces_round(pieces: Iterable[Border], regions: set[int]) -> list[Border]:
    """Return the pieces round a set of regions, the regions on their left."""
    found = []
    for piece in pieces:
        if (piece.left in regions) != (piece.right in regions):
            found.append(piece if piece.left in regions else piece.reversed())
    return found
