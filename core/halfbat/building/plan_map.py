"""The plan of a building as regions, each under one roof."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from halfbat.building.columns import STEP_M, Columns, height_of
from halfbat.building.narrow import narrow_regions
from halfbat.building.planes import PlaneFace
from halfbat.building.weld import linked

Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class PlanMap:
    """Regions of the plan.

    Parameters
    ----------
    nodes : ndarray, shape (N, 2)
        Metres.
    ends : ndarray of int, shape (E, 2)
        Edges of all patches.
    beside : ndarray of int, shape (E, 2)
        Patch to the left and right of each edge.
    region : ndarray of int, shape (F,)
        Region of each patch; -1 is outside.
    roof_of : ndarray of int, shape (R,)
        Roof over each region.
    crest_of : ndarray of int, shape (F,)
        Roof that stood over each patch before small regions were dissolved, or -1.
    seen : ndarray of int, shape (F,)
        Highest roof over each patch, an overhang too, or -1.
    areas : ndarray, shape (R,)
        Area of each region.
    roofs : tuple of PlaneFace
        All roofs.
    base_m : float
        Height of the ground.
    dissolved : tuple of Dissolved
        Regions that are no more.
    """

    nodes: Array
    ends: Ints
    beside: Ints
    region: Ints
    roof_of: Ints
    crest_of: Ints
    seen: Ints
    areas: Array
    roofs: tuple[PlaneFace, ...]
    base_m: float
    dissolved: tuple[Dissolved, ...]

    @property
    def sides(self) -> Ints:
        """Region to the left and right of each edge, shape (E, 2)."""
        sides: Ints = self.region[self.beside]
        return sides

    def height(self, region: int, spots: Array) -> Array:
        """Height of a region's roof over places in plan; that of the ground for the outside."""
        if region < 0:
            return np.full(len(spots), self.base_m)
        return height_of(self.roofs[self.roof_of[region]], spots)

    def crest(self, edge: int, side: int, spots: Array) -> Array:
        """Height of what stands on one side of an edge, a parapet included."""
        face = int(self.beside[edge, side])
        heights = self.height(int(self.region[face]), spots)
        if self.region[face] >= 0 and self.crest_of[face] >= 0:
            before = height_of(self.roofs[self.crest_of[face]], spots)
            return np.where(before > heights + STEP_M, before, heights)
        return heights


@dataclass(frozen=True, slots=True, eq=False)
class Dissolved:
    """A region too small to be a part of its own.

    Parameters
    ----------
    roof : int
        Its roof.
    why : str
        ``"parapet"``, ``"patch"`` or ``"small"``.
    area_m2 : float
        Its area in plan.
    """

    roof: int
    why: str
    area_m2: float


def map_plan(columns: Columns, smallest_m: float) -> PlanMap:
    """Gather patches to regions and dissolve those that are too small.

    Parameters
    ----------
    columns : Columns
        Patches.
    smallest_m : float
        Width under which a region on the ground cannot be made; one on a roof may be a quarter of it.

    Returns
    -------
    PlanMap
    """
    cut = columns.cut
    solid = columns.solid.copy()
    solid[0] = -1
    dissolved: list[Dissolved] = []
    while True:
        region, roof_of = _regions(cut.beside, solid)
        small = narrow_regions(columns, region, roof_of, smallest_m)
        if not small:
            break
        for one in small:
            area = float(cut.areas[region == one.region].sum())
            dissolved.append(Dissolved(int(roof_of[one.region]), one.why, area))
            solid[one.patches] = one.roofs
    areas = np.array([float(cut.areas[region == number].sum()) for number in range(len(roof_of))])
    return PlanMap(
        cut.nodes,
        cut.ends,
        cut.beside,
        region,
        roof_of,
        columns.solid,
        columns.seen,
        areas,
        columns.roofs,
        columns.base_m,
        tuple(dissolved),
    )


def _regions(beside: Ints, solid: Ints) -> tuple[Ints, Ints]:
    """Number the patches that hang together under one roof, in the order of their first patch."""
    same = (solid[beside[:, 0]] == solid[beside[:, 1]]) & (solid[beside[:, 0]] >= 0)
    label = linked(len(solid), beside[same, 0], beside[same, 1])
    first, region = np.unique(np.where(solid >= 0, label, -1), return_inverse=True)
    region = region.reshape(-1).astype(np.int64)
    if len(first) and first[0] < 0:
        first, region = first[1:], region - 1
    return region, solid[first].astype(np.int64)


def traced(directed: Iterable[tuple[int, int]]) -> list[tuple[int, int]]:
    """Return directed edges without those that are walked both ways."""
    edges = set(directed)
    return sorted(edge for edge in edges if (edge[1], edge[0]) not in edges)
