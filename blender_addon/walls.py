"""The walls of a building as they were last read from its mesh, kept so that panels can list them at once."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from bpy.types import Object

from halfbat.building import Wall
from halfbat.building.structure import FaceOfWall

from .properties import building_data
from .rows import fill, kept


def keep_walls(building: Object, walls: Iterable[FaceOfWall | Wall]) -> None:
    """Keep letter and size of each wall with a building."""
    data = building_data(building)
    rows = [
        {
            "name": wall.letter,
            "length_m": wall.length_m,
            "height_m": wall.height_m,
            "openings": len(getattr(wall, "openings", ())),
        }
        for wall in walls
    ]
    fill(data.walls, rows)
    if data.walls_read_from == shape_of(building):
        data.walls_word = ""  # it was there to be read since
    data.walls_read_from = shape_of(building)
    data.walls_index = max(0, min(data.walls_index, len(rows) - 1))


def shape_of(building: Object) -> str:
    """Return a word that changes with the size of a building's mesh, quick enough for every drawing of a panel."""
    mesh: Any = building.data
    sizes = " ".join(f"{size:.5g}" for size in building.dimensions.to_tuple())
    return f"{len(mesh.vertices)} {len(mesh.polygons)} {sizes}"


def walls_outdated(building: Object) -> bool:
    """Tell whether the mesh was changed since its walls were read, as far as its sizes show it."""
    return bool(building_data(building).walls_read_from != shape_of(building))


def chosen_wall(building: Object) -> str:
    """Return the letter of the wall chosen in the list; A where none was read yet."""
    data = building_data(building)
    walls = kept(data.walls)
    return str(walls[data.walls_index].name) if 0 <= data.walls_index < len(walls) else "A"
