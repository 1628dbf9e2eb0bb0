"""The ends of all walls of a building, and what they ask of seams near them."""

from __future__ import annotations

from collections.abc import Sequence

from halfbat.building import Building, Wall
from halfbat.parts.corners import LAND_BELOW_JOINT_MM, End, Fits, corner_ends
from halfbat.parts.covers import SADDLE_BEYOND_MM
from halfbat.parts.skins import LEAST_FLAT_BACK_MM
from halfbat.settings import Settings
from halfbat.surfaces.joints import Joints

Ends = tuple[End, ...]
LARGEST_LAND = 0.8
"""Share of the base that the land of a corner may take."""


def wall_ends(
    building: Building, depths_mm: Sequence[float], joints: Joints, settings: Settings
) -> list[tuple[End, End]]:
    """Shape the left and the right end of each wall.

    Parameters
    ----------
    building : Building
        Walls in one loop.
    depths_mm : sequence of float
        Whole thickness of each wall's skins.
    joints, settings
        Depth of joints, and what the maker chose for corners.

    Raises
    ------
    KitError
        A corner is too sharp for two skins.
    """
    fits = _fits(min(depths_mm), joints, settings)
    count = len(building.walls)
    lefts: dict[int, End] = {}
    rights: dict[int, End] = {}
    for wall in building.walls:
        after = (wall.index + 1) % count
        depths = depths_mm[wall.index], depths_mm[after]
        rights[wall.index], lefts[after] = corner_ends(wall.corner_deg, depths, fits, _corner(wall, building))
    return [(lefts[index], rights[index]) for index in range(count)]


def _corner(wall: Wall, building: Building) -> str:
    after = building.walls[(wall.index + 1) % len(building.walls)]
    return f"the corner of walls {wall.letter} and {after.letter}"


def widest_ends(
    building: Building, depths_mm: tuple[float, float], joints: Joints, settings: Settings
) -> list[tuple[Ends, Ends]]:
    """Ends that each wall may come to have on its left and its right, before the thickness of its skins is known.

    Parameters
    ----------
    building, joints, settings
        As for `wall_ends`.
    depths_mm : tuple of float
        Thinnest and thickest skin; at an inner corner it matters which of two is the thinner.
    """
    thin, thick = depths_mm
    fits = _fits(thin, joints, settings)
    corners = [
        [
            corner_ends(wall.corner_deg, pair, fits, _corner(wall, building))
            for pair in ((thin, thick), (thick, thin), (thick, thick))
        ]
        for wall in building.walls
    ]
    return [
        (tuple(start for _, start in corners[wall.index - 1]), tuple(end for end, _ in corners[wall.index]))
        for wall in building.walls
    ]


def ends_without_seams(
    wall: Wall, building: Building, ends: tuple[Ends, Ends], length_mm: float, settings: Settings
) -> list[tuple[float, float]]:
    """Spans at the ends of a wall where a seam would leave a panel no back, or its cover meet the next wall."""
    spans = []
    for either, corner in zip(ends, (building.walls[wall.index - 1].corner_deg, wall.corner_deg), strict=True):
        kept = max(end.reach_mm for end in either) + LEAST_FLAT_BACK_MM + settings.seam.gap_mm
        if corner > 180:
            kept = max(kept, settings.seam.cover_width_mm / 2 + SADDLE_BEYOND_MM + settings.seam.cover_height_mm)
        spans.append(kept)
    return [(0.0, spans[0]), (length_mm - spans[1], length_mm)]


def _fits(depth_mm: float, joints: Joints, settings: Settings) -> Fits:
    """Land, gap and relief; the land lies between the floor of the joints and the back."""
    land = max(settings.skin.corner_land_mm, joints.depth_mm + LAND_BELOW_JOINT_MM)
    land = min(land, joints.depth_mm + (depth_mm - joints.depth_mm) * LARGEST_LAND)
    return Fits(land, settings.skin.corner_gap_mm, settings.skin.back_relief_mm)
