"""Where a roof reaches beyond its walls: the undercut edge of its skin, and the board that fills the space below.

Seen along the edge, a roof skin is much thicker than tiles are. So where it overhangs, its underside rises to a thin
lip at the edge, and a solid board stands behind the lip, against the wall: a fascia with its soffit at eaves, a barge
board at a verge. The board finds its place on the wall and under the lip.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from math import radians, tan

import numpy as np
from numpy.typing import NDArray

from halfbat.building.overhangs import reach_beyond_wall_m
from halfbat.building.structure import EdgeKind, Slope, Structure
from halfbat.parts.corners import End
from halfbat.settings import Settings
from halfbat.units import Scale

Array = NDArray[np.float64]
OVERSAIL_M = 0.03
"""How far tiles reach over a fascia or barge board, full size (common practice, no source: 30 to 50 mm)."""
LEAST_REACH_MM = 0.45
LEAST_UNDERCUT_MM = 0.3
STEEPEST = tan(radians(30.0))
"""The underside of the lip rises from the plate at 30 degrees or more, so that resin holds without support."""
STEEPEST_LEAN = 1.7
"""Plumb cut, the eaves of a steeper roof would end in a wedge too wide to hold where it is thin."""
PLAIN_TURN = 0.5
LONG_ENOUGH = 5.0
WIDE_MM = 1.5
"""A board up to this height may be as thin as half the smallest wall; a higher one may not."""


@dataclass(frozen=True, slots=True)
class RoofEdge:
    """One overhanging edge of a slope, model millimetres.

    Parameters
    ----------
    kind : EdgeKind
        Eaves or verge.
    reach_mm : float
        How far it lies beyond the wall, level.
    oversail_mm : float
        How far inside it the board's face stands.
    lean : float
        How far the end of the skin moves inward for each millimetre of depth: plumb at eaves, square at verges.
    lip_mm : float
        Thickness of the skin at the edge.
    inner_mm : float
        How far inside the edge, in the slope, its underside is down to the whole depth; 0 where it is not undercut.
    """

    kind: EdgeKind
    reach_mm: float
    oversail_mm: float
    lean: float
    lip_mm: float
    inner_mm: float

    def end(self, depth_mm: float) -> End:
        """Shape the skin's edge."""
        if not self.inner_mm:
            return End(0.0, self.lean, ((self.lean * depth_mm, depth_mm),)) if self.lean else End(0.0)
        return End(0.0, self.lean, ((self.lean * self.lip_mm, self.lip_mm), (self.inner_mm, depth_mm)))

    def underside(self, depth_mm: float, inward: Array, normal: Array) -> Array:
        """Draw the skin's underside from the edge inward.

        Parameters
        ----------
        depth_mm : float
            Whole thickness of the skin.
        inward, normal : ndarray (2,)
            Up or along the slope away from the edge, and out of the slope, both level outward and upward.

        Returns
        -------
        ndarray (3, 2)
            Foot of the end face, where the underside is down to the whole depth, and a place far inside.
        """
        lip = self.lip_mm if self.inner_mm else depth_mm
        foot = self.lean * lip * inward - lip * normal
        inner = self.inner_mm * inward - depth_mm * normal if self.inner_mm else foot + 1e-3 * inward
        return np.array([foot, inner, inner + 100.0 * inward])


def roof_edges(
    structure: Structure, slope: Slope, depth_mm: float, relief_mm: float, settings: Settings, scale: Scale
) -> tuple[RoofEdge | None, ...]:
    """Find the edges of a slope that overhang, and shape them.

    Parameters
    ----------
    structure : Structure
        The building, drawn out.
    slope : Slope
        One of its pitched slopes.
    depth_mm, relief_mm : float
        Thickness of the roof's skins, and of the tiles on them.
    settings : Settings
        Roof and resin process.
    scale : Scale
        How small.

    Returns
    -------
    tuple of RoofEdge or None
        For each edge of its outline; None where it does not overhang.
    """
    found = [
        _roof_edge(structure, slope, place, depth_mm, relief_mm, settings, scale) for place in range(len(slope.edges))
    ]
    return tuple(
        replace(edge, inner_mm=0.0) if edge is not None and not _has_room(slope, place, edge, scale) else edge
        for place, edge in enumerate(found)
    )


def _has_room(slope: Slope, place: int, edge: RoofEdge, scale: Scale) -> bool:
    """Whether the undercut of an edge keeps to it: both corners plain, and it and its neighbours long enough."""
    outline = slope.outline_m * scale.mm_per_m
    steps = np.roll(outline, -1, axis=0) - outline
    lengths = np.linalg.norm(steps, axis=1)
    along = steps / lengths[:, None]
    count = len(outline)
    near = [(place - 1) % count, place, (place + 1) % count]
    turns = [float(along[i][0] * along[j][1] - along[i][1] * along[j][0]) for i, j in pairwise(near)]
    return min(turns) > PLAIN_TURN and float(lengths[near].min()) > LONG_ENOUGH * edge.inner_mm


def board_height_mm(settings: Settings, scale: Scale) -> float:
    """Height of fascia and barge boards, at least the smallest wall."""
    return max(scale.to_mm(settings.roof.board_height_mm / 1000), settings.resin.min_wall_mm)


def _roof_edge(
    structure: Structure,
    slope: Slope,
    place: int,
    depth_mm: float,
    relief_mm: float,
    settings: Settings,
    scale: Scale,
) -> RoofEdge | None:
    edge = slope.edges[place]
    beyond = reach_beyond_wall_m(structure, slope, place)
    if beyond is None or edge.kind not in (EdgeKind.EAVES, EdgeKind.VERGE):
        return None
    reach = scale.to_mm(max(beyond, 0.0))
    if reach < LEAST_REACH_MM:
        return None
    pitch = radians(slope.pitch_deg)
    eaves = edge.kind is EdgeKind.EAVES
    wanted = settings.roof.eaves_board if eaves else settings.roof.barge_board
    lean = -min(tan(pitch), STEEPEST_LEAN) if eaves else 0.0
    gap = settings.skin.corner_gap_mm / 2
    least = settings.resin.min_wall_mm
    thick = least if board_height_mm(settings, scale) > WIDE_MM else least / 2
    oversail = min(scale.to_mm(OVERSAIL_M), max(0.0, reach - gap - thick))
    lip = relief_mm + settings.skin.corner_land_mm
    inner = 0.0
    if wanted and lip < depth_mm:
        # Over the wall the skin is whole, since the wall was lowered by its thickness.
        room = (reach - depth_mm * np.sin(pitch)) / np.cos(pitch) if eaves else reach
        inner = min(float(room) - gap, (depth_mm - lip) / STEEPEST)
        inner = inner if inner >= LEAST_UNDERCUT_MM else 0.0
    return RoofEdge(edge.kind, reach, oversail, lean, lip, inner)
