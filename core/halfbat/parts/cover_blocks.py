"""What covers over a flat roof take up in plan: its lid has to be lifted past them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from halfbat.parts.masses import SkinBlock
from halfbat.parts.wall_covers import cover_size
from halfbat.parts.walls import WallPlan
from halfbat.settings import Settings
from halfbat.surfaces.remnants import extents
from halfbat.units import Scale

FREE_MM = 0.15
"""Left between a lid and a cover that it passes."""
_INTO_WALL_MM = 0.5
BELOW_MM = 1.0
"""A wall on a roof may begin this much under the top of its lid."""


def cover_blocks(walls: Sequence[WallPlan], top_mm: float, settings: Settings, scale: Scale) -> list[SkinBlock]:
    """Find what a lid must leave free, from its seat up, for the covers of walls that stand on it.

    Parameters
    ----------
    walls : sequence of WallPlan
        All walls.
    top_mm : float
        Top of the lid in the building's frame.
    settings, scale
        Of the kit.
    """
    blocks = []
    for wall in walls:
        facing = wall.facing
        along, outward = facing.along, facing.outward
        for cover in wall.covers:
            size = cover_size(cover.style, settings, scale)
            u0, u1 = cover.low_mm - size.half_mm - FREE_MM, cover.high_mm + size.half_mm + FREE_MM
            outline = facing.face.outline_mm
            foot = float(extents(outline, np.array([cover.position_mm]), axis=0)[0][0]) + float(facing.foot_mm[2])
            if not np.isfinite(foot) or foot < top_mm - BELOW_MM:
                continue
            far, near = size.out_mm + FREE_MM, -_INTO_WALL_MM
            corners = [(u0, far), (u0, near), (u1, near), (u1, far)]
            ring = np.array([facing.foot_mm[:2] + u * along + out * outward for u, out in corners])
            blocks.append(SkinBlock(ring, -np.inf, float(outline[:, 1].max()) + float(facing.foot_mm[2])))
    return blocks
