"""Meshes of prisms and their mishaps, for tests of what a mesh becomes."""

from collections.abc import Sequence

import numpy as np

from halfbat.building import Mesh

SQUARE = [(0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0)]
L_PLAN = [(0.0, 0.0), (8.0, 0.0), (8.0, 3.0), (4.0, 3.0), (4.0, 6.0), (0.0, 6.0)]


def mesh_of(*rings: Sequence[tuple[float, float, float]], source: str = "sample.obj") -> Mesh:
    """Return an unwelded mesh of polygons given by their points."""
    points = [point for ring in rings for point in ring]
    faces, start = [], 0
    for ring in rings:
        faces.append(tuple(range(start, start + len(ring))))
        start += len(ring)
    return Mesh(np.array(points, dtype=np.float64), tuple(faces), source)


def prism_rings(
    plan: Sequence[tuple[float, float]],
    base: float = 0.0,
    top: float = 3.0,
    floor: bool = True,
    lid: bool = True,
    walls: bool = True,
) -> list[list[tuple[float, float, float]]]:
    """Return the faces of an upright prism over a counter-clockwise plan: walls, floor, lid."""
    rings = []
    if walls:
        for (x0, y0), (x1, y1) in zip(plan, [*plan[1:], plan[0]], strict=True):
            rings.append([(x0, y0, base), (x1, y1, base), (x1, y1, top), (x0, y0, top)])
    if floor:
        rings.append([(x, y, base) for x, y in plan[::-1]])
    if lid:
        rings.append([(x, y, top) for x, y in plan])
    return rings


def prism(plan: Sequence[tuple[float, float]], base: float = 0.0, top: float = 3.0, **parts: bool) -> Mesh:
    """Return an unwelded upright prism."""
    return mesh_of(*prism_rings(plan, base, top, **parts))


def joined(*meshes: Mesh) -> Mesh:
    """Return several meshes as one."""
    starts = np.cumsum([0, *(len(mesh.vertices) for mesh in meshes)])
    faces = tuple(
        tuple(int(start) + corner for corner in face)
        for mesh, start in zip(meshes, starts, strict=False)
        for face in mesh.faces
    )
    return Mesh(np.vstack([mesh.vertices for mesh in meshes]), faces, meshes[0].source)


def shifted(plan: Sequence[tuple[float, float]], x: float, y: float) -> list[tuple[float, float]]:
    """Return a plan moved sideways."""
    return [(a + x, b + y) for a, b in plan]
