"""The mesh a building comes in as: points in metres and polygons over them."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from halfbat.errors import KitError

Array = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Mesh:
    """Points and polygons, as read and not yet judged.

    Parameters
    ----------
    vertices : ndarray, shape (N, 3)
        Points in metres, z up.
    faces : tuple of tuple of int
        Vertex indices of each polygon, counted from 0. A hole is written as a keyhole: an
        edge to the inner ring, walked there and back.
    source : str
        What to call the mesh in a sentence, such as a file name; may be empty.
    first_face : int
        The number a maker sees for the first face: 1 in files, 0 in Blender.
    """

    vertices: Array
    faces: tuple[tuple[int, ...], ...]
    source: str = ""
    first_face: int = 1


def mesh_from_box(length_m: float, width_m: float, height_m: float) -> Mesh:
    """Return a closed box with its corner at the origin and outward faces.

    Parameters
    ----------
    length_m, width_m, height_m : float
        Sizes along x, y and z, in metres.

    Returns
    -------
    Mesh
        8 vertices, 6 four-cornered faces.

    Raises
    ------
    KitError
        If a size is zero, negative, infinite or not a number.
    """
    for name, size in (("length", length_m), ("width", width_m), ("height", height_m)):
        if not (math.isfinite(size) and size > 0):
            raise KitError(f"the box has a {name} of {size:g} m", "box", "give three sizes above zero")
    x, y, z = length_m, width_m, height_m
    vertices = np.array(
        [[0, 0, 0], [x, 0, 0], [x, y, 0], [0, y, 0], [0, 0, z], [x, 0, z], [x, y, z], [0, y, z]], dtype=np.float64
    )
    faces = ((3, 2, 1, 0), (0, 1, 5, 4), (1, 2, 6, 5), (2, 3, 7, 6), (3, 0, 4, 7), (4, 5, 6, 7))
    return Mesh(vertices, faces, "box")


def face_names(mesh: Mesh, faces: npt.ArrayLike, limit: int = 6) -> str:
    """Name faces as the maker counts them, such as ``"faces 3, 4 and 7"``.

    Parameters
    ----------
    mesh : Mesh
        Says what the first face is called.
    faces : array_like of int
        Places in the mesh.
    limit : int
        Longer lists are cut and end with how many more there are.

    Returns
    -------
    str
    """
    numbers = [str(int(face) + mesh.first_face) for face in np.unique(np.asarray(faces)).tolist()]
    rest = len(numbers) - limit
    if rest > 1:
        numbers = [*numbers[:limit], f"{rest} more"]
    names = numbers[0] if len(numbers) == 1 else ", ".join(numbers[:-1]) + " and " + numbers[-1]
    return ("face " if len(numbers) == 1 else "faces ") + names


def face_list(mesh: Mesh, faces: npt.ArrayLike) -> str:
    """Name faces together with their mesh, such as ``"lodge.obj, face 3"``."""
    names = face_names(mesh, faces)
    return f"{mesh.source}, {names}" if mesh.source else names
