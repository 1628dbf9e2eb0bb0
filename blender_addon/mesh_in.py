"""The only reader of Blender's meshes: building objects in, and the parts as they stand in the scene."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import bpy
import numpy as np
from bpy.types import Depsgraph, Object, Scene
from mathutils import Matrix
from numpy.typing import NDArray

from halfbat.building import Mesh
from halfbat.errors import KitError
from halfbat.solids.solid import Solid

Array = NDArray[np.float64]
FARTHEST_M = 16384.0
"""From 2 to the 14th on, single precision rounds to steps of 2 to the -9th, 2 mm."""
LEVEL = 1e-3
"""An axis whose share on the ground is smaller than this does not say where a building is turned to."""
CERTAIN_DIGITS = 5
"""Digits after the first that are the same in single precision however a building is turned."""


def metres_per_unit(scene: Scene) -> float:
    """Return the length of one Blender unit in metres; 1 where the scene has no units."""
    units = scene.unit_settings
    return 1.0 if units.system == "NONE" else float(units.scale_length)


@contextmanager
def evaluated_mesh(part: Object, depsgraph: Depsgraph) -> Iterator[bpy.types.Mesh]:
    """Give an object's mesh with all its modifiers applied, for as long as it is looked at."""
    evaluated = part.evaluated_get(depsgraph)
    mesh = evaluated.to_mesh()
    try:
        yield mesh
    finally:
        evaluated.to_mesh_clear()


def _coordinates(mesh: bpy.types.Mesh) -> NDArray[np.float32]:
    """Return the vertices in the object's own frame, shape (N, 3)."""
    flat = np.empty(3 * len(mesh.vertices), dtype=np.float32)
    mesh.vertices.foreach_get("co", flat)
    return flat.reshape(-1, 3)


def as_typed(stored: NDArray[np.float32]) -> Array:
    """Return single-precision numbers as the shortest decimals that are stored so.

    Blender stores 13.3 m as a number that reads back as 13.300000190734863; this gives 13.3 again, so that a mesh from
    a file, or one whose sizes were typed, has the very coordinates that were written.
    """
    unique, places = np.unique(stored, return_inverse=True)
    return unique.astype(np.str_).astype(np.float64)[places].reshape(stored.shape)


def _faces(mesh: bpy.types.Mesh, *, flip: bool) -> tuple[tuple[int, ...], ...]:
    """Return the faces as rows of vertex numbers, turned round where the object is mirrored."""
    corners = np.empty(len(mesh.loops), dtype=np.int32)
    mesh.loops.foreach_get("vertex_index", corners)
    starts = np.empty(len(mesh.polygons), dtype=np.int32)
    mesh.polygons.foreach_get("loop_start", starts)
    step = -1 if flip else 1
    ends = [*starts[1:].tolist(), len(corners)]
    return tuple(tuple(corners[start:end].tolist()[::step]) for start, end in zip(starts.tolist(), ends, strict=False))


def building_frame(matrix_world: Matrix) -> Matrix:
    """Return where a building stands: the rigid matrix from the frame its mesh is read in to the world, Blender units.

    That frame has the object's origin and is turned with it round the upright axis only. So moving a building, or
    turning it on the ground, changes nothing of its mesh, while a size or a tilt does.

    Parameters
    ----------
    matrix_world : Matrix
        Of the building object.
    """
    return Matrix.Translation(matrix_world.translation) @ Matrix.Rotation(_heading(matrix_world), 4, "Z")


def _heading(matrix_world: Matrix) -> float:
    """Return how far a building is turned on the ground, radians: where its x axis points, or its y if x is upright."""
    axes = np.array(matrix_world.to_3x3(), dtype=np.float64)
    first = axes[:, 0]
    along = axes[:2, 0] if np.hypot(*first[:2]) > LEVEL * np.linalg.norm(first) else axes[:2, 1]
    return float(np.arctan2(along[1], along[0]))


def in_frame(matrix_world: Matrix) -> Array:
    """Return the matrix (3, 3) from a building object's own frame to the one its mesh is read in.

    It is rounded to what single precision holds for certain, so that it is the same wherever the building stands.
    """
    axes = np.array(matrix_world.to_3x3(), dtype=np.float64)
    heading = _heading(matrix_world)
    cosine, sine = np.cos(heading), np.sin(heading)
    own = np.array([[cosine, sine, 0.0], [-sine, cosine, 0.0], [0.0, 0.0, 1.0]]) @ axes
    largest = np.maximum(np.abs(own).max(axis=0), np.finfo(np.float32).tiny)
    unit = 10.0 ** np.floor(np.log10(largest))
    return as_typed((np.round(own / unit, CERTAIN_DIGITS) * unit).astype(np.float32))


def building_mesh(building: Object, depsgraph: Depsgraph, scene: Scene) -> Mesh:
    """Return a building object's evaluated mesh in metres, in the building's own frame; see `building_frame`.

    Parameters
    ----------
    building : Object
        A mesh object, however moved, turned, scaled or parented.
    depsgraph : Depsgraph
        Evaluated for the scene.
    scene : Scene
        Gives the length of a unit.

    Raises
    ------
    KitError
        The mesh lies so far from its origin that Blender rounds it too much.
    """
    matrix = in_frame(building.evaluated_get(depsgraph).matrix_world)
    with evaluated_mesh(building, depsgraph) as mesh:
        local = as_typed(_coordinates(mesh))
        faces = _faces(mesh, flip=float(np.linalg.det(matrix)) < 0.0)
    placed = local @ matrix.T * metres_per_unit(scene) + 0.0  # which leaves no -0.0 that would count as a change
    farthest = float(np.abs(local @ matrix.T).max(initial=0.0)) * metres_per_unit(scene)
    if farthest > FARTHEST_M:
        raise KitError(
            f"the mesh lies {farthest / 1000:.0f} km from its object's origin, where places are rounded to more than a "
            "millimetre",
            building.name,
            "model or import it near its origin; the object itself may stand anywhere",
        )
    return Mesh(placed, faces, source=building.name, first_face=0)


def part_solid(part: Object, depsgraph: Depsgraph) -> Solid:
    """Return a part object's evaluated mesh as a solid in print millimetres.

    The object's own placing is left out: it only shows the part at its place over the building.
    """
    with evaluated_mesh(part, depsgraph) as mesh:
        vertices = _coordinates(mesh).astype(np.float64)
        mesh.calc_loop_triangles()
        triangles = np.empty(3 * len(mesh.loop_triangles), dtype=np.int32)
        mesh.loop_triangles.foreach_get("vertices", triangles)
    return Solid(vertices, triangles.astype(np.int64).reshape(-1, 3))


def same_solid(shown: Solid, made: Solid) -> bool:
    """Tell whether a solid read back from Blender, which keeps single precision, is the one that was made."""
    return np.array_equal(shown.triangles, made.triangles) and np.array_equal(
        shown.vertices, made.vertices.astype(np.float32).astype(np.float64)
    )
