"""What stands over each patch of the ground: the roof on top of it, and whether it is solid below."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from halfbat.building.overlay import Overlay, overlay
from halfbat.building.planes import PlaneFace, PlaneKind
from halfbat.building.regular import regular_segments
from halfbat.building.rings import inside_rings
from halfbat.building.roof_crossings import ridges_into_walls, roof_crossings

Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]

#: Points of the plan nearer than this are one, metres.
PLAN_M = 0.01
#: Roofs that differ by less than this along their border join without a step, metres.
STEP_M = 0.05
#: Roofs over each other by less than this are one surface drawn twice, metres.
_SAME_M = 0.02
#: Where a column is asked whether it is solid, as shares of the height between two roofs.
_SHARES = (0.1, 0.3, 0.5, 0.7, 0.9)
_HEADINGS = np.radians(3.7 + 40.0 * np.arange(9) + 1.9 * np.arange(9) ** 2)


@dataclass(frozen=True, slots=True, eq=False)
class Columns:
    """The plan cut into patches, each under one roof.

    Parameters
    ----------
    cut : Overlay
        The patches: its faces.
    roofs : tuple of PlaneFace
        Planes that look up.
    solid : ndarray of int, shape (F,)
        The highest roof over each patch with the building under it, or -1.
    seen : ndarray of int, shape (F,)
        The highest roof of all, an overhang too, or -1.
    base_m : float
        Height of the ground.
    """

    cut: Overlay
    roofs: tuple[PlaneFace, ...]
    solid: Ints
    seen: Ints
    base_m: float


def find_columns(
    points: Array,
    bodies: Sequence[Sequence[PlaneFace]],
    base_m: float,
    play_m: float,
    feet: Sequence[PlaneFace] = (),
) -> Columns:
    """Cut the plan along all roofs and walls and see what stands over each patch.

    Parameters
    ----------
    points : ndarray, shape (N, 3)
        Points of the planes, metres.
    bodies : sequence of sequences of PlaneFace
        Outward, without recesses; each closed body of the mesh by itself, as bodies may overlap.
    base_m : float
        Height of the ground.
    play_m : float
        Nearly common lines this far apart are brought onto one.
    feet : sequence of PlaneFace
        Undersides on higher ground: what lies under them counts as solid.

    Returns
    -------
    Columns
    """
    planes = [plane for body in bodies for plane in body]
    roofs = [plane for plane in planes if plane.kind is not PlaneKind.WALL and plane.normal[2] > 0.0]
    roofs = [roof for roof in roofs if points[roof.rings[0]][:, 2].max() > base_m + 0.1]
    walls = [plane for plane in planes if plane.kind is PlaneKind.WALL]
    segments = [_ring_segments(points, roof) for roof in roofs] + [_trace(points, wall) for wall in walls]
    segments += [roof_crossings(points, roofs), ridges_into_walls(points, roofs, walls)]
    pairs = np.concatenate(segments) if segments else np.zeros((0, 2, 2))
    starts, ends = regular_segments(pairs[:, 0], pairs[:, 1], play_m)
    cut = overlay(starts, ends, PLAN_M)
    heights = _heights(points, roofs, cut.spots)
    grounds = np.maximum(_heights(points, feet, cut.spots).max(axis=1, initial=base_m), base_m)
    solid, seen = _tops(points, bodies, cut.spots, heights, grounds)
    return Columns(cut, tuple(roofs), solid, seen, base_m)


def height_of(roof: PlaneFace, spots: Array) -> Array:
    """Return the height of a roof's plane over places in plan, shape (N, 2), metres."""
    slope = roof.normal[:2] / roof.normal[2]
    heights: Array = roof.centre[2] - (np.asarray(spots) - roof.centre[:2]) @ slope
    return heights


def _ring_segments(points: Array, roof: PlaneFace) -> Array:
    rings = [points[ring][:, :2] for ring in roof.rings]
    return np.concatenate([np.stack([ring, np.roll(ring, -1, axis=0)], axis=1) for ring in rings])


def _trace(points: Array, wall: PlaneFace) -> Array:
    """Return the line of a wall in plan, from end to end, cut at its corners."""
    spots = points[np.concatenate(wall.rings)][:, :2]
    along = wall.axes[0][:2]
    across = np.array([-along[1], along[0]])
    share = np.unique(np.round(spots @ along, 4))
    off = float((spots @ across).max() + (spots @ across).min()) / 2.0
    line = share[:, None] * along + off * across
    return np.stack([line[:-1], line[1:]], axis=1)


def _heights(points: Array, roofs: Sequence[PlaneFace], spots: Array) -> Array:
    """Return the height of each roof over each spot, shape (F, R); minus infinity beside it."""
    heights = np.full((len(spots), len(roofs)), -np.inf)
    inner: Flags = np.asarray(np.isfinite(spots).all(axis=1))
    for number, roof in enumerate(roofs):
        under = inside_rings([points[ring][:, :2] for ring in roof.rings], np.where(inner[:, None], spots, 1e9)) & inner
        heights[under, number] = height_of(roof, spots[under])
    return heights


def _tops(
    points: Array, bodies: Sequence[Sequence[PlaneFace]], spots: Array, heights: Array, grounds: Array
) -> tuple[Ints, Ints]:
    """Find the highest roof with something solid under it down to the ground there, and the highest of all."""
    solid = np.full(len(spots), -1, dtype=np.int64)
    seen = np.full(len(spots), -1, dtype=np.int64)
    asked: list[tuple[int, int]] = []
    probes: list[Array] = []
    for face, row in enumerate(heights):
        over = [int(i) for i in np.argsort(-row, kind="stable") if row[i] > grounds[face] + _SAME_M]
        if over:
            seen[face] = over[0]
        for place, roof in enumerate(over):
            below = [row[other] for other in over[place + 1 :] if row[other] < row[roof] - _SAME_M]
            floor = max([float(grounds[face]), *below])
            asked.append((face, roof))
            probes.append(np.array([[*spots[face], floor + share * (row[roof] - floor)] for share in _SHARES]))
    if not asked:
        return solid, seen
    inside = inside_bodies(points, bodies, np.concatenate(probes)).reshape(len(asked), len(_SHARES))
    for (face, roof), votes in zip(asked, inside, strict=True):
        if solid[face] < 0 and np.count_nonzero(votes) * 2 > len(_SHARES):
            solid[face] = roof
    return solid, seen


def inside_bodies(points: Array, bodies: Sequence[Sequence[PlaneFace]], spots: Array) -> Flags:
    """Say which spots, shape (N, 3), lie inside any of the bodies."""
    inside = np.zeros(len(spots), dtype=np.bool_)
    for body in bodies:
        inside |= inside_planes(points, body, spots)
    return inside


def inside_planes(points: Array, planes: Sequence[PlaneFace], spots: Array) -> Flags:
    """Say which spots, shape (N, 3), lie inside a building, by most of nine level rays."""
    odd = np.zeros((len(spots), len(_HEADINGS)), dtype=np.bool_)
    ways = np.stack([np.cos(_HEADINGS), np.sin(_HEADINGS), np.zeros(len(_HEADINGS))], axis=1)
    for plane in planes:
        slope = ways @ plane.normal
        ahead = np.abs(slope) > math.sin(math.radians(0.05))
        reach = (plane.centre - spots) @ plane.normal
        distance = reach[:, None] / np.where(ahead, slope, 1.0)[None, :]
        spot, way = np.nonzero((distance > 0.0) & ahead[None, :])
        struck = spots[spot] + distance[spot, way][:, None] * ways[way]
        hit = inside_rings(plane.flat_rings(points), plane.flat(struck))
        odd[spot[hit], way[hit]] ^= True
    votes: Flags = np.count_nonzero(odd, axis=1) * 2 > len(_HEADINGS)
    return votes
