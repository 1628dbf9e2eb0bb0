"""The ends of all walls of a building, and what they ask of seams near them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import cos, radians, sin

import numpy as np

from halfbat.building.structure import FaceOfWall, WallCorner
from halfbat.parts.clearing import clipped
from halfbat.parts.corners import LAND_BELOW_JOINT_MM, End, Fits, corner_ends
from halfbat.parts.wall_covers import CoverSize
from halfbat.parts.wall_face import LEAST_FLAT_BACK_MM
from halfbat.settings import Settings
from halfbat.surfaces.joints import Joints
from halfbat.units import Scale

Ends = tuple[End, ...]
NEAR_M = 0.03
TOUCHING_MM = 1.5
"""A skin that stands further inside the end of another's wall is not met by that end."""
LEAST_SHARED_MM = 0.01
LEAST_SINE = 0.2
BLUNT_DEG = 150.0
"""At blunter corners both skins are mitred, over whatever height they meet: stopped square, one would end far off."""
LARGEST_LAND = 0.8
"""Share of the base that the land of a corner may take."""


def wall_ends(
    walls: Sequence[FaceOfWall], depths_mm: Sequence[float], joints: Joints, settings: Settings, scale: Scale
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
    scale : Scale
        How small.

    Returns
    -------
    dict of int to (End, End)
        By the index of the wall; an end that meets no other at a corner stays clear by the gap.
    """
    fits = _fits(min(depths_mm, default=1.0), joints, settings)
    by_index = {wall.index: (wall, depth) for wall, depth in zip(walls, depths_mm, strict=True)}
    lefts: dict[int, End] = {}
    rights: dict[int, End] = {}
    for wall, depth in by_index.values():
        corner = wall.right
        if corner is not None and corner.wall in by_index:
            other, other_depth = by_index[corner.wall]
            end, start = _ends(wall, other, corner, (depth, other_depth), fits)
            rights[wall.index] = _further_in(end, rights.get(wall.index))
            lefts[other.index] = _further_in(start, lefts.get(other.index))
    ends = {}
    for wall, _depth in by_index.values():
        left, right = (
            known.get(wall.index) or free_end(wall, at_start, by_index, fits.gap_mm, scale)
            for known, at_start in ((lefts, True), (rights, False))
        )
        if left.reach_mm + right.reach_mm > scale.to_mm(wall.length_m) - settings.resin.min_wall_mm:
            # No room to keep clear of both: nothing of it is left to hold, and it stays bare.
            left, right = (End(max(end.reach_mm, scale.to_mm(wall.length_m))) for end in (left, right))
        ends[wall.index] = left, right
    return ends


def _further_in(end: End, known: End | None) -> End:
    """Which of two ends keeps clear of both walls: more than one may come to one place at different heights."""
    return end if known is None or end.reach_mm >= known.reach_mm else known


def free_end(
    wall: FaceOfWall, at_start: bool, walls: Mapping[int, tuple[FaceOfWall, float]], gap_mm: float, scale: Scale
) -> End:
    """End a skin where its wall meets no other at a corner: clear of the skins of walls that it runs into.

    Parameters
    ----------
    wall : FaceOfWall
        The wall.
    at_start : bool
        Its left end, else its right one.
    walls : mapping of int to (FaceOfWall, float)
        All walls that get skins, and how thick their skins are, mm.
    gap_mm : float
        Kept free.
    scale : Scale
        How small.
    """
    depth = walls[wall.index][1]
    corner = wall.left if at_start else wall.right
    reach = gap_mm
    if corner is not None:
        # The wall round the corner is bare: the skin stays behind its face.
        turn = radians(corner.corner_deg)
        reach += depth * max(0.0, cos(turn) / max(abs(sin(turn)), LEAST_SINE) * (1 if sin(turn) > 0 else -1))
    low, high = _span_at(wall, 0.0 if at_start else wall.length_m)
    for other, other_depth in walls.values():
        if other is wall or abs(float(wall.along @ other.outward)) < LEAST_SINE:
            continue
        near, far = _within_skin_mm(wall, at_start, other, (depth, other_depth), scale)
        if not near < TOUCHING_MM or far > scale.to_mm(wall.length_m):
            continue
        u = float(((wall.start_m if at_start else wall.end_m) - other.start_m) @ other.along)
        foot, top = _span_at(other, min(max(u, 0.0), other.length_m))
        ends_there = min(abs(u), abs(other.length_m - u)) < NEAR_M
        if low > top - NEAR_M or foot > high - NEAR_M or (ends_there and _goes_before(wall, other)):
            continue
        reach = max(reach, far + gap_mm)
    return End(reach)


def _within_skin_mm(
    wall: FaceOfWall, at_start: bool, other: FaceOfWall, depths_mm: tuple[float, float], scale: Scale
) -> tuple[float, float]:
    """From where to where along a wall, from one of its ends, the skin of another stands in its own; none: infinite."""
    place, away = (wall.start_m, wall.along) if at_start else (wall.end_m, -wall.along)
    corners = np.array(
        [
            (end - place) * scale.mm_per_m - other.outward * behind
            for end, behind in (
                (other.start_m, 0.0),
                (other.end_m, 0.0),
                (other.end_m, depths_mm[1]),
                (other.start_m, depths_mm[1]),
            )
        ]
    )
    mine = np.stack([corners @ away, -(corners @ wall.outward)], axis=1)
    for level, sign in ((LEAST_SHARED_MM, 1.0), (depths_mm[0] - LEAST_SHARED_MM, -1.0)):
        mine = clipped(mine, sign * (mine[:, 1] - level))
    return (float(mine[:, 0].min()), float(mine[:, 0].max())) if len(mine) else (np.inf, np.inf)


def _goes_before(wall: FaceOfWall, other: FaceOfWall) -> bool:
    """Which of two walls that both end at a place keeps its end: the higher one."""
    return (wall.height_m, other.index) > (other.height_m, wall.index)


def _span_at(wall: FaceOfWall, u: float) -> tuple[float, float]:
    """Lowest and highest place of a wall's outline near a place along it, metres."""
    heights: list[float] = []
    for a, b in zip(wall.outline_m, np.roll(wall.outline_m, -1, axis=0), strict=True):
        (u0, v0), (u1, v1) = sorted((a.tolist(), b.tolist()))
        if u1 < u - NEAR_M or u0 > u + NEAR_M:
            continue
        ends = [min(max(at, u0), u1) for at in (u - NEAR_M, u + NEAR_M)]
        heights += [v0, v1] if u1 == u0 else [v0 + (at - u0) * (v1 - v0) / (u1 - u0) for at in ends]
    return min(heights, default=0.0), max(heights, default=0.0)


def _ends(
    wall: FaceOfWall, other: FaceOfWall, corner: WallCorner, depths_mm: tuple[float, float], fits: Fits
) -> tuple[End, End]:
    higher = wall.height_m >= other.height_m
    blunt = BLUNT_DEG <= corner.corner_deg <= 180
    if corner.whole or corner.corner_deg > 180 or blunt:
        end, start = corner_ends(corner.corner_deg, depths_mm, fits)
        if corner.whole or blunt:
            return end, start
        # Above the lower wall nothing hides an end that runs on, and what is behind that wall would be in its way.
        return (End(fits.gap_mm), start) if higher and end.face_mm < 0 else (end, _kept_back(start, higher, fits))
    # The higher wall keeps its end; the lower one stops behind its thickness.
    turn = radians(corner.corner_deg)
    stops = [
        End((kept + fits.gap_mm + max(0.0, cos(turn)) * own) / max(sin(turn), LEAST_SINE))
        for own, kept in (depths_mm, depths_mm[::-1])
    ]
    return (End(0.0), stops[1]) if higher else (stops[0], End(0.0))


def _kept_back(start: End, higher: bool, fits: Fits) -> End:
    return End(fits.gap_mm) if not higher and start.face_mm < 0 else start


def widest_ends(
    walls: Sequence[FaceOfWall], depths_mm: tuple[float, float], joints: Joints, settings: Settings, scale: Scale
) -> dict[int, tuple[Ends, Ends]]:
    """Ends that each wall may come to have on its left and its right, before the thickness of its skins is known.

    Parameters
    ----------
    walls, joints, settings, scale
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
    thickest = {wall.index: (wall, thick) for wall in walls}
    return {
        wall.index: (
            lefts.get(wall.index) or (free_end(wall, True, thickest, fits.gap_mm, scale),),
            rights.get(wall.index) or (free_end(wall, False, thickest, fits.gap_mm, scale),),
        )
        for wall in walls
    }


def ends_without_seams(
    wall: FaceOfWall, ends: tuple[Ends, Ends], length_mm: float, settings: Settings, cover: CoverSize
) -> list[tuple[float, float]]:
    """Spans at the ends of a wall where a seam would leave a panel no back, or its cover meet the next wall."""
    spans = []
    for either, corner in zip(ends, (wall.left, wall.right), strict=True):
        kept = max(end.reach_mm for end in either) + LEAST_FLAT_BACK_MM + settings.seam.gap_mm
        if corner is None or corner.corner_deg > 180:
            kept = max(kept, cover.half_mm + cover.out_mm)
        spans.append(kept)
    return [(0.0, spans[0]), (length_mm - spans[1], length_mm)]


def _fits(depth_mm: float, joints: Joints, settings: Settings) -> Fits:
    """Land, gap and relief; the land lies between the floor of the joints and the back."""
    land = max(settings.skin.corner_land_mm, joints.depth_mm + LAND_BELOW_JOINT_MM)
    land = min(land, joints.depth_mm + (depth_mm - joints.depth_mm) * LARGEST_LAND)
    skin, wall = settings.skin, settings.resin.min_wall_mm
    return Fits(land, skin.corner_gap_mm, skin.back_relief_mm, wall)
