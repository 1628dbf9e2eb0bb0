"""Regions whose roofs join without a step become masses."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from halfbat.building.border import Border, Borders, crests_over, pieces_round
from halfbat.building.columns import STEP_M
from halfbat.building.plan_map import PlanMap
from halfbat.building.rings import ring_area, trace_rings
from halfbat.building.slope_edges import joint_of
from halfbat.building.structure import EdgeKind, Mass, MassSide, SideKind
from halfbat.building.weld import linked

Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

#: Roofs that meet along this share of their border are one roof, with small steps in it.
_JOINED_SHARE = 0.6
#: What stands on a flat roof and is smaller in plan is a chimney, a vent or a plant box, square metres.
_LEAST_STOREY_M2 = 4.0
#: Upward share of the normal of a flat roof, as one tilted a little has it; steeper ones get skins.
_FLAT = float(np.cos(np.radians(3.6)))


def group_regions(plan: PlanMap, borders: Borders) -> list[int]:
    """Return the mass of each region, the largest mass first.

    Two regions belong together if their roofs meet along most of their common border; a dormer,
    which meets the slope behind it in valleys but rises above it elsewhere, is a mass of its own.

    Parameters
    ----------
    plan : PlanMap
        Regions.
    borders : Borders
        Their borders.

    Returns
    -------
    list of int
    """
    common: dict[tuple[int, int], float] = {}
    level: dict[tuple[int, int], float] = {}
    convex: dict[tuple[int, int], float] = {}
    for piece in borders.pieces:
        if piece.left < 0 or piece.right < 0:
            continue
        spots = borders.nodes[[piece.start, piece.end]]
        length = float(np.hypot(*(spots[1] - spots[0])))
        own = plan.height(piece.left, spots)
        # A party wall between two roofs parts them, however level they are.
        one, two = crests_over(plan, piece, spots)
        rise = np.abs(one - two)
        pair = (min(piece.left, piece.right), max(piece.left, piece.right))
        common[pair] = common.get(pair, 0.0) + length
        if np.all(rise <= STEP_M):
            level[pair] = level.get(pair, 0.0) + length
            roof, other = (plan.roofs[plan.roof_of[region]] for region in (piece.left, piece.right))
            if joint_of(roof, other, spots, own)[0] is not EdgeKind.VALLEY:
                convex[pair] = convex.get(pair, 0.0) + length
    # A ridge or a hip makes two slopes one roof; in a valley two roofs may merely meet.
    pairs = [pair for pair, length in convex.items() if length >= _JOINED_SHARE * common[pair]]
    firm = np.array(pairs, dtype=np.int64).reshape(-1, 2)
    label = _joined(linked(len(plan.roof_of), firm[:, 0], firm[:, 1]), common, level)
    alive = {side for piece in borders.pieces for side in (piece.left, piece.right) if side >= 0}
    sizes = {int(one): float(plan.areas[label == one].sum()) for one in np.unique(label)}
    order = sorted((one for one in sizes if _any_alive(label, one, alive)), key=lambda one: -sizes[one])
    place = {one: number for number, one in enumerate(order)}
    return [place.get(int(one), -1) for one in label]


def _joined(label: Ints, common: dict[tuple[int, int], float], level: dict[tuple[int, int], float]) -> Ints:
    """Join groups of regions, those first that meet over the greatest length, each judged as a whole."""
    label = label.copy()
    while True:
        shared: dict[tuple[int, int], list[float]] = {}
        for (one, two), length in common.items():
            pair = tuple(sorted((int(label[one]), int(label[two]))))
            sums = shared.setdefault((pair[0], pair[1]), [0.0, 0.0])
            sums[0] += length
            sums[1] += level.get((one, two), 0.0)
        able = [
            (sums[1], pair)
            for pair, sums in shared.items()
            if pair[0] != pair[1] and sums[1] > 0.0 and sums[1] >= _JOINED_SHARE * sums[0]
        ]
        if not able:
            return label
        _, (low, high) = max(able)
        label[label == high] = low


def _any_alive(label: Ints, one: int, alive: set[int]) -> bool:
    return any(int(region) in alive for region in np.flatnonzero(label == one))


def masses_of(
    plan: PlanMap, borders: Borders, mass_of: Sequence[int], slopes_of: Mapping[int, int], wall_at: Mapping[Border, int]
) -> list[Mass]:
    """Outline each mass and say what stands beyond each of its sides.

    Parameters
    ----------
    plan : PlanMap
        Regions.
    borders : Borders
        Their borders.
    mass_of : sequence of int
        Mass of each region.
    slopes_of : mapping of int to int
        Slope of each region.
    wall_at : mapping of Border to int
        Wall over each border, walked with the higher region on its left.

    Returns
    -------
    list of Mass
    """
    masses = []
    for number in range(max(mass_of, default=-1) + 1):
        regions = {region for region, mass in enumerate(mass_of) if mass == number}
        rings = outlined(pieces_round(borders.pieces, regions), borders.nodes)
        outer: list[tuple[Array, tuple[MassSide, ...]]] = []
        holes: list[tuple[Array, tuple[MassSide, ...]]] = []
        for pieces in rings:
            corners, sides = _sides(plan, borders, pieces, mass_of, wall_at)
            (outer if ring_area(corners) > 0.0 else holes).append((corners, sides))
        outer.sort(key=lambda found: -ring_area(found[0]))
        slopes = tuple(sorted(slopes_of[region] for region in regions if region in slopes_of))
        masses.append(
            Mass(
                number,
                slopes,
                outer[0][0],
                outer[0][1],
                tuple(corners for corners, _ in holes),
                tuple(sides for _, sides in holes),
            )
        )
    flat = {
        mass: all(plan.roofs[plan.roof_of[region]].normal[2] > _FLAT for region in np.flatnonzero(of == mass))
        for of in [np.asarray(mass_of)]
        for mass in set(mass_of)
    }
    return [replace(mass, storey=_is_storey(mass, flat)) for mass in masses]


def _is_storey(mass: Mass, flat: Mapping[int, bool]) -> bool:
    """Whether a mass on others is a storey of its own; on slopes it would be a dormer, and small it is a chimney."""
    beside = {side.other for side in mass.sides}
    large = abs(ring_area(mass.plan_m)) >= _LEAST_STOREY_M2
    return mass.on_roof and large and all(other is not None and flat[other] for other in beside)


def outlined(pieces: Sequence[Border], nodes: Array) -> list[list[Border]]:
    """Join pieces of border to rings, their regions on the left."""
    by_ends = {(piece.start, piece.end): piece for piece in pieces}
    rings = trace_rings(sorted(by_ends), nodes)
    return [[by_ends[a, b] for a, b in zip(ring, [*ring[1:], ring[0]], strict=True)] for ring in rings]


def _sides(
    plan: PlanMap, borders: Borders, ring: Sequence[Border], mass_of: Sequence[int], wall_at: Mapping[Border, int]
) -> tuple[Array, tuple[MassSide, ...]]:
    """Return the corners of a ring and its sides, straight ones of one kind joined."""
    sides = [_side(plan, borders, piece, mass_of, wall_at) for piece in ring]
    corners = [borders.nodes[piece.start] for piece in ring]
    keep = [i for i in range(len(ring)) if sides[i - 1] != sides[i] or _bends(corners, i)]
    return np.array([corners[i] for i in keep]), tuple(sides[i] for i in keep)


def _bends(corners: Sequence[Array], i: int) -> bool:
    a, p, b = corners[i - 1], corners[i], corners[(i + 1) % len(corners)]
    chord = b - a
    return bool(abs(chord[0] * (p - a)[1] - chord[1] * (p - a)[0]) > 0.002 * np.hypot(*chord))


def _side(
    plan: PlanMap, borders: Borders, piece: Border, mass_of: Sequence[int], wall_at: Mapping[Border, int]
) -> MassSide:
    wall = wall_at.get(piece, wall_at.get(piece.reversed()))
    if piece.right < 0:
        return MassSide(SideKind.OUTER, wall, None)
    spots = borders.nodes[[piece.start, piece.end]]
    left, right = crests_over(plan, piece, spots)
    rise = float((left - right).sum())
    return MassSide(SideKind.STEP_DOWN if rise > 0.0 else SideKind.STEP_UP, wall, mass_of[piece.right])
