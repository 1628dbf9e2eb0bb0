"""How thick skins are behind their joints."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from halfbat.building.structure import FaceOfWall
from halfbat.parts.corners import NEARLY_STRAIGHT_DEG
from halfbat.parts.seams import WallSeams
from halfbat.settings import Settings
from halfbat.surfaces.joints import Joints, part_steps_mm

BASE_BY_LONGEST_SIDE_MM = ((50.0, 1.0), (100.0, 1.2), (float("inf"), 1.5))
"""Longest side of a panel and the base it needs to stay flat: making notes, section 1 (common practice)."""
RELIEF_SHARE = 0.15
"""Of the base: relief on one face that takes more bends a panel (making notes, section 1, common practice)."""


def base_thickness_mm(longest_side_mm: float, settings: Settings, joint_depth_mm: float = 0.0) -> float:
    """Thickness of a skin behind its joints, in whole layers.

    Parameters
    ----------
    longest_side_mm : float
        Of the largest panel of the wall.
    settings : Settings
        A thickness asked for, and the layer.
    joint_depth_mm : float
        Joints take no larger share of the base than `RELIEF_SHARE`.
    """
    by_side = next(base for longest, base in BASE_BY_LONGEST_SIDE_MM if longest_side_mm <= longest + 1e-6)
    wanted = settings.skin.base_thickness_mm or max(by_side, joint_depth_mm / RELIEF_SHARE)
    layer = part_steps_mm(settings.resin)[2]
    return float(np.ceil(wanted / layer - 1e-6) * layer)


def bases_of_walls(
    walls: Sequence[FaceOfWall], seams: Sequence[WallSeams], joints: Joints, settings: Settings
) -> list[float]:
    """Thickness of each wall's skins; walls that meet nearly straight have one, so that the shell needs no step."""
    bases = {
        wall.index: base_thickness_mm(
            max(max(p.bounds[2] - p.bounds[0], p.bounds[3] - p.bounds[1]) for p in own.panels),
            settings,
            joints.depth_mm,
        )
        for wall, own in zip(walls, seams, strict=True)
    }
    # Twice round each way hands the thickest on wherever it stands.
    twice = [*walls, *walls]
    for wall in (*twice, *reversed(twice)):
        after = wall.right
        if after is not None and after.wall in bases and abs(after.corner_deg - 180.0) < NEARLY_STRAIGHT_DEG:
            bases[wall.index] = bases[after.wall] = max(bases[wall.index], bases[after.wall])
    return [bases[wall.index] for wall in walls]
