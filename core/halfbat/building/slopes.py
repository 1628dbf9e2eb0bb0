"""Regions become slopes: outlines in the roof's own plane, overhang included."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from halfbat.building.border import Border, Borders, pieces_round
from halfbat.building.columns import height_of
from halfbat.building.plan_map import PlanMap, traced
from halfbat.building.planes import PlaneFace, plane_axes
from halfbat.building.rings import ring_area, trace_rings
from halfbat.building.slope_edges import EdgeJudge
from halfbat.building.structure import Slope, SlopeEdge

Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

#: Roofs reaching beyond the walls by less than this do not overhang, metres.
_OVERHANG_M = 0.04
#: A roof tilted by less than this has no direction of its own, degrees.
_FLAT_DEG = 0.5
#: Corners nearer than this to the line between their neighbours are dropped, metres.
_STRAIGHT_M = 0.01
_NO_LENGTH_M = 1e-6


def slopes_of(plan: PlanMap, borders: Borders, judge: EdgeJudge) -> list[Slope]:
    """Outline the slopes.

    Parameters
    ----------
    plan : PlanMap
        Regions.
    borders : Borders
        Their borders.
    judge : EdgeJudge
        Says what each edge is, and which slope each region is.

    Returns
    -------
    list of Slope
    """
    beyond = _overhangs(plan)
    slopes = []
    for region, index in sorted(judge.slope_of.items(), key=lambda item: item[1]):
        faces = beyond.get(region)
        rings = _round_faces(plan, borders, region, beyond) if faces else _round_region(borders, region)
        roof = plan.roofs[plan.roof_of[region]]
        outlines = [_cleaned(borders, judge, ring, roof) for ring in rings]
        slopes.append(_slope(index, roof, [found for found in outlines if len(found[0]) >= 3]))
    return slopes


def _overhangs(plan: PlanMap) -> dict[int, set[int]]:
    """Return for each region with an overhang the patches beyond the walls that its roof covers."""
    found: dict[int, set[int]] = {}
    lengths = np.hypot(*(plan.nodes[plan.ends[:, 1]] - plan.nodes[plan.ends[:, 0]]).T)
    for region, roof in enumerate(plan.roof_of.tolist()):
        inside = set(np.flatnonzero(plan.region == region).tolist())
        free = set(np.flatnonzero((plan.seen == roof) & (plan.region != region)).tolist()) - {0}
        reached: set[int] = set()
        grown = True
        while grown:
            touching = plan.beside[np.isin(plan.beside, list(inside | reached)).any(axis=1)]
            more = (set(np.unique(touching).tolist()) & free) - reached
            grown = bool(more)
            reached |= more
        if not reached:
            continue
        area = _area_of(plan, reached)
        around = np.isin(plan.beside, list(reached)).sum(axis=1) == 1
        if area > _OVERHANG_M * float(lengths[around].sum()) / 2.0:
            found[region] = reached
    return found


def _area_of(plan: PlanMap, faces: set[int]) -> float:
    """Return the area of patches, from the edges round them."""
    inside = np.isin(plan.beside, list(faces))
    a, b = plan.nodes[plan.ends[:, 0]], plan.nodes[plan.ends[:, 1]]
    cross = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    return float((cross * (inside[:, 0].astype(float) - inside[:, 1])).sum() / 2.0)


def _round_region(borders: Borders, region: int) -> list[list[tuple[Border, bool]]]:
    pieces = pieces_round(borders.pieces, {region})
    return _rings([(piece, False) for piece in pieces], borders.nodes)


def _round_faces(
    plan: PlanMap, borders: Borders, region: int, overhangs: dict[int, set[int]]
) -> list[list[tuple[Border, bool]]]:
    """Return the edges round a region and its overhang, each with whether it overhangs."""
    beyond = overhangs[region]
    owner = plan.region.copy()
    for other, patches in overhangs.items():
        owner[list(patches)] = other
    faces = beyond | set(np.flatnonzero(plan.region == region).tolist())
    inside = np.isin(plan.beside, list(faces))
    edges: dict[tuple[int, int], tuple[Border, bool]] = {}
    for edge in np.flatnonzero(inside[:, 0] != inside[:, 1]).tolist():
        own = 0 if inside[edge, 0] else 1
        a, b = (int(borders.standing[node]) for node in plan.ends[edge])
        start, end = (a, b) if own == 0 else (b, a)
        face, other = int(plan.beside[edge, own]), int(owner[plan.beside[edge, 1 - own]])
        crest = int(plan.roof_of[other]) if other >= 0 else -1
        piece = _known(borders, start, end) if face not in beyond else None
        made = Border(start, end, region, other, int(plan.roof_of[region]), crest)
        edges[start, end] = (piece or made, face in beyond)
    kept = traced(pair for pair in edges if pair[0] != pair[1])
    rings = trace_rings(kept, borders.nodes)
    return [[edges[pair] for pair in zip(ring, [*ring[1:], ring[0]], strict=True)] for ring in rings]


def _known(borders: Borders, start: int, end: int) -> Border | None:
    """Return the border piece from one node to another, or None where it was joined to a longer one."""
    for piece in borders.pieces:
        if (piece.start, piece.end) == (start, end):
            return piece
        if (piece.end, piece.start) == (start, end):
            return piece.reversed()
    return None


def _rings(edges: Sequence[tuple[Border, bool]], nodes: Array) -> list[list[tuple[Border, bool]]]:
    by_ends = {(piece.start, piece.end): (piece, beyond) for piece, beyond in edges}
    rings = trace_rings(sorted(by_ends), nodes)
    return [[by_ends[pair] for pair in zip(ring, [*ring[1:], ring[0]], strict=True)] for ring in rings]


def _cleaned(
    borders: Borders, judge: EdgeJudge, ring: Sequence[tuple[Border, bool]], roof: PlaneFace
) -> tuple[Array, tuple[SlopeEdge, ...]]:
    """Return corners in space, shape (K, 3), and edges; straight ones of one kind joined, none without length."""
    spots = [borders.nodes[piece.start] for piece, _ in ring]
    edges = [judge.judge(piece, borders.nodes[[piece.start, piece.end]], overhangs) for piece, overhangs in ring]
    changed = True
    while changed and len(spots) > 3:
        changed = False
        for i in range(len(spots)):
            a, p, b = spots[i - 1], spots[i], spots[(i + 1) % len(spots)]
            chord = b - a
            off = abs(float(chord[0] * (p - a)[1] - chord[1] * (p - a)[0])) / max(float(np.hypot(*chord)), 1e-9)
            if float(np.hypot(*(b - p))) < _NO_LENGTH_M or (
                off <= _STRAIGHT_M and _alike(edges[i - 1], edges[i]) and float((p - a) @ (b - p)) > 0.0
            ):
                spots.pop(i)
                edges.pop(i)
                changed = True
                break
    plan = np.array(spots)
    return np.column_stack([plan, height_of(roof, plan)]), tuple(edges)


def _alike(one: SlopeEdge, two: SlopeEdge) -> bool:
    return (one.kind, one.neighbour, one.wall) == (two.kind, two.neighbour, two.wall)


def _slope(index: int, roof: PlaneFace, outlines: Sequence[tuple[Array, tuple[SlopeEdge, ...]]]) -> Slope:
    along, up = plane_axes(roof.normal)
    if roof.tilt_deg < _FLAT_DEG:
        along, up = _along_longest(roof.normal, outlines[0][0])
    frame = np.stack([along, up], axis=1)
    flat = [(points @ frame, edges) for points, edges in outlines]
    flat.sort(key=lambda found: -ring_area(found[0]))
    corner = flat[0][0].min(axis=0)
    # The plane's own distance from the origin, along its normal.
    reach = float(roof.centre @ roof.normal)
    origin = corner[0] * along + corner[1] * up + reach * roof.normal
    return Slope(
        index,
        str(index + 1),
        roof.normal,
        origin,
        along,
        up,
        0.0 if roof.tilt_deg < 1e-4 else math.degrees(math.acos(min(1.0, float(roof.normal[2])))),
        flat[0][0] - corner,
        tuple(ring - corner for ring, _ in flat[1:]),
        flat[0][1],
        tuple(edges for _, edges in flat[1:]),
    )


def _along_longest(normal: Array, ring: Array) -> tuple[Array, Array]:
    """Return u and v of a flat roof, u along the longest edge of its outline."""
    steps = np.roll(ring, -1, axis=0) - ring
    longest = steps[int(np.argmax(np.linalg.norm(steps, axis=1)))]
    along = longest - normal * float(longest @ normal)
    along = along / np.linalg.norm(along)
    return along, np.cross(normal, along)
