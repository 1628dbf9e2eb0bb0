"""What the skins of walls take up, as blocks."""

from __future__ import annotations

import numpy as np

from halfbat.parts.masses import SkinBlock
from halfbat.parts.skins import Facing
from halfbat.parts.standing import Standing, standing
from halfbat.parts.walls import WallPlan

BLOCK_SHORT_MM = 0.01
"""The shell's own faces stand a hair behind what is kept free for skins, so that the two do not shave each other."""


def standing_of(plan: WallPlan) -> list[Standing]:
    """The skin of a wall as convex blocks, its corners taken as square."""
    facing = plan.facing
    outline, index = facing.face.outline_mm, plan.wall.index
    return standing(outline, facing.foot_mm, facing.along, facing.outward, facing.depth_mm, index)


def skin_block(facing: Facing, grown_mm: float) -> SkinBlock:
    """What the skin of a wall takes up in plan and from its foot to its top, grown by so much."""
    length = float(facing.face.outline_mm[:, 0].max()) + facing.right.face_mm
    low, high = facing.left.outermost_mm - grown_mm, length - facing.right.outermost_mm + grown_mm
    along, inward, foot = facing.along, -facing.outward, facing.foot_mm
    behind = facing.depth_mm + grown_mm
    # In front of it too, where it rises out of a roof of the same mass.
    corners = [(low, -grown_mm), (low, behind), (high, behind), (high, -grown_mm)]
    levels = facing.face.outline_mm[:, 1] + foot[2]
    ring = np.array([foot[:2] + along * u + inward * d for u, d in corners])
    return SkinBlock(ring, float(levels.min()), float(levels.max()))
