"""Read and write a Wavefront OBJ: points and polygons, nothing else."""

from __future__ import annotations

import math
import os
from collections.abc import Iterator
from pathlib import Path
from typing import NoReturn

import numpy as np

from halfbat.building.mesh import Mesh
from halfbat.errors import KitError

#: A building is a few hundred faces; a file above this is a scan or not an OBJ at all.
MAX_OBJ_BYTES = 64 * 1024 * 1024

_EXPORT = "export the building again as Wavefront OBJ, in metres with z up"


def read_obj(path: str | os.PathLike[str]) -> Mesh:
    """Read the points and polygons of a Wavefront OBJ.

    Objects, groups, materials, texture and normal references are passed over. Negative indices
    count back from the latest point, as the format says. Which way is up is not guessed: the
    file must hold metres with z up.

    Parameters
    ----------
    path : path-like
        The file.

    Returns
    -------
    Mesh
        Vertices in metres, shape (N, 3); faces counted from 0; the file's name as source.

    Raises
    ------
    KitError
        If the file is missing, unreadable, over 64 MB, not text, or holds a broken line, a
        number that is not finite, an index without a point, or no faces; the sentence names
        the line.
    """
    file = Path(path)
    text = _read_text(file)
    points: list[tuple[float, float, float]] = []
    faces: list[tuple[int, ...]] = []
    lines: list[int] = []
    for number, line in _records(text):
        words = line.split()
        if words[0] == "v":
            points.append(_point(words, file, number))
        elif words[0] in ("f", "fo"):
            faces.append(_face(words, len(points), file, number))
            lines.append(number)
    if not points:
        raise KitError("the file holds no points, so it is not a Wavefront OBJ of a building", file.name, _EXPORT)
    if not faces:
        raise KitError("the file holds points but no faces", file.name, _EXPORT)
    for face, number in zip(faces, lines, strict=True):
        if max(face) >= len(points):
            _bad_line(file, number, f"a face uses point {max(face) + 1}, but the file holds {len(points)} points")
    return Mesh(np.array(points, dtype=np.float64), tuple(faces), file.name)


def obj_text(mesh: Mesh) -> str:
    """Return a mesh as the text of a Wavefront OBJ that `read_obj` reads back with the very same points.

    Parameters
    ----------
    mesh : Mesh
        Vertices in metres, z up; each coordinate is written with as many digits as it takes.
    """
    points = [f"v {x!r} {y!r} {z!r}\n" for x, y, z in mesh.vertices.tolist()]
    faces = [f"f {' '.join(str(corner + 1) for corner in face)}\n" for face in mesh.faces]
    return "".join([*points, *faces])


def _read_text(file: Path) -> str:
    """Return the file's text, after looking at its size before reading."""
    remedy = "give the path of a Wavefront OBJ file"
    try:
        if file.is_dir():
            raise KitError("the mesh is a folder, not a file", str(file), remedy)
        if not file.exists():
            raise KitError("there is no such mesh file", str(file), "check the path of the mesh")
        if not file.is_file():
            raise KitError("the mesh is not an ordinary file", str(file), remedy)
        size = file.stat().st_size
        if size > MAX_OBJ_BYTES:
            what = f"the mesh file has {size / 2**20:.0f} MB, more than the {MAX_OBJ_BYTES // 2**20} MB read"
            raise KitError(what, file.name, "export the building alone, without fittings and surroundings")
        data = file.read_bytes()
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise KitError(
            f"the mesh file cannot be read ({reason})", str(file), "check the path and its permissions"
        ) from error
    if b"\0" in data:
        raise KitError("the mesh file is binary, not a Wavefront OBJ text", file.name, _EXPORT)
    return data.decode("utf-8-sig", errors="replace")


def _records(text: str) -> Iterator[tuple[int, str]]:
    """Yield number and text of each line with content, with continued lines joined."""
    held = ""
    first = 0
    for number, raw in enumerate(text.split("\n"), start=1):
        line = raw.partition("#")[0].rstrip()
        if not held:
            first = number
        if line.endswith("\\"):
            held += line[:-1] + " "
            continue
        line = (held + line).strip()
        held = ""
        if line:
            yield first, line
    if held.strip():
        yield first, held.strip()


def _point(words: list[str], file: Path, number: int) -> tuple[float, float, float]:
    """Return the coordinates of a ``v`` line; weights and colours after them are passed over."""
    try:
        x, y, z = float(words[1]), float(words[2]), float(words[3])
    except (ValueError, IndexError):
        _bad_line(file, number, "a point needs three numbers")
    if not (math.isfinite(x) and math.isfinite(y) and math.isfinite(z)):
        _bad_line(file, number, "a point has a coordinate that is not a finite number")
    return x, y, z


def _face(words: list[str], count: int, file: Path, number: int) -> tuple[int, ...]:
    """Return the point indices of an ``f`` line, counted from 0."""
    corners = []
    for word in words[1:]:
        try:
            index = int(word.partition("/")[0])
        except ValueError:
            _bad_line(file, number, f"a face has the corner {word[:20]!r}, which is not a point number")
        if index == 0 or index < -count:
            _bad_line(file, number, f"a face uses point {index}, which does not exist")
        corners.append(index - 1 if index > 0 else count + index)
    if len(corners) < 3:
        _bad_line(file, number, f"a face has {len(corners)} corners, at least 3 are needed")
    return tuple(corners)


def _bad_line(file: Path, number: int, what: str) -> NoReturn:
    raise KitError(what, f"{file.name}, line {number}", _EXPORT)
