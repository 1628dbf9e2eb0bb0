"""How the skin of a slope ends at its edges, and what it keeps clear of besides."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import radians, sin, tan

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import EdgeKind, Slope, SlopeEdge
from halfbat.parts.clearing import area_of, hull, plainer, without
from halfbat.parts.corners import End, Fits
from halfbat.parts.outlines import NEARLY_STRAIGHT, directions, joined_sides, set_back, sides_left
from halfbat.parts.overhung_edges import STEEPEST_LEAN, RoofEdge
from halfbat.parts.standing import Standing, columns, height_of, within
from halfbat.parts.sturdy import sturdy
from halfbat.surfaces.roofing.face import squared
from halfbat.units import Scale

Array = NDArray[np.float64]
NEARLY_LEVEL_DEG = 1.0
LEAST_EDGE_MM = 0.05
RISES_MM = 0.05
"""A wall that stands higher above a slope than this comes through it; the slope lies over others."""
LEAST_SHARED_MM2 = 1e-3
SLIDING_SINE = 0.5
FURTHEST_SLIDE = 1.5
"""How far a corner may slide along an edge that turns by less than 30 degrees, for each millimetre of depth."""
HAIR_MM = 0.01
"""What was set back by the gap already is not cut again."""


@dataclass(frozen=True, slots=True, eq=False)
class Surroundings:
    """What stands round a slope.

    Parameters
    ----------
    walls : sequence of Standing
        Skins of walls.
    slopes : sequence of Slope
        All slopes that get skins.
    """

    walls: Sequence[Standing]
    slopes: Sequence[Slope]


def ended(
    slope: Slope,
    outline: Array,
    depth_mm: float,
    fits: Fits,
    walls: Mapping[int, tuple[Array, float]],
    overhung: Sequence[RoofEdge | None],
) -> tuple[Array, list[End]]:
    """End each edge as what it is: mitred at ridges and hips, upright on the building elsewhere, clear of walls.

    Parameters
    ----------
    slope : Slope
        Edges.
    outline : ndarray (K, 2)
        Its outline, model millimetres.
    depth_mm : float
        Whole thickness of its skin.
    fits : Fits
        Land and gap.
    walls : mapping of int to (ndarray (2,), float)
        Which way each wall faces, and how thick its skin is.
    overhung : sequence of RoofEdge or None
        How each edge overhangs.

    Returns
    -------
    ndarray (M, 2), list of End
        Corners and the end of each edge; fewer where a wall takes an edge away.
    """
    ends = [
        over.end(depth_mm)
        if (over := overhung[i]) is not None
        else _end(slope, edge, outline[i], outline[(i + 1) % len(outline)], depth_mm, fits, walls)
        for i, edge in enumerate(slope.edges)
    ]
    left = sides_left(outline, [end.reach_mm for end in ends])
    if len(left) < len(outline):
        # What a wall's skin takes away goes first.
        outline, ends = joined_sides(outline, left), [ends[side] for side in left]
    return _holding(outline, ends)


def _holding(outline: Array, ends: list[End]) -> tuple[Array, list[End]]:
    """Leave the ends if every edge is long enough for them, else make them square and as far back as they reach."""
    kept = ends = _without_slides(outline, ends)
    for _ in range(2):
        distances = [[getattr(end, name) for end in kept] for name in ("face_mm", "reach_mm", "slope")]
        if all(len(set_back(outline, distance)) == len(outline) for distance in distances):
            return outline, kept
        # Square ends, far enough back to clear each other, which ridge tiles cover.
        kept = [_square(end) for end in kept]
    left = set_back(outline, [max(0.0, end.reach_mm) for end in ends])
    if not 0 < area_of(left) <= area_of(outline):
        return outline, [End(0.0)] * len(outline)
    return left, [End(0.0)] * len(left)


def _square(end: End) -> End:
    """The same end upright, as far back as it reaches."""
    return End(max(0.0, end.profile_mm[-1][0])) if end.profile_mm else end


def _without_slides(outline: Array, ends: list[End]) -> list[End]:
    """Make an edge square where its end and that of an edge almost in line with it part.

    By leaning differently they meet at a corner that slides along them by more than they lean, and passes over tiles.
    """
    along, _ = directions(outline)
    kept = list(ends)
    for k in range(len(ends)):
        turn, ahead = float(along[k - 1][0] * along[k][1] - along[k - 1][1] * along[k][0]), along[k - 1] @ along[k]
        slide = abs(kept[k - 1].slope - kept[k].slope)
        if ahead > 0 and NEARLY_STRAIGHT < abs(turn) < SLIDING_SINE and slide > FURTHEST_SLIDE * abs(turn):
            steep = max(k - 1, k, key=lambda side: abs(kept[side].slope))
            kept[steep] = _square(kept[steep])
    return kept


def _end(
    slope: Slope,
    edge: SlopeEdge,
    a: Array,
    b: Array,
    depth_mm: float,
    fits: Fits,
    walls: Mapping[int, tuple[Array, float]],
) -> End:
    if float(np.hypot(*(b - a))) < HAIR_MM / 100:
        return End(0.0)
    if edge.kind in (EdgeKind.RIDGE, EdgeKind.HIP) and edge.dihedral_deg < 180.0 - NEARLY_LEVEL_DEG:
        half = radians(edge.dihedral_deg) / 2
        shift, spread = fits.gap_mm / 2 / sin(half), 1 / tan(half)
        return End(shift, spread, ((depth_mm * spread + shift, depth_mm),))
    if edge.kind is EdgeKind.VALLEY or edge.neighbour is not None or slope.pitch_deg < NEARLY_LEVEL_DEG:
        return End(fits.gap_mm / 2 if edge.neighbour is not None else 0.0)
    clear, away, inward = 0.0, *_across(slope, a, b)
    if edge.kind in (EdgeKind.ABUTMENT, EdgeKind.PARAPET):
        clear = fits.gap_mm
        wall = walls.get(-1 if edge.wall is None else edge.wall)
        if wall is not None and wall[0] @ away[:2] < 0:
            # The slope runs to the wall's outer face: the wall's skin stands in its way.
            clear += wall[1]
    return _plumb(slope, clear, away, inward, depth_mm)


def _across(slope: Slope, a: Array, b: Array) -> tuple[Array, Array]:
    """Level direction square to an edge, into the slope, and the direction square to the edge in the slope."""
    run = (b - a) / np.linalg.norm(b - a)
    along = run[0] * slope.along + run[1] * slope.up
    inward = np.asarray(-run[1] * slope.along + run[0] * slope.up, dtype=np.float64)
    away = np.array([along[1], -along[0], 0.0])
    away = away / np.linalg.norm(away)
    return (-away if away @ inward < 0 else away), inward


def _plumb(slope: Slope, clear_mm: float, away: Array, inward: Array, depth_mm: float) -> End:
    """Cut an edge upright on the building, so that its underside closes on the wall below and stands out nowhere."""
    face = clear_mm / float(away @ inward)
    lean = float(slope.normal @ away) / float(away @ inward)
    lean = max(lean, -STEEPEST_LEAN)
    if abs(lean) * depth_mm < LEAST_EDGE_MM:
        return End(face + max(0.0, lean * depth_mm))
    return End(face, lean, ((face + lean * depth_mm, depth_mm),))


def kept_clear(
    slope: Slope,
    outline: Array,
    ends: list[End],
    depth_mm: float,
    gap_mm: float,
    scale: Scale,
    around: Surroundings,
) -> tuple[Array, list[End]]:
    """Cut a slope back where walls come through it, and where its underside would run into a slope it does not join.

    Parameters
    ----------
    slope, outline, ends, depth_mm
        As `ended` gives them.
    gap_mm : float
        Kept free.
    scale : Scale
        How small.
    around : Surroundings
        Walls and slopes.

    Returns
    -------
    ndarray (M, 2), list of End
        Corners and ends of what is left.
    """
    face = set_back(outline, [end.face_mm for end in ends])
    back = set_back(outline, [end.reach_mm for end in ends])
    if len(face) != len(ends) or len(back) != len(ends):
        return outline, ends
    plane = _Plane(slope, scale)
    through = [ring for wall in around.walls if (ring := _through(plane, face, wall, gap_mm)) is not None]
    under = [
        ring
        for other in around.slopes
        if other.index != slope.index and all(edge.neighbour != other.index for edge in slope.edges)
        for ring in _run_under(plane, back, _Plane(other, scale), depth_mm, gap_mm)
    ]
    if not through and not under:
        return outline, ends
    left, edges = without(face, [*through, *under])
    if not len(left):
        return outline, ends
    left, edges = plainer(squared(left), edges)
    following = np.roll(left, -1, axis=0)
    fresh = [
        _from_face(ends[edge]) if edge >= 0 else _plumb(slope, 0.0, *_across(slope, a, b), depth_mm)
        for edge, a, b in zip(edges, left, following, strict=True)
    ]
    return _holding(left, fresh)


def sturdy_edges(outline: Array, ends: list[End], least_mm: float) -> tuple[Array, list[End]]:
    """Leave out what of a slope's face is narrower than a length: strips, and the tips of sharp corners.

    Parameters
    ----------
    outline, ends
        As `ended` gives them.
    least_mm : float
        Smallest wall of the printer; 0 leaves all.
    """
    # Squaring the ends of what is left may bring back a tip.
    for _ in range(2 if least_mm > 0 else 0):
        face = set_back(outline, [end.face_mm for end in ends])
        left, edges = sturdy(face, least_mm) if len(face) == len(ends) else (face, list(range(len(ends))))
        if edges == list(range(len(ends))):
            break
        kept = [ends[edge] if edge >= 0 else End(0.0) for edge in edges]
        moved = set_back(left, [-end.face_mm for end in kept])
        if len(moved) != len(kept):
            break
        outline, ends = _holding(moved, kept)
    return outline, ends


def _from_face(end: End) -> End:
    """The same end, measured from where the face ends."""
    return End(0.0, end.slope, tuple((offset - end.face_mm, depth) for offset, depth in end.profile_mm))


class _Plane:
    """A slope in plan and its own frame, model millimetres."""

    def __init__(self, slope: Slope, scale: Scale) -> None:
        self.slope = slope
        self.origin = slope.origin_m * scale.mm_per_m
        n = slope.normal
        self.level = (float(self.origin @ n / n[2]), float(-n[0] / n[2]), float(-n[1] / n[2]))
        self.outline = slope.outline_m * scale.mm_per_m

    def in_slope(self, plan: Array) -> Array:
        """Places in the slope under or over places in plan (N, 2)."""
        points = np.column_stack([plan, height_of(self.level, plan)]) - self.origin
        return np.asarray(points @ np.stack([self.slope.along, self.slope.up], axis=1), dtype=np.float64)

    def in_plan(self, places: Array) -> Array:
        """Places of the slope (N, 2) in plan."""
        return np.asarray((self.origin + places @ np.stack([self.slope.along, self.slope.up]))[:, :2])


def pieces_of(ring: Array) -> list[Array]:
    """Cut a ring into convex ones."""
    return [np.array([[u0, low[0]], [u1, low[1]], [u1, high[1]], [u0, high[0]]]) for u0, u1, low, high in columns(ring)]


def _through(plane: _Plane, face: Array, wall: Standing, gap_mm: float) -> Array | None:
    """What a slope leaves free for a wall that comes through it, in the slope's frame; None where none does."""
    ring = plane.in_slope(wall.grown(gap_mm - HAIR_MM))
    ring = ring if area_of(ring) > 0 else ring[::-1]
    for piece in pieces_of(face):
        shared = within(ring, piece)
        if area_of(shared) < LEAST_SHARED_MM2:
            continue
        spot = plane.in_plan(shared.mean(axis=0, keepdims=True))
        roof = height_of(plane.level, spot)
        if height_of(wall.top, spot) > roof + RISES_MM and height_of(wall.foot, spot) < roof:
            return ring
    return None


def _run_under(plane: _Plane, back: Array, other: _Plane, depth_mm: float, gap_mm: float) -> list[Array]:
    """Where the underside of a slope's skin, which lies square below its face, would run into another slope."""
    shift = plane.slope.normal[:2] * depth_mm
    plumb = depth_mm / min(plane.slope.normal[2], other.slope.normal[2])
    found = []
    for piece in pieces_of(other.outline):
        plan = other.in_plan(piece)
        for own in pieces_of(back):
            shared = within(plan, plane.in_plan(own) - shift)
            if area_of(shared) < LEAST_SHARED_MM2:
                continue
            spot = shared.mean(axis=0, keepdims=True)
            if abs(float((height_of(plane.level, spot) - height_of(other.level, spot))[0])) < plumb:
                grown = plan + gap_mm * _outward(plan)
                ring = plane.in_slope(hull(np.concatenate([grown, grown + shift])))
                found.append(ring if area_of(ring) > 0 else ring[::-1])
                break
    return found


def _outward(ring: Array) -> Array:
    """For each corner of a ring a direction away from its middle."""
    away = ring - ring.mean(axis=0)
    return np.asarray(away / np.linalg.norm(away, axis=1)[:, None], dtype=np.float64)
