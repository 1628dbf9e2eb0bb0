"""Regions of the plan too narrow to be parts of their own: parapets, party walls, slivers and patches of a roof."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from halfbat.building.columns import STEP_M, Columns, height_of
from halfbat.building.weld import linked

Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

#: Raised strips no wider than this along the outside are parapets, metres: two bricks and a half.
_PARAPET_M = 0.6
#: A parapet stands no higher than this above what is behind it, metres.
_TALLEST_M = 2.5
#: A parapet stands above what is behind it along this share of its length.
_RAISED_SHARE = 0.75
#: A region that steps down along more than this share of its outline has skins on both of its sides.
_FACED_SHARE = 0.6
#: Patches raised or sunk by less than this are roof lights and the like, metres.
_PATCH_M = 0.25
_PATCH_M2 = 1.5
#: One that is flush along more than this share of its outline, and lies in another plane, is a facet of the roof.
_FLUSH_M = 0.01
_JOINED_SHARE = 0.6
_OTHER_PLANE = 0.97


@dataclass(frozen=True, slots=True, eq=False)
class Narrow:
    """A region that cannot stay.

    Parameters
    ----------
    region : int
        Which.
    why : str
        ``"parapet"``, ``"patch"`` or ``"small"``.
    patches : ndarray of int, shape (K,)
        Its patches.
    roofs : ndarray of int, shape (K,)
        The roof that each goes to, -1 for the outside.
    """

    region: int
    why: str
    patches: Ints
    roofs: Ints


def narrow_regions(columns: Columns, region: Ints, roof_of: Ints, smallest_m: float) -> list[Narrow]:
    """Find what of the plan is to be dissolved next.

    Parameters
    ----------
    columns : Columns
        Patches.
    region : ndarray of int, shape (F,)
        Region of each patch; -1 is outside.
    roof_of : ndarray of int, shape (R,)
        Roof over each region.
    smallest_m : float
        Shortest wall with room for a skin between two corners, metres.

    Returns
    -------
    list of Narrow
        One region, or all of a parapet; none where all can stay.
    """
    bounds = _Bounds(columns, region, roof_of)
    parapets = bounds.parapets()
    for number in sorted(range(len(roof_of)), key=lambda i: bounds.areas[i]):
        whole = parapets[number]
        edges = bounds.edges_of(whole)
        if _is_parapet(bounds, whole, edges):
            return [_into(bounds, one, whole, "parapet") for one in whole]
        edges = bounds.edges_of([number])
        why = _why_small(bounds, number, edges, smallest_m)
        if why:
            return [_into(bounds, number, [number], why)]
    return []


class _Bounds:
    """Borders of all regions, and what stands beyond them."""

    def __init__(self, columns: Columns, region: Ints, roof_of: Ints) -> None:
        cut = columns.cut
        self.columns, self.region, self.roof_of = columns, region, roof_of
        self.sides: Ints = region[cut.beside]
        self.lengths: Array = np.hypot(*(cut.nodes[cut.ends[:, 1]] - cut.nodes[cut.ends[:, 0]]).T)
        self.areas = [float(cut.areas[region == number].sum()) for number in range(len(roof_of))]
        self.border: Ints = np.flatnonzero(self.sides[:, 0] != self.sides[:, 1])

    def edges_of(self, regions: Sequence[int]) -> _Edges:
        """Borders round some regions taken as one."""
        own = np.isin(self.sides[self.border], list(regions))
        edges = self.border[own[:, 0] != own[:, 1]]
        first = np.isin(self.sides[edges, 0], list(regions))
        inner = np.where(first, self.sides[edges, 0], self.sides[edges, 1])
        outer = np.where(first, self.sides[edges, 1], self.sides[edges, 0])
        return _Edges(inner, outer, self.lengths[edges], self._rises(edges, inner, outer))

    def _rises(self, edges: Ints, inner: Ints, outer: Ints) -> Array:
        """How far the inner side stands above the outer at both ends of each edge; infinitely above the outside."""
        rises = np.full((len(edges), 2), np.inf)
        for place, (edge, one, other) in enumerate(zip(edges.tolist(), inner.tolist(), outer.tolist(), strict=True)):
            if other >= 0:
                spots = self.columns.cut.nodes[self.columns.cut.ends[edge]]
                mine, theirs = (height_of(self.columns.roofs[self.roof_of[side]], spots) for side in (one, other))
                rises[place] = mine - theirs
        return rises

    def shared(self, regions: Sequence[int]) -> dict[int, float]:
        """Length of border that some regions taken as one share with each other one, -1 for the outside."""
        edges = self.edges_of(regions)
        return _sums(edges.outer, edges.lengths_m)

    def rises(self, regions: Sequence[int]) -> dict[int, float]:
        """How far some regions stand above each other one, the mean over their common border."""
        edges = self.edges_of(regions)
        mean = edges.rises_m.mean(axis=1) * edges.lengths_m
        return {
            other: float(mean[edges.outer == other].sum()) / length for other, length in self.shared(regions).items()
        }

    def turned(self, number: int, edges: _Edges) -> bool:
        """Say whether a region is turned by more than 14 degrees against the one beyond most of its outline."""
        shared = _sums(edges.outer, edges.lengths_m)
        most = max(shared, key=lambda other: shared[other])
        own, other = (self.columns.roofs[self.roof_of[side]].normal for side in (number, most))
        return bool(own @ other < _OTHER_PLANE)

    def beside(self, patch: int) -> dict[int, float]:
        """Length of border that a patch shares with other regions."""
        faces = self.columns.cut.beside
        own = np.flatnonzero((faces == patch).any(axis=1))
        others = np.where(faces[own, 0] == patch, self.sides[own, 1], self.sides[own, 0])
        return _sums(others, self.lengths[own])

    def parapets(self) -> list[list[int]]:
        """Name for each region those narrow ones along the outside that it hangs together with, itself first."""
        count = len(self.roof_of)
        slim = np.zeros(count, dtype=np.bool_)
        for number in range(count):
            edges = self.edges_of([number])
            slim[number] = edges.outside_m > 0.0 and _width(self.areas[number], edges.around_m) < _PARAPET_M
        pairs = self.sides[self.border]
        pairs = pairs[(pairs >= 0).all(axis=1)]
        pairs = pairs[slim[pairs].all(axis=1)]
        label = linked(count, pairs[:, 0], pairs[:, 1])
        return [
            [one, *(np.flatnonzero((label == label[one]) & (np.arange(count) != one)).tolist())] for one in range(count)
        ]


@dataclass(frozen=True, slots=True, eq=False)
class _Edges:
    """Edges round some regions: the region on either side, -1 outside, their lengths, and the rises at both ends."""

    inner: Ints
    outer: Ints
    lengths_m: Array
    rises_m: Array

    @property
    def around_m(self) -> float:
        return float(self.lengths_m.sum())

    @property
    def outside_m(self) -> float:
        return float(self.lengths_m[self.outer < 0].sum())

    @property
    def within(self) -> npt.NDArray[np.bool_]:
        """Which lie beside another region."""
        return self.outer >= 0

    def raised_m(self) -> float:
        """Length over which it stands above what is beyond, the outside included."""
        return float(self.lengths_m[self.rises_m.mean(axis=1) > STEP_M].sum())


def _sums(names: Ints, lengths: Array) -> dict[int, float]:
    """Length for each name."""
    return {int(name): float(lengths[names == name].sum()) for name in np.unique(names)}


def _width(area: float, around: float) -> float:
    """Width of the rectangle with an area and an outline."""
    half = 0.5 * around
    return (half - float(np.sqrt(max(half * half - 4.0 * area, 0.0)))) / 2.0


def _is_parapet(bounds: _Bounds, whole: Sequence[int], edges: _Edges) -> bool:
    """Whether regions along the outside are together a strip that stands above what is behind it."""
    inner = edges.within
    around, outside = edges.around_m, edges.outside_m
    if not inner.any() or outside <= 0.25 * around:
        return False
    rises, lengths = edges.rises_m[inner], edges.lengths_m[inner]
    width = 2.0 * sum(bounds.areas[one] for one in whole) / around
    # Half the way round is the length of a strip, and of a square twice its side.
    strip = 0.5 * around > 6.0 * width
    high = float(lengths[rises.mean(axis=1) > STEP_M].sum())
    raised = rises.min() > -STEP_M and float(np.median(rises)) < _TALLEST_M
    return bool(width < _PARAPET_M and strip and raised and high > _RAISED_SHARE * float(lengths.sum()))


def _why_small(bounds: _Bounds, number: int, edges: _Edges, smallest_m: float) -> str:
    """Say why a region by itself cannot stay, or return an empty text."""
    around, outside = edges.around_m, edges.outside_m
    rises = edges.rises_m[edges.within]
    area = bounds.areas[number]
    if len(rises) and outside == 0.0 and area < _PATCH_M2 and np.all(np.abs(rises) < _PATCH_M):
        # A facet that joins those round it at ridges, hips or valleys is roof like them, however small.
        joined = float(edges.lengths_m[np.abs(edges.rises_m).max(axis=1) < _FLUSH_M].sum())
        if joined < _JOINED_SHARE * around or not bounds.turned(number, edges):
            return "patch"
    on_roof = outside == 0.0
    small = 2.0 * area / around < (0.25 if on_roof else 0.5) * smallest_m
    # Skins on both sides need room for each and for a wall between them.
    thin = not on_roof and edges.raised_m() > _FACED_SHARE * around and _width(area, around) < smallest_m
    if not small and not thin:
        return ""
    upstand = not on_roof and outside < 0.75 * around and rises.min() > -STEP_M
    return "parapet" if upstand else "small"


def _into(bounds: _Bounds, number: int, whole: Sequence[int], why: str) -> Narrow:
    """Give each patch of a region to the neighbour with the longest common border, or to the outside."""
    patches = np.flatnonzero(bounds.region == number)
    whole_shared, shared = bounds.shared(whole), bounds.shared([number])
    inner = {other: length for other, length in shared.items() if other >= 0 and other not in whole}
    if why == "small" and sum(inner.values()) <= 0.25 * sum(shared.values()):
        return Narrow(number, why, patches, np.full(len(patches), -1))
    inner = inner or {other: length for other, length in whole_shared.items() if other >= 0}
    rises = bounds.rises(whole)

    def best(shared: dict[int, float]) -> int:
        long = [other for other, length in shared.items() if length > 0.5 * max(shared.values())]
        # Behind the lower one stands a higher roof, and what rises from it is the taller wall.
        return min(long, key=lambda other: (round(rises.get(other, 0.0), 3), -shared[other]), default=-1)

    into = best(inner)
    roofs = []
    for patch in patches.tolist():
        beside = {other: length for other, length in bounds.beside(patch).items() if other in inner}
        own = best(beside) if beside else into
        roofs.append(int(bounds.roof_of[own]) if own >= 0 else -1)
    return Narrow(number, why, patches, np.array(roofs, dtype=np.int64))
