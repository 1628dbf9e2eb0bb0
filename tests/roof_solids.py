"""Solids of buildings made by a boolean library, to compare structures with."""

import math

import manifold3d
import numpy as np

from halfbat.building import Mesh

#: Faces whose normals are this level are walls.
UPRIGHT = 1e-4


def hull(points):
    """Return the convex hull of points as a solid."""
    return manifold3d.Manifold.hull_points(np.asarray(points, dtype=np.float64))


def block(x0, y0, x1, y1, top, base=0.0):
    """Return an upright box."""
    size = (x1 - x0, y1 - y0, top - base)
    return manifold3d.Manifold.cube(size).translate((x0, y0, base))


def gabled(x0, y0, x1, y1, eaves, rise, along_x=True):
    """Return a block under a gable roof, its ridge along x or along y."""
    foot = [(x, y, z) for x in (x0, x1) for y in (y0, y1) for z in (0.0, eaves)]
    if along_x:
        ridge = [(x, (y0 + y1) / 2.0, eaves + rise) for x in (x0, x1)]
    else:
        ridge = [((x0 + x1) / 2.0, y, eaves + rise) for y in (y0, y1)]
    return hull(foot + ridge)


def hipped(x0, y0, x1, y1, eaves, pitch_deg):
    """Return a block under a hip roof of one pitch; over a square it is a pyramid."""
    foot = [(x, y, z) for x in (x0, x1) for y in (y0, y1) for z in (0.0, eaves)]
    half = min(x1 - x0, y1 - y0) / 2.0
    top = eaves + half * math.tan(math.radians(pitch_deg))
    ridge = [(x0 + half, y0 + half, top), (x1 - half, y1 - half, top)]
    return hull(foot + ridge)


def lean_to(x0, y0, x1, y1, high, low):
    """Return a block under one slope that falls from x0 to x1."""
    points = [(x, y, 0.0) for x in (x0, x1) for y in (y0, y1)]
    return hull(points + [(x0, y, high) for y in (y0, y1)] + [(x1, y, low) for y in (y0, y1)])


def union(*solids):
    """Return solids as one."""
    whole = solids[0]
    for solid in solids[1:]:
        whole = whole + solid
    return whole


def mesh_of_solid(solid, turn_deg=0.0, source="solid.obj"):
    """Return a solid as a mesh of triangles, turned about the upright axis."""
    made = solid.to_mesh64() if hasattr(solid, "to_mesh64") else solid.to_mesh()
    turn = math.radians(turn_deg)
    around = np.array([[math.cos(turn), math.sin(turn), 0.0], [-math.sin(turn), math.cos(turn), 0.0], [0.0, 0.0, 1.0]])
    points = np.asarray(made.vert_properties, dtype=np.float64)[:, :3] @ around
    return Mesh(points, tuple(tuple(int(i) for i in tri) for tri in made.tri_verts), source)


def joined_meshes(*meshes):
    """Return meshes as one, each a closed solid of its own."""
    starts = np.cumsum([0, *(len(mesh.vertices) for mesh in meshes)])
    faces = tuple(
        tuple(int(start) + i for i in face) for mesh, start in zip(meshes, starts, strict=False) for face in mesh.faces
    )
    return Mesh(np.vstack([mesh.vertices for mesh in meshes]), faces, "parts.obj")


def areas_of(mesh):
    """Return the area of the upright faces, and that of the upward ones seen from above and in their slopes."""
    a, b, c = (mesh.vertices[[face[i] for face in mesh.faces]] for i in range(3))
    cross = np.cross(b - a, c - a) / 2.0
    size = np.linalg.norm(cross, axis=1)
    lean = cross[:, 2] / np.maximum(size, 1e-15)
    upright, up = np.abs(lean) < UPRIGHT, lean > UPRIGHT
    return float(size[upright].sum()), float(cross[up, 2].sum()), float(size[up].sum())
