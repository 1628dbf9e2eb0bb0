"""Roof slopes drawn out beyond the walls at eaves and verges."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import cos, radians, tan

import numpy as np
import numpy.typing as npt

from halfbat.building.rings import inside_rings
from halfbat.building.structure import EdgeKind, Slope, SlopeEdge, Structure
from halfbat.building.weld import linked
from halfbat.findings import Finding, Severity

Array = npt.NDArray[np.float64]

#: A roof that reaches beyond its walls by more than this overhangs already, metres.
OVERHANGS_M = 0.04
#: What is under or behind an overhang keeps this far from it, metres.
_CLEAR_M = 0.05
_PITCHED_DEG = 3.6
_PROBES = 9
#: Slopes whose common edge parts by more than this no longer join, metres.
_TOGETHER_M = 0.02
#: Sine of the angle under which two sides lie on one line.
_STRAIGHT = 0.02


@dataclass(frozen=True, slots=True)
class Overhang:
    """How far a roof reaches beyond its walls, measured level.

    Parameters
    ----------
    eaves_m, verge_m : float
        At eaves and at verges, metres; 0 leaves them as the mesh has them.
    depth_m : float
        Thickness of the roof under its finished surface, plumb, which must clear what is below.
    """

    eaves_m: float
    verge_m: float
    depth_m: float = 0.0


def reach_beyond_wall_m(structure: Structure, slope: Slope, place: int) -> float | None:
    """Return how far an edge of a slope lies beyond the wall behind it, metres; None without such a wall.

    Parameters
    ----------
    structure : Structure
        The building.
    slope : Slope
        One of its slopes.
    place : int
        Which edge of its outline.
    """
    edge = slope.edges[place]
    if edge.wall is None or edge.kind not in (EdgeKind.EAVES, EdgeKind.VERGE, EdgeKind.TOP):
        return None
    wall = structure.walls[edge.wall]
    ends = slope.place(slope.outline_m[[place, (place + 1) % len(slope.outline_m)]])[:, :2]
    return float(((ends - wall.start_m) @ wall.outward).min())


def with_overhangs(structure: Structure, asked: Overhang) -> Structure:
    """Draw the pitched slopes of a building out beyond its walls.

    An edge that overhangs in the mesh stays where it is, and one that would run into another part of the building does
    too, with a finding. Eaves that meet at a hip or valley drop by the same height, so that they stay level all round.

    Parameters
    ----------
    structure : Structure
        As measured on the mesh.
    asked : Overhang
        How far.
    """
    if asked.eaves_m <= 0 and asked.verge_m <= 0:
        return structure
    drops = _drops(structure, asked.eaves_m)
    drawn = [slope for slope in structure.slopes if slope.pitch_deg > _PITCHED_DEG and not _on_roof(structure, slope)]
    reaches = {}
    stopped = 0
    for slope in drawn:
        reaches[slope.index], blocked = _reaches(structure, slope, drops[slope.index], asked)
        stopped += blocked
    moved, parted = _agreed(drawn, reaches)
    stopped += parted
    slopes = [_with_outline(slope, moved[slope.index]) if slope.index in moved else slope for slope in structure.slopes]
    told: tuple[Finding, ...] = ()
    if stopped:
        edges = "one edge" if stopped == 1 else f"{stopped} edges"
        text = f"left without an overhang, because another part of the building is in the way: {edges} of the roof"
        told = (Finding(Severity.NOTE, "overhang-stopped", "", text),)
    return replace(structure, slopes=tuple(slopes), findings=(*structure.findings, *told))


def _on_roof(structure: Structure, slope: Slope) -> bool:
    return any(slope.index in mass.slopes and mass.on_roof for mass in structure.masses)


def _drops(structure: Structure, eaves_m: float) -> list[float]:
    """How far the eaves of each slope drop: the same for all that meet at hips and valleys."""
    pairs = [
        (slope.index, edge.neighbour)
        for slope in structure.slopes
        for edge in slope.edges
        if edge.neighbour is not None and edge.kind in (EdgeKind.HIP, EdgeKind.VALLEY)
    ]
    ends = np.array(pairs, dtype=np.int64).reshape(-1, 2)
    group = linked(len(structure.slopes), ends[:, 0], ends[:, 1])
    pitch = np.array([max(slope.pitch_deg, _PITCHED_DEG) for slope in structure.slopes])
    return [eaves_m * tan(radians(float(pitch[group == group[i]].min()))) for i in range(len(pitch))]


def _reaches(structure: Structure, slope: Slope, drop_m: float, asked: Overhang) -> tuple[list[float], int]:
    """Return how far each edge moves level, and how many edges were stopped."""
    reach, stopped = [], 0
    for place, edge in enumerate(slope.edges):
        wanted = 0.0
        if edge.kind is EdgeKind.EAVES:
            wanted = min(asked.eaves_m, drop_m / tan(radians(slope.pitch_deg)))
        elif edge.kind in (EdgeKind.VERGE, EdgeKind.TOP):
            wanted = asked.verge_m
        already = reach_beyond_wall_m(structure, slope, place)
        if wanted > 0 and (already is None or already > OVERHANGS_M):
            wanted = 0.0
        if wanted > 0 and _meets_another(structure, slope, place, wanted, asked.depth_m):
            wanted, stopped = 0.0, stopped + 1
        reach.append(wanted)
    return reach, stopped


def _meets_another(structure: Structure, slope: Slope, place: int, reach_m: float, depth_m: float) -> bool:
    """Whether an edge moved out would run into another slope, or into what carries it."""
    a, b = slope.place(slope.outline_m[[place, (place + 1) % len(slope.outline_m)]])
    run = (b - a)[:2] / max(float(np.hypot(*(b - a)[:2])), 1e-9)
    outward = np.array([run[1], -run[0]])
    # Eaves that end in a valley run on to it, whatever is there.
    valleys = {edge.neighbour for edge in slope.edges if edge.kind is EdgeKind.VALLEY}
    beside = valleys if slope.edges[place].kind is EdgeKind.EAVES else set()
    shares = (np.arange(_PROBES) + 0.5)[:, None] / _PROBES
    for share in (0.1, 0.5, 1.0):
        spots = a[:2] + shares * (b - a)[:2] + outward * (reach_m * share)
        under = _height(slope, spots) - depth_m - _CLEAR_M
        for other in structure.slopes:
            if other is slope or other.index in beside:
                continue
            inside = inside_rings([other.place(other.outline_m)[:, :2]], spots)
            if (inside & (_height(other, spots) > under)).any():
                return True
    return False


def _height(slope: Slope, spots: Array) -> Array:
    n = slope.normal
    return np.asarray(slope.origin_m[2] - ((spots - slope.origin_m[:2]) @ n[:2]) / n[2], dtype=np.float64)


@dataclass(frozen=True, slots=True, eq=False)
class _Moved:
    """An outline drawn out, its edges, which of them are the old ones, and whether none turned over."""

    outline_m: Array
    edges: tuple[SlopeEdge, ...]
    own: tuple[int, ...]
    kept: bool

    def ends(self, place: int) -> Array:
        """Both ends of an old edge."""
        first = self.own[place]
        return self.outline_m[[first, (first + 1) % len(self.outline_m)]]


def _agreed(slopes: Sequence[Slope], reaches: dict[int, list[float]]) -> tuple[dict[int, _Moved], int]:
    """Move the edges of all slopes; where two slopes would part at their common edge, its neighbours stay.

    Also return how many edges stayed so.
    """
    wanted = {index: list(reach) for index, reach in reaches.items()}
    by_index = {slope.index: slope for slope in slopes}
    while True:
        moved = {slope.index: _drawn_out(slope, wanted[slope.index]) for slope in slopes}
        still = False
        for slope in slopes:
            if not moved[slope.index].kept and any(wanted[slope.index]):
                wanted[slope.index] = [0.0] * len(slope.edges)
                still = True
        for slope in slopes:
            for place, edge in enumerate(slope.edges):
                other = by_index.get(-1 if edge.neighbour is None else edge.neighbour)
                twin = None if other is None else _twin(slope, place, other)
                if other is None or twin is None or not _parts(slope, place, other, twin, moved):
                    continue
                for one, at in ((slope, place), (other, twin)):
                    for beside in (at - 1, (at + 1) % len(one.edges)):
                        still = still or wanted[one.index][beside] > 0
                        wanted[one.index][beside] = 0.0
        if not still:
            stayed = sum(old > 0 and new == 0 for i in wanted for old, new in zip(reaches[i], wanted[i], strict=True))
            return moved, stayed


def _twin(slope: Slope, place: int, other: Slope) -> int | None:
    """The edge of another slope that runs along an edge of this one."""
    ends = slope.place(slope.outline_m)[[place, (place + 1) % len(slope.outline_m)]]
    corners = other.place(other.outline_m)
    for at, edge in enumerate(other.edges):
        there = corners[[(at + 1) % len(corners), at]]
        if edge.neighbour == slope.index and float(np.abs(there - ends).max()) < _TOGETHER_M:
            return at
    return None


def _parts(slope: Slope, place: int, other: Slope, twin: int, moved: dict[int, _Moved]) -> bool:
    """Whether the ends of a common edge no longer fall together as they did."""
    before = [
        own.place(own.outline_m[[at, (at + 1) % len(own.outline_m)]]) for own, at in ((slope, place), (other, twin))
    ]
    after = [own.place(moved[own.index].ends(at)) for own, at in ((slope, place), (other, twin))]
    shift, other_shift = after[0] - before[0], (after[1] - before[1])[::-1]
    return bool(np.abs(shift - other_shift).max() > _TOGETHER_M)


def _drawn_out(slope: Slope, reach_m: Sequence[float]) -> _Moved:
    """Move the edges of a slope outward by distances measured level."""
    along = np.roll(slope.outline_m, -1, axis=0) - slope.outline_m
    along /= np.maximum(np.linalg.norm(along, axis=1), 1e-9)[:, None]
    outward = np.stack([along[:, 1], -along[:, 0]], axis=1)
    # An upright plane moved out level by 1 cuts the slope further away, the steeper the more.
    stretch = np.array([_stretch(slope, o) for o in outward])
    return _moved_sides(slope, along, outward, np.array(reach_m) * stretch)


def _with_outline(slope: Slope, moved: _Moved) -> Slope:
    corner = moved.outline_m.min(axis=0)
    origin = slope.origin_m + corner[0] * slope.along + corner[1] * slope.up
    holes = tuple(hole - corner for hole in slope.holes_m)
    return replace(slope, outline_m=moved.outline_m - corner, edges=moved.edges, holes_m=holes, origin_m=origin)


def _stretch(slope: Slope, outward: Array) -> float:
    away = outward[0] * slope.along + outward[1] * slope.up
    run = -outward[1] * slope.along + outward[0] * slope.up
    level = np.array([run[1], -run[0], 0.0])
    level /= max(float(np.linalg.norm(level)), 1e-9)
    return 1.0 / max(abs(float(away @ level)), cos(radians(80.0)))


def _moved_sides(slope: Slope, along: Array, outward: Array, by: Array) -> _Moved:
    """Return corners where sides meet that were moved outward.

    Where two sides lie on one line and move by different distances, a step joins them.
    """
    corners: list[Array] = []
    edges: list[SlopeEdge] = []
    own: list[int] = []
    for i, corner in enumerate(slope.outline_m):
        p, q = corner + outward[i - 1] * by[i - 1], corner + outward[i] * by[i]
        rate = float(along[i - 1][0] * along[i][1] - along[i - 1][1] * along[i][0])
        if abs(rate) >= _STRAIGHT:
            gap = q - p
            corners.append(p + along[i - 1] * (float(gap[0] * along[i][1] - gap[1] * along[i][0]) / rate))
        else:
            if float(np.hypot(*(q - p))) > 1e-6:
                corners.append(p)
                edges.append(SlopeEdge(EdgeKind.VERGE, None, None, 180.0))
            corners.append(q)
        own.append(len(edges))
        edges.append(slope.edges[i])
    moved = np.array(corners)
    steps = np.roll(moved, -1, axis=0) - moved
    kept = bool((np.einsum("ij,ij->i", steps[own], along) > 0).all())
    return _Moved(moved, tuple(edges), tuple(own), kept)
