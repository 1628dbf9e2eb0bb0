"""The plan of a building as regions, each under one roof."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from halfbat.building.columns import Columns, height_of
from halfbat.building.planes import PlaneFace
from halfbat.building.weld import linked

Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

#: Roofs that differ by less than this along their border join without a step, metres.
STEP_M = 0.05
#: Raised strips no wider than this along the outside are parapets, metres: two bricks and a half.
_PARAPET_M = 0.6
#: A parapet stands no higher than this above what is behind it, metres.
_TALLEST_M = 2.5
#: A parapet stands above what is behind it along this share of its length.
_RAISED_SHARE = 0.75
#: Patches raised or sunk by less than this are roof lights and the like, metres.
_PATCH_M = 0.25
_PATCH_M2 = 1.5


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
        small = _smallest_of(columns, region, roof_of, smallest_m)
        if small is None:
            break
        number, into, why = small
        area = float(cut.areas[region == number].sum())
        dissolved.append(Dissolved(int(roof_of[number]), why, area))
        solid[region == number] = into
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


def _smallest_of(columns: Columns, region: Ints, roof_of: Ints, smallest_m: float) -> tuple[int, int, str] | None:
    """Return the region to dissolve next, the roof it goes to and why; None where all can stay."""
    cut = columns.cut
    sides = region[cut.beside]
    lengths = np.hypot(*(cut.nodes[cut.ends[:, 1]] - cut.nodes[cut.ends[:, 0]]).T)
    areas = [float(cut.areas[region == number].sum()) for number in range(len(roof_of))]
    for number in sorted(range(len(roof_of)), key=lambda i: areas[i]):
        own = np.flatnonzero((sides == number).any(axis=1) & (sides[:, 0] != sides[:, 1]))
        others = np.where(sides[own, 0] == number, sides[own, 1], sides[own, 0])
        shared = {int(other): float(lengths[own[others == other]].sum()) for other in np.unique(others)}
        rises = _rises(columns, number, roof_of, own, others)
        why = _why_small(areas[number], shared, rises, lengths[own[others >= 0]], smallest_m)
        if why:
            inner = {other: length for other, length in shared.items() if other >= 0}
            keep_in = inner and (why != "small" or sum(inner.values()) > 0.25 * sum(shared.values()))
            into = max(inner, key=lambda other: inner[other]) if keep_in else -1
            return number, int(roof_of[into]) if into >= 0 else -1, why
    return None


def _rises(columns: Columns, number: int, roof_of: Ints, own: Ints, others: Ints) -> Array:
    """Return how far a region stands above its neighbours at the ends of each border edge, shape (K, 2)."""
    found = []
    for edge, other in zip(own.tolist(), others.tolist(), strict=True):
        if other >= 0:
            spots = columns.cut.nodes[columns.cut.ends[edge]]
            mine = height_of(columns.roofs[roof_of[number]], spots)
            found.append(mine - height_of(columns.roofs[roof_of[other]], spots))
    return np.array(found).reshape(-1, 2)


def _why_small(area: float, shared: dict[int, float], rises: Array, lengths: Array, smallest_m: float) -> str:
    """Say why a region cannot stay, or return an empty text."""
    around = sum(shared.values())
    outside = shared.get(-1, 0.0)
    width = 2.0 * area / around
    # Half the way round is the length of a strip, and of a square twice its side.
    strip = 0.5 * around > 6.0 * width
    high = float(lengths[rises.mean(axis=1) > STEP_M].sum()) if len(rises) else 0.0
    raised = (
        len(rises) > 0
        and rises.min() > -STEP_M
        and float(np.median(rises)) < _TALLEST_M
        and high > _RAISED_SHARE * float(lengths.sum())
    )
    if raised and outside > 0.25 * around and width < _PARAPET_M and strip:
        return "parapet"
    if len(rises) and outside == 0.0 and area < _PATCH_M2 and np.all(np.abs(rises) < _PATCH_M):
        return "patch"
    on_roof = outside == 0.0
    return "small" if width < (0.25 if on_roof else 0.5) * smallest_m else ""


def traced(directed: Iterable[tuple[int, int]]) -> list[tuple[int, int]]:
    """Return directed edges without those that are walked both ways."""
    edges = set(directed)
    return sorted(edge for edge in edges if (edge[1], edge[0]) not in edges)
