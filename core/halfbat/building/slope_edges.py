"""What each edge of a slope is to a roofer."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from halfbat.building.border import Border, crests_over
from halfbat.building.columns import STEP_M, height_of
from halfbat.building.plan_map import PlanMap
from halfbat.building.planes import LEVEL_DEG, PlaneFace
from halfbat.building.structure import EdgeKind, FaceOfWall, SlopeEdge

Array = npt.NDArray[np.float64]

#: An edge that climbs the slope at less than this, seen in the slope, is eaves or top edge and not verge.
_ALONG_DEG = 30.0
#: An edge is a ridge and not a hip if it climbs at less than this; surveyed ridges fall by a degree or two.
_RIDGE_DEG = 6.0
#: A roof reaches no further than this beyond its walls, metres.
_OVERHANG_M = 2.0


@dataclass(frozen=True, slots=True, eq=False)
class EdgeJudge:
    """Knows all that stands beside the edges of slopes.

    Parameters
    ----------
    plan : PlanMap
        Regions.
    slope_of : mapping of int to int
        Slope of each region.
    walls : sequence of FaceOfWall
        All walls.
    wall_at : mapping of Border to int
        Wall over each border, walked with the higher region on its left.
    parapets : frozenset of Border
        Those whose wall rises above the roof though it has no thickness in the mesh.
    """

    plan: PlanMap
    slope_of: Mapping[int, int]
    walls: Sequence[FaceOfWall]
    wall_at: Mapping[Border, int]
    parapets: frozenset[Border]

    def judge(self, piece: Border, spots: Array, overhangs: bool) -> SlopeEdge:
        """Say what an edge is.

        Parameters
        ----------
        piece : Border
            With the slope's region on its left.
        spots : ndarray, shape (2, 2)
            Its ends in plan.
        overhangs : bool
            Whether it lies beyond the walls.

        Returns
        -------
        SlopeEdge
        """
        plan = self.plan
        roof = plan.roofs[plan.roof_of[piece.left]]
        own = plan.height(piece.left, spots)
        beyond = plan.height(piece.right, spots)
        crest = own if piece.left_crest < 0 else np.maximum(own, height_of(plan.roofs[piece.left_crest], spots))
        one, two = crests_over(plan, piece, spots)
        parted = bool(np.any(np.abs(one - two) > STEP_M))
        joins = piece.right in self.slope_of and np.all(np.abs(own - beyond) <= STEP_M)
        if piece.right >= 0 and joins and not parted:
            other = plan.roofs[plan.roof_of[piece.right]]
            kind, angle = joint_of(roof, other, spots, own)
            return SlopeEdge(kind, self.slope_of[piece.right], None, angle)
        if piece.right >= 0 and piece.right_crest >= 0:
            beyond = np.maximum(beyond, height_of(plan.roofs[piece.right_crest], spots))
        wall = self._wall(piece, spots, overhangs)
        if float((beyond - own).sum()) > 0.0:
            return SlopeEdge(EdgeKind.ABUTMENT, None, self.wall_at.get(piece.reversed(), wall), 180.0)
        raised = piece in self.parapets and not overhangs
        if raised or np.all(crest - own > STEP_M):
            return SlopeEdge(EdgeKind.PARAPET, None, wall, 180.0)
        return SlopeEdge(_free_edge(roof, spots, own), None, wall, 180.0)

    def _wall(self, piece: Border, spots: Array, overhangs: bool) -> int | None:
        """Return the wall under an edge, or the nearest behind an overhanging one."""
        if not overhangs:
            return self.wall_at.get(piece)
        step = spots[1] - spots[0]
        along = step / max(float(np.hypot(*step)), 1e-9)
        best, found = _OVERHANG_M, None
        for wall in self.walls:
            to = spots.mean(axis=0) - wall.start_m
            off, share = float(to @ wall.outward), float(to @ wall.along)
            if float(along @ wall.along) > 0.98 and -0.05 < off < best and -off < share < wall.length_m + off:
                best, found = off, wall.index
        return found


def joint_of(roof: PlaneFace, other: PlaneFace, spots: Array, heights: Array) -> tuple[EdgeKind, float]:
    """Return what the edge between two slopes is, and the angle inside the building.

    Parameters
    ----------
    roof, other : PlaneFace
        The slopes to the left and to the right of the edge seen from above.
    spots : ndarray, shape (2, 2)
        Ends of the edge in plan, metres.
    heights : ndarray, shape (2,)
        Their heights, metres.

    Returns
    -------
    EdgeKind
    float
        Degrees.
    """
    run = spots[1] - spots[0]
    outward = np.array([run[1], -run[0]])
    apart = math.degrees(math.acos(max(-1.0, min(1.0, float(roof.normal @ other.normal)))))
    if float((other.normal - roof.normal)[:2] @ outward) < 0.0:
        return EdgeKind.VALLEY, 180.0 + apart
    climb = math.degrees(math.atan2(abs(float(heights[1] - heights[0])), float(np.hypot(*run))))
    return (EdgeKind.RIDGE if climb < _RIDGE_DEG else EdgeKind.HIP), 180.0 - apart


def _free_edge(roof: PlaneFace, spots: Array, heights: Array) -> EdgeKind:
    """Return what an edge is that nothing joins and nothing rises above."""
    if roof.tilt_deg < LEVEL_DEG:
        return EdgeKind.EAVES
    run = spots[1] - spots[0]
    climb = abs(float(heights[1] - heights[0]))
    slant = math.hypot(float(np.hypot(*run)), climb)
    # In a mesh that is no building edges may have no length.
    across = climb / max(slant * math.sin(math.radians(roof.tilt_deg)), 1e-9)
    if across > math.sin(math.radians(_ALONG_DEG)):
        return EdgeKind.VERGE
    outward = np.array([run[1], -run[0]])
    return EdgeKind.EAVES if float(roof.normal[:2] @ outward) > 0.0 else EdgeKind.TOP
