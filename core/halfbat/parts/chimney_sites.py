"""Where chimneys stand on a roof: those of the mesh, and those the maker asks for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfbat.building.rings import inside_rings, ring_area
from halfbat.building.structure import EdgeKind, Mass, Slope, Structure
from halfbat.errors import KitError
from halfbat.settings import ChimneyRequest, Settings
from halfbat.surfaces.chosen import length_in_bricks_m
from halfbat.units import Scale

Array = NDArray[np.float64]
LARGEST_M2 = 6.0
"""What stands on a roof under a flat top is a chimney up to this size in plan (common practice, no source)."""
FLAT_DEG = 15.0
POT_EVERY_M = 0.35
LEAST_RISE_M = 0.4
"""What rises less above the roof behind it is a dormer."""
_UP = np.array([0.0, 0.0, 1.0])


@dataclass(frozen=True, slots=True, eq=False)
class ChimneySite:
    """A chimney on a roof, model millimetres in the building's frame.

    Parameters
    ----------
    middle : ndarray (2,)
        In plan.
    along : ndarray (2,)
        Unit vector along its longer side.
    size_mm : tuple of float
        Along that and across.
    top_mm : float
        Height of its brickwork.
    slopes : tuple of int
        Slopes it stands on.
    pots : int
        How many.
    where : str
        What to call it in a refusal.
    """

    middle: Array
    along: Array
    size_mm: tuple[float, float]
    top_mm: float
    slopes: tuple[int, ...]
    pots: int
    where: str

    @property
    def across(self) -> Array:
        """Unit vector across, to the left of `along`."""
        return np.array([-self.along[1], self.along[0]])

    def ring(self, grown_mm: float = 0.0) -> Array:
        """Corners in plan, anticlockwise from the one at the low end of both sides."""
        u, v = self.size_mm[0] / 2 + grown_mm, self.size_mm[1] / 2 + grown_mm
        corners = np.array([[-u, -v], [u, -v], [u, v], [-u, v]])
        return np.asarray(self.middle + corners @ np.stack([self.along, self.across]))


def chimney_masses(structure: Structure) -> list[Mass]:
    """Masses on a roof that are chimneys: small and flat on top."""
    return [
        mass
        for mass in structure.masses
        if mass.on_roof
        and ring_area(mass.plan_m) <= LARGEST_M2
        and all(structure.slopes[index].pitch_deg <= FLAT_DEG for index in mass.slopes)
    ]


def chimney_sites(
    structure: Structure, slopes: Sequence[Slope], settings: Settings, scale: Scale
) -> tuple[list[ChimneySite], list[Mass]]:
    """Find the chimneys of a kit.

    Parameters
    ----------
    structure : Structure
        The building.
    slopes : sequence of Slope
        Those that get skins.
    settings : Settings
        What the maker asks for.
    scale : Scale
        How small.

    Returns
    -------
    list of ChimneySite, list of Mass
        Chimneys, and the masses of the mesh that they are.

    Raises
    ------
    KitError
        A chimney that is asked for does not stand on a pitched roof.
    """
    sites, made = [], []
    for mass in chimney_masses(structure):
        site = _of_mass(structure, mass, slopes, scale)
        if site is not None:
            sites.append(site)
            made.append(mass)
    for number, request in enumerate(settings.chimneys, start=1):
        sites.append(_asked(structure, request, slopes, settings, scale, f"chimney {number}"))
    return sites, made


def height_on(slope: Slope, spots: Array) -> Array:
    """Height of a slope's plane over places in plan (N, 2), metres."""
    n = slope.normal
    return np.asarray(slope.origin_m[2] - ((spots - slope.origin_m[:2]) @ n[:2]) / n[2], dtype=np.float64)


def _of_mass(structure: Structure, mass: Mass, slopes: Sequence[Slope], scale: Scale) -> ChimneySite | None:
    """A chimney of the mesh as the rectangle round its plan, None where it is none."""
    steps = np.roll(mass.plan_m, -1, axis=0) - mass.plan_m
    lengths = np.linalg.norm(steps, axis=1)
    along = steps[int(np.argmax(lengths))] / lengths.max()
    across = np.array([-along[1], along[0]])
    flat = mass.plan_m @ np.stack([along, across], axis=1)
    low, high = flat.min(axis=0), flat.max(axis=0)
    middle = (low + high) / 2 @ np.stack([along, across])
    size = high - low
    walls = {side.wall for side in mass.sides if side.wall is not None}
    under = [
        slope.index
        for slope in slopes
        if any(edge.wall in walls for edges in (slope.edges, *slope.hole_edges) for edge in edges)
        or inside_rings([slope.place(slope.outline_m)[:, :2]], middle[None])[0]
    ]
    top = float(np.mean([height_on(structure.slopes[index], middle[None])[0] for index in mass.slopes]))
    ring = middle + np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * size / 2 @ np.stack([along, across])
    beside = [np.min([height_on(slope, ring) for slope in slopes if slope.index in under], axis=0)] if under else []
    if not beside or top - float(beside[0].max()) < LEAST_RISE_M:
        return None
    mm = scale.mm_per_m
    pots = max(1, round(float(size[0]) / POT_EVERY_M) - 1)
    return ChimneySite(
        middle * mm, along, (float(size[0]) * mm, float(size[1]) * mm), top * mm, tuple(under), min(pots, 4), "chimney"
    )


def _asked(
    structure: Structure, request: ChimneyRequest, slopes: Sequence[Slope], settings: Settings, scale: Scale, where: str
) -> ChimneySite:
    wall = next(wall for wall in structure.walls if wall.letter == request.wall)
    at, width, depth, height = (
        length_in_bricks_m(text, settings.brick) for text in (request.at, request.width, request.depth, request.height)
    )
    foot = wall.start_m + wall.along * at
    if request.behind:
        behind = length_in_bricks_m(request.behind, settings.brick)
    else:
        behind = _to_ridge(slopes, foot, -wall.outward, where)
    middle = foot - wall.outward * behind
    half = np.array([width, depth]) / 2
    ring = middle + np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * half @ np.stack([wall.along, -wall.outward])
    under = [slope for slope in slopes if inside_rings([slope.place(slope.outline_m)[:, :2]], ring).any()]
    on = [inside_rings([slope.place(slope.outline_m)[:, :2]], ring) for slope in under]
    if not under or not np.any(on, axis=0).all():
        raise KitError(
            "it does not stand wholly on a pitched roof", where, "move it, or make it smaller in width and depth"
        )
    highest = max(float(height_on(slope, ring[own]).max()) for slope, own in zip(under, on, strict=True))
    if not request.behind:
        highest = max(highest, float(np.min([height_on(slope, middle[None])[0] for slope in under])))
    mm = scale.mm_per_m
    along, size = (wall.along, (width, depth)) if width >= depth else (-wall.outward, (depth, width))
    indices = tuple(slope.index for slope in under)
    return ChimneySite(
        middle * mm, along, (size[0] * mm, size[1] * mm), (highest + height) * mm, indices, request.pots, where
    )


def _to_ridge(slopes: Sequence[Slope], foot: Array, inward: Array, where: str) -> float:
    """How far behind a place on a wall the nearest ridge lies."""
    found = []
    for slope in slopes:
        points = slope.place(slope.outline_m)[:, :2]
        for place, edge in enumerate(slope.edges):
            if edge.kind is not EdgeKind.RIDGE:
                continue
            a, b = points[place], points[(place + 1) % len(points)]
            step = b - a
            rate = float(inward[0] * step[1] - inward[1] * step[0])
            if abs(rate) < 1e-6:
                continue
            gap = a - foot
            far = float(gap[0] * step[1] - gap[1] * step[0]) / rate
            share = float(gap[0] * inward[1] - gap[1] * inward[0]) / rate
            if far > 0 and -1e-6 <= share <= 1 + 1e-6:
                found.append(far)
    if not found:
        raise KitError("there is no ridge behind the wall there", where, 'say how far behind it stands: behind = "1 m"')
    return min(found)
