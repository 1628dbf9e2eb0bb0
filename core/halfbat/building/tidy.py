"""A mesh as read becomes polygons that share their points and edges."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from halfbat.building.junctions import find_junctions, split_at_junctions
from halfbat.building.mesh import Mesh, face_list
from halfbat.building.polygons import Polygons, area_vectors, edges_of, polygons_from
from halfbat.building.weld import weld
from halfbat.errors import KitError

Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

#: Points nearer than this are one, metres at full size.
WELD_M = 0.001
#: A building longer than this is taken for a mesh in the wrong unit, metres.
LARGEST_M = 2000.0
#: A mesh smaller than this was not modelled at full size, metres.
SMALLEST_M = 0.1


@dataclass(frozen=True, slots=True, eq=False)
class TidyMesh:
    """Welded polygons without worthless faces and without T-junctions.

    Parameters
    ----------
    points : ndarray, shape (N, 3)
        Metres.
    polygons : Polygons
        The faces that are left.
    origin : ndarray of int, shape (F,)
        Place of each of them in the mesh as read.
    defects : mapping of str to int
        How many of each kind were found: ``"unwelded vertices"``, ``"zero-area faces"``,
        ``"duplicate faces"``, ``"T-junctions"``, ``"open edges"``, ``"edges with more than two
        faces"``, ``"edges run twice the same way"``.
    dropped : tuple of int
        Places, in the mesh as read, of the faces left out.
    """

    points: Array
    polygons: Polygons
    origin: Ints
    defects: Mapping[str, int]
    dropped: tuple[int, ...]


def tidy_mesh(mesh: Mesh) -> TidyMesh:
    """Weld, drop zero-area and duplicate faces, and split edges at the points that lie on them.

    Parameters
    ----------
    mesh : Mesh
        As read.

    Returns
    -------
    TidyMesh

    Raises
    ------
    KitError
        If the mesh is empty, has broken indices or coordinates that are not finite, or no
        usable face or size.
    """
    points, polygons = _checked(mesh)
    used, corners = np.unique(polygons.corners, return_inverse=True)
    points, index = weld(points[used], WELD_M)
    unwelded = len(used) - len(points)
    polygons = Polygons(index[corners.reshape(-1)], polygons.starts)
    polygons = polygons.keep(polygons.corners != polygons.following)
    origin = np.arange(polygons.count)
    polygons, origin, thin = _without_thin(points, polygons, origin)
    polygons, origin, twins = _without_twins(polygons, origin)
    if polygons.count == 0:
        raise KitError("no face of the mesh has an area", mesh.source, "model the building at full size, in metres")
    edges = edges_of(polygons)
    edge, point, _ = find_junctions(points, polygons, edges, WELD_M)
    polygons = split_at_junctions(polygons, edges, edge, point)
    edges = edges_of(polygons)
    defects = {
        "unwelded vertices": unwelded,
        "zero-area faces": thin,
        "duplicate faces": twins,
        "T-junctions": len(np.unique(point)),
        "open edges": int(np.count_nonzero(edges.uses == 1)),
        "edges with more than two faces": int(np.count_nonzero(edges.uses > 2)),
        "edges run twice the same way": int(np.count_nonzero((edges.forward == 2) ^ (edges.backward == 2))),
    }
    dropped = np.setdiff1d(np.arange(len(mesh.faces)), origin)
    return TidyMesh(points, polygons, origin, MappingProxyType(defects), tuple(dropped.tolist()))


def _checked(mesh: Mesh) -> tuple[Array, Polygons]:
    """Return points and polygons after looking for what no later step can deal with."""
    remedy = "model the walls of the building as a mesh"
    if len(mesh.vertices) == 0 or len(mesh.faces) == 0:
        raise KitError("the mesh is empty: it has no faces", mesh.source, remedy)
    points = np.asarray(mesh.vertices, dtype=np.float64)
    if points.ndim != 2 or points.shape[1] != 3:
        raise KitError("the points of the mesh do not have three coordinates each", mesh.source, remedy)
    polygons = polygons_from(mesh.faces)
    short = np.flatnonzero(polygons.sizes < 3)
    if len(short):
        raise KitError("a face has fewer than three corners", face_list(mesh, short), "delete it or close it")
    if polygons.corners.min() < 0 or polygons.corners.max() >= len(points):
        out = (polygons.corners < 0) | (polygons.corners >= len(points))
        where = face_list(mesh, np.unique(polygons.face_of[out]))
        raise KitError("a face uses a point that does not exist", where, "export the mesh again")
    bad = ~np.isfinite(points[polygons.corners]).all(axis=1)
    if bad.any():
        where = face_list(mesh, np.unique(polygons.face_of[bad]))
        raise KitError("a point has a coordinate that is not a finite number", where, "delete or move that point")
    size = float(np.ptp(points[polygons.corners], axis=0).max())
    if size > LARGEST_M:
        what = f"the mesh is {size:.6g} m long, longer than any building"
        raise KitError(what, mesh.source, "scale it to full size in metres (0.001 for a mesh in millimetres)")
    if size < SMALLEST_M:
        what = f"the mesh is only {size:.3g} m in size" if size > 0 else "all points of the mesh are in one place"
        raise KitError(what, mesh.source, "model the building at full size, in metres")
    return points, polygons


def _without_thin(points: Array, polygons: Polygons, origin: Ints) -> tuple[Polygons, Ints, int]:
    """Drop the faces that are thinner than the weld, and so have no area to speak of."""
    whole = polygons.sizes >= 3
    polygons, origin, gone = polygons.take(whole), origin[whole], int(np.count_nonzero(~whole))
    if polygons.count == 0:
        return polygons, origin, gone
    area = np.linalg.norm(area_vectors(points, polygons), axis=1)
    sides = np.linalg.norm(points[polygons.following] - points[polygons.corners], axis=1)
    longest = np.maximum.reduceat(sides, polygons.starts[:-1])
    wide = 2.0 * area > WELD_M * longest
    return polygons.take(wide), origin[wide], gone + int(np.count_nonzero(~wide))


def _without_twins(polygons: Polygons, origin: Ints) -> tuple[Polygons, Ints, int]:
    """Keep the first of the faces that have the same points."""
    seen: set[tuple[int, ...]] = set()
    keep = np.ones(polygons.count, dtype=np.bool_)
    corners, starts = polygons.corners.tolist(), polygons.starts.tolist()
    for face in range(polygons.count):
        key = tuple(sorted(corners[starts[face] : starts[face + 1]]))
        if key in seen:
            keep[face] = False
        seen.add(key)
    return polygons.take(keep), origin[keep], int(np.count_nonzero(~keep))
