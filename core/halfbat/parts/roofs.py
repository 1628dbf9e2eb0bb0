"""Masses and slopes in model size, and where walls end under the roof."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import EdgeKind, FaceOfWall, Mass, MassSide, SideKind, Slope, Structure
from halfbat.parts.masses import MassStack, PlanRing, RoofSlope
from halfbat.parts.outlines import set_back
from halfbat.units import Scale

Array = NDArray[np.float64]
FLAT_BELOW_DEG = 3.6
"""A roof flatter than this gets a lid (common practice: falls up to 1 in 16 count as flat)."""
SAME_MM = 0.03
LEAST_FACE_MM = 3.6
"""A smaller face has no back left between two corners; the shell or the roof shows there."""
_UNDER = (EdgeKind.EAVES, EdgeKind.VERGE, EdgeKind.TOP)


def is_pitched(slope: Slope) -> bool:
    """Whether a slope has skins of its own."""
    return slope.pitch_deg > FLAT_BELOW_DEG


def eaves_m(structure: Structure) -> float:
    """Height of the walls of the largest mass at its eaves, above the foot, metres."""
    mass = structure.masses[0]
    slopes = [structure.slopes[index] for index in mass.slopes]
    return max(0.0, min(float(slope.place(slope.outline_m)[:, 2].min()) for slope in slopes) - structure.base_m)


def wall_outlines_mm(structure: Structure, skin_mm: float, scale: Scale) -> dict[int, Array]:
    """Outline of every wall's face in its own frame, lowered under the skins of pitched roofs.

    Walls too narrow or too small for a skin are left out.

    Parameters
    ----------
    structure : Structure
        Walls and slopes, metres.
    skin_mm : float
        Thickness of roof skins, square to the slope.
    scale : Scale
        How small.
    """
    outlines: dict[int, Array] = {}
    for wall in structure.walls:
        outline = np.column_stack([_gathered(values) for values in (wall.outline_m * scale.mm_per_m).T])
        a, b = wall.outline_m, np.roll(wall.outline_m, -1, axis=0)
        distances = np.zeros(len(a))
        for k in np.flatnonzero(b[:, 0] < a[:, 0] - 1e-6):
            slope = _slope_over(structure, wall, a[k], b[k])
            if slope is not None:
                run, rise = b[k] - a[k]
                # The skin's plumb thickness, measured square to the edge of the wall.
                plumb = skin_mm / np.cos(np.radians(slope.pitch_deg))
                distances[k] = plumb * abs(run) / np.hypot(run, rise)
        lowered = set_back(outline, distances)
        if len(lowered) != len(outline):
            continue
        face = _plain(np.column_stack([_gathered(values) for values in lowered.T]))
        if min(np.ptp(face, axis=0)) >= LEAST_FACE_MM and _area(face) >= LEAST_FACE_MM**2:
            outlines[wall.index] = face
    return outlines


def _plain(outline: Array) -> Array:
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


def _gathered(values: Array) -> Array:
    """Make values that differ by less than can be printed the same, so that no edge is almost level or upright."""
    order = np.argsort(values)
    fresh = np.concatenate([[True], np.diff(values[order]) > SAME_MM])
    group = np.cumsum(fresh) - 1
    means = np.bincount(group, weights=values[order]) / np.bincount(group)
    gathered = np.empty_like(values)
    gathered[order] = means[group]
    gathered[values == values.min()] = values.min()
    return np.asarray(np.where(np.abs(gathered) < SAME_MM, 0.0, gathered), dtype=np.float64)


def _slope_over(structure: Structure, wall: FaceOfWall, a: Array, b: Array) -> Slope | None:
    """The pitched slope whose eaves or verge lies along the top edge of a wall."""
    middle = np.array([*(wall.start_m + wall.along * (a[0] + b[0]) / 2), structure.base_m + (a[1] + b[1]) / 2])
    best, nearest = None, 0.1
    for slope in structure.slopes:
        if not is_pitched(slope) or not any(e.wall == wall.index and e.kind in _UNDER for e in slope.edges):
            continue
        off = abs(float((middle - slope.origin_m) @ slope.normal))
        if off < nearest:
            best, nearest = slope, off
    return best


def mass_stacks(structure: Structure, skins_mm: dict[int, float], roof_mm: float, scale: Scale) -> list[MassStack]:
    """Bring the masses that stand on the ground to model size.

    Parameters
    ----------
    structure : Structure
        Masses and slopes, metres.
    skins_mm : dict of int to float
        Thickness of the skin of each wall.
    roof_mm : float
        Thickness of roof skins.
    scale : Scale
        How small.
    """
    stacks = []
    for mass in structure.masses:
        if mass.on_roof:
            continue
        slopes = [structure.slopes[index] for index in mass.slopes]
        pitched = tuple(_roof_slope(slope, roof_mm, scale) for slope in slopes if any(map(is_pitched, slopes)))
        low = min(float(slope.place(slope.outline_m)[:, 2].min()) for slope in slopes)
        if not pitched:
            low = float(np.mean([slope.place(slope.outline_m)[:, 2].mean() for slope in slopes]))
        rings = (_ring(mass.plan_m, mass.sides, skins_mm, scale),)
        stacks.append(MassStack(rings, pitched, scale.to_mm(structure.base_m), scale.to_mm(low - structure.base_m)))
    return stacks


def _roof_slope(slope: Slope, roof_mm: float, scale: Scale) -> RoofSlope:
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


def masses_left_out(structure: Structure) -> list[Mass]:
    """Masses that stand on a roof: dormers and chimneys."""
    return [mass for mass in structure.masses if mass.on_roof]
