"""Windows and doors in the mesh: open holes, recesses and panes drawn flush into a wall."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from halfbat.building.planes import PlaneFace, PlaneKind
from halfbat.building.rings import inside_rings, ring_area, straighten, trace_rings
from halfbat.building.tidy import WELD_M, TidyMesh

Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

#: Openings are at least this wide and high, metres.
_SMALLEST_M = 0.15
#: A pane further behind the wall than this is the wall of a bay and not of an opening, metres.
_DEEPEST_M = 0.52
#: Parts of an opening may reach this far beyond its outline, metres.
_PLAY_M = 0.03
#: How far off the foot of its wall the corners of a doorway may be, metres.
_FOOT_M = 0.05


@dataclass(frozen=True, slots=True, eq=False)
class FoundOpening:
    """An opening in a wall plane of the mesh.

    Parameters
    ----------
    normal : ndarray, shape (3,)
        Of the wall plane, outward.
    ring_m : ndarray, shape (K, 3)
        Its corners, metres.
    depth_m : float or None
        How far the pane lies behind the wall; 0 for one drawn flush, None for an open hole.
    """

    normal: Array
    ring_m: Array
    depth_m: float | None


def find_openings(tidy: TidyMesh, planes: Sequence[PlaneFace]) -> tuple[list[PlaneFace], list[FoundOpening]]:
    """Find openings and fill them.

    Parameters
    ----------
    tidy : TidyMesh
        The mesh of the planes.
    planes : sequence of PlaneFace
        Outward.

    Returns
    -------
    planes : list of PlaneFace
        Walls without their openings; panes, reveals and the like left out.
    openings : list of FoundOpening
    """
    points = tidy.points
    found: list[FoundOpening] = []
    filled: dict[int, PlaneFace] = {}
    gone: set[int] = set()
    users = _users(planes)
    for number, wall in enumerate(planes):
        if wall.kind is not PlaneKind.WALL or number in gone:
            continue
        kept: list[Ints] = []
        for ring in wall.rings:
            rest, pockets = _without_pockets(points, wall, ring)
            for pocket in pockets:
                opening, parts = _judged(points, planes, users, number, pocket)
                if opening is not None:
                    found.append(opening)
                    gone |= parts
                    rest = _without(rest, pocket)
            if len(rest) >= 3:
                kept.append(rest)
        filled[number] = replace(wall, rings=tuple(kept))
        found += _flush(tidy, wall)
    return [filled.get(i, plane) for i, plane in enumerate(planes) if i not in gone], found


def _users(planes: Sequence[PlaneFace]) -> dict[int, set[int]]:
    """Return for each point the planes that have it as a corner."""
    users: dict[int, set[int]] = {}
    for number, plane in enumerate(planes):
        for point in np.concatenate(plane.rings).tolist():
            users.setdefault(point, set()).add(number)
    return users


def _without_pockets(points: Array, wall: PlaneFace, ring: Ints) -> tuple[Ints, list[Ints]]:
    """Return a ring, and the parts of it that may be openings: a whole hole, or doorways at the foot."""
    flat = wall.flat(points[ring])
    if ring_area(flat) < 0.0:
        return ring, [ring]
    foot = float(flat[:, 1].min()) + _FOOT_M
    down = np.flatnonzero(flat[:, 1] <= foot)
    pockets = []
    # Counter-clockwise the foot is walked to the right: what leaves it between is a doorway.
    for here, ahead in zip(down, np.roll(down, -1), strict=True):
        size = int((ahead - here) % len(ring))
        if size > 2 and flat[ahead, 0] - flat[here, 0] > _SMALLEST_M:
            pockets.append(np.roll(ring, -int(here))[: size + 1])
    return ring, pockets


def _without(ring: Ints, pocket: Ints) -> Ints:
    """Return a ring with an opening filled: nothing of a hole, a straight foot for a doorway."""
    if len(pocket) == len(ring):
        return ring[:0]
    return ring[~np.isin(ring, pocket[1:-1])]


def _judged(
    points: Array, planes: Sequence[PlaneFace], users: dict[int, set[int]], number: int, ring: Ints
) -> tuple[FoundOpening | None, set[int]]:
    """Return the opening a ring is, with the planes that belong to it, or None where it is none."""
    wall = planes[number]
    corners = points[ring]
    flat = wall.flat(corners)
    if np.any(np.ptp(flat, axis=0) < _SMALLEST_M):
        return None, set()
    opening = FoundOpening(wall.normal, corners, None)
    beside = set().union(*(users.get(int(point), set()) for point in ring)) - {number}
    inner = ring if len(ring) == 3 else ring[1:-1]
    if not any(users.get(int(point), set()) - {number} for point in inner):
        return opening, set()
    parts = set()
    deepest = 0.0
    low, high = flat.min(axis=0) - _PLAY_M, flat.max(axis=0) + _PLAY_M
    for other, plane in enumerate(planes):
        if other == number:
            continue
        spots = points[np.concatenate(plane.rings)]
        inside = wall.flat(spots)
        behind = (wall.centre - spots) @ wall.normal
        if np.any(inside < low) or np.any(inside > high) or behind.max() > _DEEPEST_M or behind.min() < -_PLAY_M:
            continue
        parts.add(other)
        if float(plane.normal @ wall.normal) > 0.98:
            deepest = max(deepest, float(behind.mean()))
    # What stands in front of the wall is an extension, and the hole is where it joins.
    if deepest <= 0.0 or not beside & parts:
        return None, set()
    return replace(opening, depth_m=deepest), parts


def _flush(tidy: TidyMesh, wall: PlaneFace) -> list[FoundOpening]:
    """Return the panes drawn into a wall: holes of its faces that other faces in its plane fill."""
    points = tidy.points
    place = {int(face): i for i, face in enumerate(tidy.origin)}
    holes: list[Array] = []
    for face in wall.faces.tolist():
        ring = tidy.polygons.ring(place[face])
        if len(np.unique(ring)) == len(ring):
            continue
        walked = list(zip(ring.tolist(), np.roll(ring, -1).tolist(), strict=True))
        border = [(a, b) for a, b in walked if (b, a) not in walked]
        flat = wall.flat(points)
        rings = [np.array(one, dtype=np.int64) for one in trace_rings(border, flat) if len(one) >= 3]
        if len(rings) < 2:
            continue
        outer = max(range(len(rings)), key=lambda i: abs(ring_area(flat[rings[i]])))
        holes += [flat[straighten(one, points, WELD_M)] for i, one in enumerate(rings) if i != outer]
    holes = [hole for hole in holes if len(hole) >= 3 and np.all(np.ptp(hole, axis=0) >= 2.0 * _SMALLEST_M)]
    holes = [hole for hole in holes if inside_rings(wall.flat_rings(points), _middle(hole))[0]]
    holes.sort(key=lambda hole: -abs(ring_area(hole)))
    kept: list[Array] = []
    for hole in holes:
        if not any(inside_rings([other], _middle(hole))[0] for other in kept):
            kept.append(hole)
    u, v = wall.axes
    return [FoundOpening(wall.normal, wall.centre + hole @ np.stack([u, v]), 0.0) for hole in kept]


def _middle(ring: Array) -> Array:
    middle: Array = ring.mean(axis=0, keepdims=True)
    return middle
