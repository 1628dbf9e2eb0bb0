"""The ends of all walls of a building, and what they ask of seams near them."""

from __future__ import annotations

from collections.abc import Sequence

from halfbat.building.structure import FaceOfWall, WallCorner
from halfbat.parts.corners import LAND_BELOW_JOINT_MM, End, Fits, corner_ends
from halfbat.parts.covers import SADDLE_BEYOND_MM
from halfbat.parts.wall_face import LEAST_FLAT_BACK_MM
from halfbat.settings import Settings
from halfbat.surfaces.joints import Joints

Ends = tuple[End, ...]
LARGEST_LAND = 0.8
"""Share of the base that the land of a corner may take."""


def wall_ends(
    walls: Sequence[FaceOfWall], depths_mm: Sequence[float], joints: Joints, settings: Settings
) -> dict[int, tuple[End, End]]:
    """Shape the left and the right end of each wall.

    Parameters
    ----------
    walls : sequence of FaceOfWall
        Those that get skins.
    depths_mm : sequence of float
        Whole thickness of each wall's skins.
    joints, settings
        Depth of joints, and what the maker chose for corners.

    Returns
    -------
    dict of int to (End, End)
        By the index of the wall; an end that meets no other skin stays clear by the gap.

    Raises
    ------
    KitError
        A corner is too sharp for two skins.
    """
    fits = _fits(min(depths_mm, default=1.0), joints, settings)
    by_index = {wall.index: (wall, depth) for wall, depth in zip(walls, depths_mm, strict=True)}
    lefts: dict[int, End] = {}
    rights: dict[int, End] = {}
    for wall, depth in by_index.values():
        corner = wall.right
        if corner is not None and corner.wall in by_index:
            other, other_depth = by_index[corner.wall]
            rights[wall.index], lefts[other.index] = _ends(wall, other, corner, (depth, other_depth), fits)
    free = End(fits.gap_mm)
    return {wall.index: (lefts.get(wall.index, free), rights.get(wall.index, free)) for wall in walls}


def _ends(
    wall: FaceOfWall, other: FaceOfWall, corner: WallCorner, depths_mm: tuple[float, float], fits: Fits
) -> tuple[End, End]:
    if corner.whole or corner.corner_deg > 180:
        return corner_ends(corner.corner_deg, depths_mm, fits, f"the corner of walls {wall.letter} and {other.letter}")
    # The higher wall keeps its end; the lower one stops behind its thickness.
    if wall.height_m >= other.height_m:
        return End(0.0), End(depths_mm[0] + fits.gap_mm)
    return End(depths_mm[1] + fits.gap_mm), End(0.0)


def widest_ends(
    walls: Sequence[FaceOfWall], depths_mm: tuple[float, float], joints: Joints, settings: Settings
) -> dict[int, tuple[Ends, Ends]]:
    """Ends that each wall may come to have on its left and its right, before the thickness of its skins is known.

    Parameters
    ----------
    walls, joints, settings
        As for `wall_ends`.
    depths_mm : tuple of float
        Thinnest and thickest skin; at an inner corner it matters which of two is the thinner.
    """
    thin, thick = depths_mm
    fits = _fits(thin, joints, settings)
    by_index = {wall.index: wall for wall in walls}
    lefts: dict[int, Ends] = {}
    rights: dict[int, Ends] = {}
    for wall in walls:
        corner = wall.right
        if corner is not None and corner.wall in by_index:
            other = by_index[corner.wall]
            pairs = [_ends(wall, other, corner, pair, fits) for pair in ((thin, thick), (thick, thin), (thick, thick))]
            rights[wall.index] = tuple(end for end, _ in pairs)
            lefts[other.index] = tuple(start for _, start in pairs)
    free = (End(fits.gap_mm),)
    return {wall.index: (lefts.get(wall.index, free), rights.get(wall.index, free)) for wall in walls}


def ends_without_seams(
    wall: FaceOfWall, ends: tuple[Ends, Ends], length_mm: float, settings: Settings
) -> list[tuple[float, float]]:
    """Spans at the ends of a wall where a seam would leave a panel no back, or its cover meet the next wall."""
    spans = []
    for either, corner in zip(ends, (wall.left, wall.right), strict=True):
        kept = max(end.reach_mm for end in either) + LEAST_FLAT_BACK_MM + settings.seam.gap_mm
        if corner is None or corner.corner_deg > 180:
            kept = max(kept, settings.seam.cover_width_mm / 2 + SADDLE_BEYOND_MM + settings.seam.cover_height_mm)
        spans.append(kept)
    return [(0.0, spans[0]), (length_mm - spans[1], length_mm)]


def _fits(depth_mm: float, joints: Joints, settings: Settings) -> Fits:
    """Land, gap and relief; the land lies between the floor of the joints and the back."""
    land = max(settings.skin.corner_land_mm, joints.depth_mm + LAND_BELOW_JOINT_MM)
    land = min(land, joints.depth_mm + (depth_mm - joints.depth_mm) * LARGEST_LAND)
    return Fits(land, settings.skin.corner_gap_mm, settings.skin.back_relief_mm)
