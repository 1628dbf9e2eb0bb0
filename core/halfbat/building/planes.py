"""Neighbouring faces in one plane become one polygon with holes."""

from __future__ import annotations

import math
from collections import deque
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from halfbat.building.polygons import Edges, Polygons, area_vectors, edges_of
from halfbat.building.rings import ring_area, straighten, trace_rings
from halfbat.building.tidy import WELD_M, TidyMesh
from halfbat.errors import KitError

Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

#: Neighbours are in one plane within these (design, section 4).
COPLANAR_DEG = 0.5
COPLANAR_M = 0.002
#: More planes than this are a curved surface or a scan, not brickwork.
MOST_PLANES = 1000
#: A face within this of upright is a wall.
UPRIGHT_DEG = 10.0
#: A face within this of level counts as level: flat roofs fall by one to three degrees.
LEVEL_DEG = 3.5


class PlaneKind(StrEnum):
    """What a plane of a building is by its lie alone."""

    WALL = "wall"
    SLOPE = "slope"
    LEVEL = "level"


@dataclass(frozen=True, slots=True, eq=False)
class PlaneFace:
    """A plane polygon with holes, made of one or more faces of the mesh.

    Parameters
    ----------
    normal : ndarray, shape (3,)
        Unit normal; outward once the planes have been oriented.
    centre : ndarray, shape (3,)
        A point of the plane: the mean of its border's points, metres.
    rings : tuple of ndarray of int
        Corners as point indices, straight ones left out; outer rings counter-clockwise seen
        from the side the normal points to, holes clockwise.
    area_m2 : float
        Area without the holes.
    faces : ndarray of int, shape (K,)
        The faces, as places in the mesh as read.
    agrees : ndarray of bool, shape (K,)
        Whether each face runs counter-clockwise seen from that side.
    loose : bool
        Whether none of its border edges is shared with exactly one other face.
    """

    normal: Array
    centre: Array
    rings: tuple[Ints, ...]
    area_m2: float
    faces: Ints
    agrees: npt.NDArray[np.bool_]
    loose: bool

    @property
    def tilt_deg(self) -> float:
        """Angle of the normal from straight up: 0 looks up, 90 is upright, 180 looks down."""
        return math.degrees(math.acos(max(-1.0, min(1.0, float(self.normal[2])))))

    @property
    def kind(self) -> PlaneKind:
        """Wall, slope or level."""
        off = abs(self.tilt_deg - 90.0)
        if off <= UPRIGHT_DEG:
            return PlaneKind.WALL
        return PlaneKind.LEVEL if off >= 90.0 - LEVEL_DEG else PlaneKind.SLOPE

    @property
    def axes(self) -> tuple[Array, Array]:
        """Unit vectors u (to the right seen from the normal's side) and v (up), shape (3,) each."""
        return plane_axes(self.normal)

    def flat(self, points: Array) -> Array:
        """Return points in the plane's own u and v about its centre, shape (N, 2)."""
        u, v = self.axes
        return (points - self.centre) @ np.stack([u, v], axis=1)

    def flat_rings(self, points: Array) -> list[Array]:
        """Return the rings in the plane's own u and v, each shape (n, 2)."""
        return [self.flat(points[ring]) for ring in self.rings]

    def flipped(self) -> PlaneFace:
        """Return the same polygon looking the other way."""
        rings = tuple(ring[::-1] for ring in self.rings)
        return replace(self, normal=-self.normal, rings=rings, agrees=~self.agrees)


def plane_axes(normal: Array) -> tuple[Array, Array]:
    """Return u and v of a plane: u level and to the right seen from the normal's side, v up it."""
    level = math.hypot(normal[0], normal[1])
    u = np.array([-normal[1] / level, normal[0] / level, 0.0] if level > 1e-9 else [1.0, 0.0, 0.0])
    return u, np.cross(normal, u)


def find_planes(tidy: TidyMesh) -> list[PlaneFace]:
    """Merge neighbouring faces that lie in one plane, whichever way round each of them runs.

    Parameters
    ----------
    tidy : TidyMesh
        Welded, without T-junctions.

    Returns
    -------
    list of PlaneFace
        In the order of their largest faces; not oriented yet.

    Raises
    ------
    KitError
        If there are more than `MOST_PLANES`.
    """
    edges = edges_of(tidy.polygons)
    vectors = area_vectors(tidy.points, tidy.polygons)
    region, sign = _grow(tidy.points, tidy.polygons, edges, vectors)
    count = max(region) + 1
    if count > MOST_PLANES:
        raise KitError(
            f"the mesh has {count} different planes, so it is curved, rough or scanned, and not flat walls",
            "",
            "model the building as plain upright walls",
        )
    return _outlined(tidy, edges, vectors, region, sign)


def _neighbours(polygons: Polygons, edges: Edges) -> list[list[tuple[int, int]]]:
    """Return for each face its neighbours, each with -1 where the two run against each other.

    Two faces that walk their shared edge opposite ways face the same side: +1.
    """
    order = np.argsort(edges.of_corner, kind="stable")
    face, edge, way = polygons.face_of[order].tolist(), edges.of_corner[order].tolist(), edges.way[order].tolist()
    beside: list[list[tuple[int, int]]] = [[] for _ in range(polygons.count)]
    low = 0
    for high in range(1, len(edge) + 1):
        if high < len(edge) and edge[high] == edge[low]:
            continue
        for i in range(low, high):
            for j in range(i + 1, high):
                turn = -way[i] * way[j]
                # Where two walls back onto each other, only faces that look one way belong together.
                if face[i] != face[j] and (high - low < 4 or turn > 0):
                    beside[face[i]].append((face[j], turn))
                    beside[face[j]].append((face[i], turn))
        low = high
    return beside


class _Growth:
    """The mean plane of the faces taken so far; plain floats, as it is asked once per face."""

    def __init__(self) -> None:
        self.vector = (0.0, 0.0, 0.0)
        self.weighted = (0.0, 0.0, 0.0)
        self.area = 0.0

    def add(self, vector: list[float], centre: list[float], area: float, sign: int) -> None:
        x, y, z = self.vector
        self.vector = (x + sign * vector[0], y + sign * vector[1], z + sign * vector[2])
        x, y, z = self.weighted
        self.weighted = (x + area * centre[0], y + area * centre[1], z + area * centre[2])
        self.area += area

    def holds(self, vector: list[float], area: float, sign: int, slack: float, corners: list[list[float]]) -> bool:
        """Say whether a face lies in the plane, its angle judged with the slack its size needs."""
        nx, ny, nz = self.vector
        length = math.sqrt(nx * nx + ny * ny + nz * nz)
        along = sign * (nx * vector[0] + ny * vector[1] + nz * vector[2])
        if along < slack * length * area:
            return False
        cx, cy, cz = self.weighted
        reach = (nx * cx + ny * cy + nz * cz) / self.area
        limit = COPLANAR_M * length
        return all(abs(nx * p[0] + ny * p[1] + nz * p[2] - reach) <= limit for p in corners)


def _grow(points: Array, polygons: Polygons, edges: Edges, vectors: Array) -> tuple[list[int], list[int]]:
    """Give each face the number of its region and the sign that turns it the region's way."""
    beside = _neighbours(polygons, edges)
    areas = np.linalg.norm(vectors, axis=1)
    sides = np.linalg.norm(points[polygons.following] - points[polygons.corners], axis=1)
    # A face only a few millimetres wide has no exact normal: its corners may be 2 mm off.
    width = 2.0 * areas / np.maximum.reduceat(sides, polygons.starts[:-1])
    angle = np.maximum(math.radians(COPLANAR_DEG), np.arctan(2.0 * COPLANAR_M / width))
    slack, area = np.cos(angle).tolist(), areas.tolist()
    local = points - points.mean(axis=0)
    centres = (
        np.add.reduceat(local[polygons.corners], polygons.starts[:-1], axis=0) / polygons.sizes[:, None]
    ).tolist()
    spots, vector = local.tolist(), vectors.tolist()
    rings = [[spots[c] for c in polygons.ring(face).tolist()] for face in range(polygons.count)]
    region, sign = [-1] * polygons.count, [0] * polygons.count
    regions = 0
    for seed in np.argsort(-areas, kind="stable").tolist():
        if region[seed] >= 0:
            continue
        growth = _Growth()
        growth.add(vector[seed], centres[seed], area[seed], 1)
        region[seed], sign[seed] = regions, 1
        waiting = deque((other, turn) for other, turn in beside[seed])
        refused: deque[tuple[int, int]] = deque()
        gained = False
        while waiting:
            face, way = waiting.popleft()
            if region[face] < 0:
                if growth.holds(vector[face], area[face], way, slack[face], rings[face]):
                    growth.add(vector[face], centres[face], area[face], way)
                    region[face], sign[face] = regions, way
                    waiting.extend((other, way * turn) for other, turn in beside[face])
                    gained = True
                else:
                    refused.append((face, way))
            if not waiting and gained:
                # The mean plane has settled since: ask the refused once more.
                waiting, refused, gained = refused, deque(), False
        regions += 1
    return region, sign


def _outlined(tidy: TidyMesh, edges: Edges, vectors: Array, region: list[int], sign: list[int]) -> list[PlaneFace]:
    """Draw the border of each region: the edges that its own faces do not cancel."""
    polygons = tidy.polygons
    regions, signs = np.array(region), np.array(sign)
    corner_region = regions[polygons.face_of]
    keys = corner_region * len(edges.ends) + edges.of_corner
    unique, inverse = np.unique(keys, return_inverse=True)
    net = np.bincount(inverse.reshape(-1), weights=edges.way * signs[polygons.face_of]).astype(np.int64)
    border = np.flatnonzero(net)
    owner, edge = unique[border] // len(edges.ends), unique[border] % len(edges.ends)
    bounds = np.searchsorted(owner, np.arange(regions.max() + 2))
    members = np.argsort(regions, kind="stable")
    first = np.searchsorted(regions[members], np.arange(regions.max() + 2))
    planes = []
    for number in range(int(regions.max()) + 1):
        rows = slice(bounds[number], bounds[number + 1])
        own = members[first[number] : first[number + 1]]
        plane = _one_plane(tidy, edges, vectors, own, signs[own], edge[rows], net[border[rows]])
        if plane is not None:
            planes.append(plane)
    return planes


def _one_plane(
    tidy: TidyMesh, edges: Edges, vectors: Array, own: Ints, signs: Ints, border: Ints, net: Ints
) -> PlaneFace | None:
    """Return the polygon of one region, or None where nothing is left of it."""
    total = np.sum(vectors[own] * signs[:, None], axis=0)
    size = float(np.linalg.norm(total))
    if size == 0.0:
        return None
    normal = total / size
    ends = edges.ends[border]
    used, local = np.unique(np.where(net[:, None] > 0, ends, ends[:, ::-1]), return_inverse=True)
    corners = tidy.points[used]
    centre: Array = corners.mean(axis=0)
    flat = (corners - centre) @ np.stack(plane_axes(normal), axis=1)
    pairs = [(int(a), int(b)) for a, b in np.repeat(local.reshape(-1, 2), np.abs(net), axis=0).tolist()]
    traced = [np.array(ring, dtype=np.int64) for ring in trace_rings(pairs, flat) if len(ring) >= 3]
    area = sum(ring_area(flat[ring]) for ring in traced)
    straight = [straighten(ring, corners, WELD_M) for ring in traced]
    kept = sorted((ring for ring in straight if len(ring) >= 3), key=lambda ring: -ring_area(flat[ring]))
    if not kept or area <= 0.0:
        return None
    loose = not bool(np.any(edges.uses[border] == 2))
    rings = tuple(used[ring] for ring in kept)
    return PlaneFace(normal, centre, rings, float(area), tidy.origin[own], signs > 0, loose)
