"""Masses and slopes in model size, and where walls end under the roof."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from halfbat.building.plan import crossing_pairs
from halfbat.building.structure import EdgeKind, FaceOfWall, Mass, MassSide, SideKind, Slope, SlopeEdge, Structure
from halfbat.parts.clearing import without
from halfbat.parts.masses import MassStack, PlanRing, RoofSlope, under_lid_mm
from halfbat.parts.outlines import corner_moves, directions, set_back
from halfbat.parts.plan_lines import on_walls
from halfbat.settings import Settings
from halfbat.units import Scale

Array = NDArray[np.float64]
FLAT_BELOW_DEG = 3.6
"""A roof flatter than this gets a lid (common practice: falls up to 1 in 16 count as flat)."""
SAME_MM = 0.03
LEAST_FOLD = 0.01
"""Slopes whose gradients differ by less are one plane."""
LEAST_FLAT_MM = 0.3
LEAST_FACE_MM = 3.6
"""A smaller face has no back left between two corners; the shell or the roof shows there."""
LEAST_STRIP_MM = 0.005
HAIR_MM = 0.002
_UNDER = (EdgeKind.EAVES, EdgeKind.VERGE, EdgeKind.TOP)


def is_pitched(slope: Slope) -> bool:
    """Whether a slope has skins of its own."""
    return slope.pitch_deg > FLAT_BELOW_DEG


def eaves_m(structure: Structure) -> float:
    """Height of the walls of the largest mass at its eaves, above the foot, metres."""
    mass = structure.masses[0]
    slopes = [structure.slopes[index] for index in mass.slopes]
    return max(0.0, min(float(slope.place(slope.outline_m)[:, 2].min()) for slope in slopes) - structure.base_m)


def wall_outlines_mm(
    structure: Structure,
    skin_mm: float,
    depths_mm: Mapping[int, float],
    scale: Scale,
    lids_mm: Mapping[int, float] = MappingProxyType({}),
) -> dict[int, Array]:
    """Outline of every wall's face in its own frame, lowered under the skins of pitched roofs.

    Walls too narrow or too small for a skin are left out, and those of what stands on a roof.

    Parameters
    ----------
    structure : Structure
        Walls and slopes, metres.
    skin_mm : float
        Thickness of roof skins, square to the slope.
    depths_mm : mapping of int to float
        Thickness of the skin of each wall, at least as thick as it will be; 0 where not given.
    scale : Scale
        How small.
    lids_mm : mapping of int to float
        By how much a wall is lowered under the lid of a flat roof, for each such slope.
    """
    outlines: dict[int, Array] = {}
    on_roof = {mass.index for mass in masses_left_out(structure)}
    for wall in structure.walls:
        if wall.mass in on_roof:
            continue
        outline = np.column_stack([gathered(values) for values in (wall.outline_m * scale.mm_per_m).T])
        ends = np.roll(outline, -1, axis=0)
        a, b = wall.outline_m, np.roll(wall.outline_m, -1, axis=0)
        distances = np.zeros(len(a))
        for k in np.flatnonzero(b[:, 0] < a[:, 0] - 1e-6):
            slope = _slope_over(structure, wall, a[k], b[k], lids_mm)
            if slope is not None and slope.index in lids_mm:
                distances[k] = lids_mm[slope.index]
            elif slope is not None:
                run, rise = ends[k] - outline[k]
                drop = _drop_mm(
                    structure, wall, slope, (outline[k], ends[k]), skin_mm, depths_mm.get(wall.index, 0.0), scale
                )
                # Measured square to the edge of the wall.
                distances[k] = drop * abs(run) / np.hypot(run, rise)
        lowered = set_back(outline, distances)
        if len(lowered) != len(outline):
            continue
        if len(crossing_pairs(lowered, np.roll(lowered, -1, axis=0))):
            # A part of the wall is lower than the roof's skin is thick: the rest is what stands.
            lowered = without(lowered, [])[0]
        face = plain(np.column_stack([gathered(values) for values in lowered.T]))
        if min(np.ptp(face, axis=0)) >= LEAST_FACE_MM and _area(face) >= LEAST_FACE_MM**2:
            outlines[wall.index] = face
    return outlines


def _drop_mm(
    structure: Structure,
    wall: FaceOfWall,
    slope: Slope,
    ends: tuple[Array, Array],
    skin_mm: float,
    depth_mm: float,
    scale: Scale,
) -> float:
    """How far the top edge of a wall must come down, so that the whole thickness of its skin is under the roof's."""
    over = roof_slope(slope, skin_mm, scale)
    start, foot = wall.start_m * scale.mm_per_m, scale.to_mm(structure.base_m)
    drops = [0.0]
    for u, v in ends:
        places = np.array([start + wall.along * u - wall.outward * d for d in (0.0, depth_mm)])
        drops.append(float(v - (over.under_mm(places).min() - foot)))
    return max(drops)


def plain(outline: Array) -> Array:
    """Leave out corners that fall together or lie on a straight line."""
    kept = outline
    while len(kept) > 3:
        before, after = np.roll(kept, 1, axis=0), np.roll(kept, -1, axis=0)
        a, b = kept - before, after - kept
        turn = np.abs(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0])
        needless = np.flatnonzero(turn <= 1e-3 * np.maximum(np.hypot(*a.T), np.hypot(*b.T)))
        if not len(needless):
            return kept
        kept = np.delete(kept, needless[0], axis=0)
    return kept


def _area(ring: Array) -> float:
    x, y = ring[:, 0], ring[:, 1]
    return float((x * np.roll(y, -1) - y * np.roll(x, -1)).sum()) / 2


def gathered(values: Array) -> Array:
    """Make values that differ by less than can be printed the same, so that no edge is almost level or upright."""
    order = np.argsort(values)
    fresh = np.concatenate([[True], np.diff(values[order]) > SAME_MM])
    group = np.cumsum(fresh) - 1
    means = np.bincount(group, weights=values[order]) / np.bincount(group)
    gathered = np.empty_like(values)
    gathered[order] = means[group]
    gathered[values == values.min()] = values.min()
    return np.asarray(np.where(np.abs(gathered) < SAME_MM, 0.0, gathered), dtype=np.float64)


def _slope_over(
    structure: Structure, wall: FaceOfWall, a: Array, b: Array, lids_mm: Mapping[int, float]
) -> Slope | None:
    """The slope whose skin or lid lies over the top edge of a wall."""
    middle = np.array([*(wall.start_m + wall.along * (a[0] + b[0]) / 2), structure.base_m + (a[1] + b[1]) / 2])
    best, nearest = None, 0.1
    for slope in structure.slopes:
        covers = is_pitched(slope) or slope.index in lids_mm
        if not covers or not any(e.wall == wall.index and e.kind in _UNDER for e in slope.edges):
            continue
        off = abs(float((middle - slope.origin_m) @ slope.normal))
        if off < nearest:
            best, nearest = slope, off
    return best


def mass_stacks(
    structure: Structure, skins_mm: dict[int, float], roof_mm: float, settings: Settings, scale: Scale
) -> list[MassStack]:
    """Bring the masses that stand on the ground to model size.

    Parameters
    ----------
    structure : Structure
        Masses and slopes, metres.
    skins_mm : dict of int to float
        Thickness of the skin of each wall.
    roof_mm : float
        Thickness of roof skins.
    settings : Settings
        Overhang of flat roofs, lid and shell.
    scale : Scale
        How small.
    """
    stacks = []
    lids = lids_over_walls_mm(structure, settings, scale)
    for mass in structure.masses:
        if mass.on_roof:
            continue
        slopes = [structure.slopes[index] for index in mass.slopes]
        pitched = tuple(roof_slope(slope, roof_mm, scale) for slope in slopes if any(map(is_pitched, slopes)))
        folds = tuple(folds_of(slopes, roof_mm, scale)) if pitched else ()
        low = min(float(slope.place(slope.outline_m)[:, 2].min()) for slope in slopes)
        if not pitched:
            low = float(np.mean([slope.place(slope.outline_m)[:, 2].mean() for slope in slopes]))
        over = scale.to_mm(settings.roof.flat_overhang_mm / 1000) if mass.slopes[0] in lids else 0.0
        outlines = [(mass.plan_m, mass.sides), *_open_holes(mass, structure)]
        rings = tuple(_ring(on_walls(ring, sides, structure), sides, skins_mm, scale) for ring, sides in outlines)
        base, height = scale.to_mm(structure.base_m), scale.to_mm(low - structure.base_m)
        stacks.append(MassStack(rings, pitched, base, height, folds, over))
    return stacks


def lids_over_walls_mm(structure: Structure, settings: Settings, scale: Scale) -> dict[int, float]:
    """By how much the walls of each flat roof are lowered, so that its lid reaches over them; not behind a parapet.

    Parameters
    ----------
    structure : Structure
        Masses and slopes, metres.
    settings : Settings
        Overhang of flat roofs, lid and shell.
    scale : Scale
        How small.
    """
    lowered: dict[int, float] = {}
    if not settings.lid.make or scale.to_mm(settings.roof.flat_overhang_mm / 1000) < LEAST_FLAT_MM:
        return lowered
    for mass in structure.masses:
        slopes = [structure.slopes[index] for index in mass.slopes]
        parapet = any(edge.kind is EdgeKind.PARAPET for slope in slopes for edge in slope.edges)
        if mass.on_roof or parapet or any(map(is_pitched, slopes)):
            continue
        level = float(np.mean([slope.place(slope.outline_m)[:, 2].mean() for slope in slopes]))
        height = scale.to_mm(level - structure.base_m)
        top = under_lid_mm(height, settings) - settings.shell.ledge_height_mm
        lowered.update({slope.index: height - top + settings.skin.corner_gap_mm / 2 for slope in slopes})
    return lowered


def folds_of(slopes: Sequence[Slope], roof_mm: float, scale: Scale) -> list[RoofSlope]:
    """Strips beside ridges and hips where the underside of the neighbour's skin is the lower one.

    Of two slopes of unequal pitch the steeper one's underside lies lower by more, so that they meet aside of the edge.
    """
    found = {slope.index: roof_slope(slope, roof_mm, scale) for slope in slopes}
    strips = []
    for slope in slopes:
        own = found[slope.index]
        along = np.roll(own.ring_mm, -1, axis=0) - own.ring_mm
        inward = (
            np.stack([-along[:, 1], along[:, 0]], axis=1) / np.maximum(np.linalg.norm(along, axis=1), 1e-9)[:, None]
        )
        others = [_beyond(edge, found) for edge in slope.edges]
        distances = np.array([aside_mm(own, other, inward[k]) for k, other in enumerate(others)])
        for k, other in enumerate(others):
            j = (k + 1) % len(along)
            if other is not None and distances[k] > LEAST_STRIP_MM:
                # A hair beyond the edge too, since corners of the slopes beside it are rounded each for itself.
                edge = own.ring_mm[[k, j]] - inward[k] * HAIR_MM
                ring = np.array([*edge, *_inner_side(own.ring_mm, distances, k)[::-1]])
                strips.append(RoofSlope(ring, other.plane, other.skin_mm))
    return strips


def _inner_side(ring: Array, distances: Array, k: int) -> Array:
    """Inner side (2, 2) of the strip beside an edge: mitred where a strip goes on, else up to the edge beside it.

    Where that edge runs on almost straight, their lines meet far from the corner, and the strip ends nearly square.
    """
    along, inward = directions(ring)
    moves = corner_moves(ring, distances)
    found = []
    for corner, beside, way in ((k, k - 1, 1.0), ((k + 1) % len(ring), (k + 1) % len(ring), -1.0)):
        # How far the corner moves along the edge, to the middle of it.
        slide = way * float(moves[corner] @ along[k])
        convex = way * float(along[beside][0] * along[k][1] - along[beside][1] * along[k][0]) > 0
        if distances[beside] <= LEAST_STRIP_MM and not (convex and slide > 0):
            slide = float(np.clip(slide, -distances[k], distances[k]))
        found.append(ring[corner] + inward[k] * distances[k] + along[k] * (way * slide))
    if (found[1] - found[0]) @ along[k] < 0:
        found = [(found[0] + found[1]) / 2] * 2
    return np.array(found)


def _beyond(edge: SlopeEdge, slopes: Mapping[int, RoofSlope]) -> RoofSlope | None:
    """The slope beyond a ridge or hip."""
    if edge.kind not in (EdgeKind.RIDGE, EdgeKind.HIP) or edge.neighbour is None:
        return None
    return slopes.get(edge.neighbour)


def aside_mm(own: RoofSlope, other: RoofSlope | None, inward: Array) -> float:
    """How far inside an edge the undersides of the skins beside it meet; 0 where that is beyond the edge.

    That is at the foot of their mitre, whether or not the edge is just where the planes of the slopes cross.

    Parameters
    ----------
    own, other : RoofSlope
        The slope, and the one beyond its ridge or hip if there is one.
    inward : ndarray (2,)
        Unit vector in plan, square to the edge and into the slope.
    """
    if other is None or float(np.hypot(*(np.array(own.plane[1:]) - np.array(other.plane[1:])))) < LEAST_FOLD:
        return 0.0
    one, two = (np.array([-slope.plane[1], -slope.plane[2], 1.0]) for slope in (own, other))
    one, two = one / np.linalg.norm(one), two / np.linalg.norm(two)
    foot = -own.skin_mm * (one + two) / (1 + one @ two)
    return max(0.0, float(foot[:2] @ inward))


def roof_slope(slope: Slope, roof_mm: float, scale: Scale) -> RoofSlope:
    """A slope seen from above."""
    places = slope.place(slope.outline_m) * scale.mm_per_m
    n, origin = slope.normal, slope.origin_m * scale.mm_per_m
    plane = (float(origin @ n / n[2]), float(-n[0] / n[2]), float(-n[1] / n[2]))
    return RoofSlope(places[:, :2], plane, roof_mm)


def _ring(plan_m: Array, sides: tuple[MassSide, ...], skins_mm: dict[int, float], scale: Scale) -> PlanRing:
    low = np.array([side.kind is SideKind.STEP_UP for side in sides])
    skin = [
        0.0 if side.kind is SideKind.STEP_UP or side.wall is None else skins_mm.get(side.wall, 0.0) for side in sides
    ]
    outer = np.array([side.kind is SideKind.OUTER for side in sides])
    return PlanRing(plan_m * scale.mm_per_m, np.array(skin), ~low, outer)


def _open_holes(mass: Mass, structure: Structure) -> list[tuple[Array, tuple[MassSide, ...]]]:
    """Courtyards of a mass and masses that stand on the ground within it; its roof goes on under those on it."""
    return [
        (ring, sides)
        for ring, sides in zip(mass.holes_m, mass.hole_sides, strict=True)
        if any(side.other is None or not structure.masses[side.other].on_roof for side in sides)
    ]


def masses_left_out(structure: Structure) -> list[Mass]:
    """Masses that stand on a roof: dormers and chimneys."""
    return [mass for mass in structure.masses if mass.on_roof]
