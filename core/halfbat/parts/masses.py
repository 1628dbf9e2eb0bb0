"""Masses in model size: what stands under one roof, with the skins on its sides."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.outlines import Outline, area_mm2, chamfered, stepped_back
from halfbat.settings import Settings

Array = NDArray[np.float64]
FORMER_EDGE_MM = 2.0
"""Thickness of a former at its edge: as much as its underside rises there, and a layer or two."""
LEAST_FREED_MM2 = 0.05
SEAT_MM = 0.02
"""Left free under roof skins, so that walls and former hold them nowhere off their plane."""


@dataclass(frozen=True, slots=True, eq=False)
class RoofSlope:
    """A slope seen from above, model millimetres in the building's frame.

    Parameters
    ----------
    ring_mm : ndarray (K, 2)
        Anticlockwise outline in plan.
    plane : tuple of (float, float, float)
        Height of its finished surface, ``a + b * x + c * y``.
    skin_mm : float
        Thickness of its skin, square to the slope.
    """

    ring_mm: Array
    plane: tuple[float, float, float]
    skin_mm: float

    @property
    def lowering_mm(self) -> float:
        """How far below its finished surface what carries its skin ends, plumb."""
        return float(self.skin_mm * np.sqrt(1 + self.plane[1] ** 2 + self.plane[2] ** 2)) + SEAT_MM

    def over(self, xy: Array) -> NDArray[np.bool_]:
        """Tell which places in plan (N, 2) it covers."""
        return _over(self.ring_mm, xy)

    def under_mm(self, xy: Array) -> Array:
        """Height of what carries its skin over places in plan (N, 2)."""
        a, b, c = self.plane
        return np.asarray(a + b * xy[:, 0] + c * xy[:, 1] - self.lowering_mm, dtype=np.float64)


@dataclass(frozen=True, slots=True, eq=False)
class SkinBlock:
    """What the skin of a wall takes up, glue included, that shell, lid and former must leave free.

    Parameters
    ----------
    ring_mm : ndarray (4, 2)
        Clockwise in plan, in the building's frame.
    low_mm, high_mm : float
        From which height to which, in the building's frame.
    """

    ring_mm: Array
    low_mm: float
    high_mm: float


def freed(rings: Sequence[Outline], blocks: Sequence[SkinBlock], low_mm: float, high_mm: float) -> list[Outline]:
    """Take the skins that stand between two heights out of outlines: all as rings of one union layer.

    A skin that does no more than shave an outline is left alone, since the glue behind it has room all the same.
    """
    places = np.concatenate(rings)
    low, high = places.min(axis=0), places.max(axis=0)
    near = [
        block.ring_mm
        for block in blocks
        if block.low_mm < high_mm
        and block.high_mm > low_mm
        and (block.ring_mm.min(axis=0) < high).all()
        and (block.ring_mm.max(axis=0) > low).all()
    ]
    whole = area_mm2(*rings) if near else 0.0
    return [*rings, *(ring for ring in near if whole - area_mm2(*rings, ring) > LEAST_FREED_MM2)]


@dataclass(frozen=True, slots=True, eq=False)
class PlanRing:
    """One outline of a mass in plan; a hole runs clockwise.

    Parameters
    ----------
    corners_mm : ndarray (N, 2)
        Corners of the finished faces in the building's frame.
    skin_mm : ndarray (N,)
        For each side, the whole thickness of the skin of this mass on it; 0 where it has none.
    walled : ndarray (N,) of bool
        Whether the shell has a wall along the side: not where a higher mass stands.
    outer : ndarray (N,) of bool
        Whether the side shows down to the ground, so that the ledge runs along it.
    """

    corners_mm: Array
    skin_mm: Array
    walled: NDArray[np.bool_]
    outer: NDArray[np.bool_]

    def moved(self, distances_mm: Array, chamfer_mm: float = 0.0, sharp_mm: float = 0.0) -> Outline:
        """Outline with its sides moved inward, the tips taken off its quoins, sharp ones where they are so wide."""
        ring, origin = stepped_back(self.corners_mm, distances_mm)
        quoins = self.outer & np.roll(self.outer, 1)
        single = np.bincount(origin, minlength=len(quoins)) == 1
        turned = len(np.unique(origin)) < len(quoins)
        return ring if turned else chamfered(ring, chamfer_mm, (quoins & single)[origin], sharp_mm)

    def behind(self, open_mm: float, walled_mm: float, chamfer_mm: float = 0.0, sharp_mm: float = 0.0) -> Outline:
        """Outline a distance behind the backs of the skins, another along sides without a wall."""
        return self.moved(self.skin_mm + np.where(self.walled, walled_mm, open_mm), chamfer_mm, sharp_mm)


@dataclass(frozen=True, slots=True, eq=False)
class MassStack:
    """A mass of the building.

    Parameters
    ----------
    rings : tuple of PlanRing
        Its outline, then its holes.
    slopes : tuple of RoofSlope
        Its roof where that is pitched; empty under a flat lid.
    base_mm, height_mm : float
        Foot of the walls, and the height of the flat roof or of the lowest eaves above it.
    folds : tuple of RoofSlope
        Strips beside ridges and hips of a pitched roof where the underside of the other slope's skin is the lower one.
    overhang_mm : float
        How far a lid reaches over the walls; 0 where it lies behind them.
    """

    rings: tuple[PlanRing, ...]
    slopes: tuple[RoofSlope, ...]
    base_mm: float
    height_mm: float
    folds: tuple[RoofSlope, ...] = ()
    overhang_mm: float = 0.0

    @property
    def corners_mm(self) -> Array:
        """Corners of the outline."""
        return self.rings[0].corners_mm

    @property
    def centre_mm(self) -> Array:
        """Middle of its box in plan."""
        return np.asarray((self.corners_mm.min(axis=0) + self.corners_mm.max(axis=0)) / 2, dtype=np.float64)

    def behind(self, open_mm: float, walled_mm: float) -> list[Outline]:
        """Outlines a distance behind the backs of the skins, holes included."""
        return [ring.behind(open_mm, walled_mm) for ring in self.rings]

    def shell_top_mm(self, settings: Settings) -> float:
        """Height of the shell above its own foot, in whole layers: under the lid, or under the roof former's edge."""
        foot, layer = settings.shell.ledge_height_mm, settings.filament.part_layer_mm
        if not self.slopes:
            return under_lid_mm(self.height_mm, settings)
        lowest = min(self._lowest_under(slope, settings) for slope in self.slopes)
        return float(np.floor((lowest - FORMER_EDGE_MM - self.base_mm + foot) / layer + 1e-6) * layer)

    def floor_top_mm(self, settings: Settings) -> float:
        """Height of the floor above the foot of the shell."""
        return min(settings.shell.floor_thickness_mm, self.shell_top_mm(settings) / 2)

    def _lowest_under(self, slope: RoofSlope, settings: Settings) -> float:
        """Lowest place of a skin's underside over the former."""
        fit = settings.filament.fit_mm
        edge = np.concatenate(self.behind(fit, fit))
        over = edge[_over(slope.ring_mm, edge)]
        return float(slope.under_mm(over if len(over) else slope.ring_mm).min())


def under_lid_mm(height_mm: float, settings: Settings) -> float:
    """Height of a shell above its own foot, in whole layers, under the lid of a flat roof of a height."""
    foot, layer = settings.shell.ledge_height_mm, settings.filament.part_layer_mm
    lid = settings.lid.thickness_mm if settings.lid.make else 0.0
    return float(np.floor((height_mm - lid + foot) / layer + 1e-6) * layer)


def _over(ring: Array, places: Array) -> NDArray[np.bool_]:
    """Which places lie in a ring or within a hair of it."""
    inside = np.zeros(len(places), dtype=bool)
    near = np.zeros(len(places), dtype=bool)
    for p, q in zip(ring, np.roll(ring, -1, axis=0), strict=True):
        step = q - p
        crosses = (p[1] > places[:, 1]) != (q[1] > places[:, 1])
        at = p[0] + (places[:, 1] - p[1]) * (step[0] / step[1] if step[1] else 0.0)
        inside ^= crosses & (places[:, 0] < at)
        along = np.clip(((places - p) @ step) / max(float(step @ step), 1e-12), 0, 1)
        near |= np.linalg.norm(places - p - along[:, None] * step, axis=1) < 0.05
    return inside | near
