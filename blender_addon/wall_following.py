"""What names a wall follows it when the mesh is changed and letters go round another way.

Beside the letters a building keeps where each wall stood when they were given. The core says what became of it.
"""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import Any

import numpy as np
from bpy.types import Object, Scene
from mathutils import Matrix

from halfbat.sites.wall_names import GONE, Followed, WallLine, follow_walls, renamed, renumbered, wall_lines
from halfbat.sites.walls import Sites
from halfbat.units import LengthStyle

from .mesh_in import building_frame, metres_per_unit
from .placed import needs_objects, placed_on, remember, request_from, request_of, write_request
from .placed_properties import PLACED_CLASSES, placed_data
from .properties import building_data, part_data
from .request_properties import REQUEST_CLASSES
from .settings_io import read_requests, write_requests
from .standing import parts_of
from .walls import keep_walls

LOST = "The wall it stood on is gone, and it is left out of the kit. Move it onto a wall"


def keep_to_walls(building: Object, sites: Sites, scene: Scene) -> str:
    """Rename what names walls of a building whose letters have changed, and say what was done; empty for nothing.

    Parameters
    ----------
    building : Object
        Of this file.
    sites : Sites
        Its walls as they are now.
    scene : Scene
        Gives the length of a unit, and how lengths are written.
    """
    data = building_data(building)
    frame = _frame_m(building, scene)
    lines = wall_lines(sites)
    kept: dict[str, Any] = json.loads(data.walls_were) if data.walls_were else {}
    if not kept:
        _keep(building, lines, frame)
        return ""
    was = [WallLine(letter, (place[0], place[1]), (place[2], place[3])) for letter, place in kept["walls"].items()]
    if was == list(lines):
        _keep(building, lines, frame)
        return ""
    moved = np.linalg.inv(frame) @ np.array(kept["frame"]).reshape(4, 4)
    followed = follow_walls([was, [line.moved(moved) for line in was]], lines)
    word = ""
    if followed.changes:
        style: LengthStyle = "imperial" if scene.unit_settings.system == "IMPERIAL" else "metric"
        _rename_lists(building, followed, sites, style)
        _rename_placed(building, followed, sites, style)
        _rename_parts(building, followed)
        keep_walls(building, [site.wall for site in sites.walls])
        word = followed.told()
    gone = [
        WallLine(line.letter.removesuffix(GONE) + GONE, line.start_m, line.end_m)
        for line in was
        if not followed.successors[line.letter]
    ]
    named = _letters_named(building)
    _keep(building, (*lines, *(line for line in gone if line.letter in named)), frame)
    if word:
        data.walls_word = word
    return word


def _frame_m(building: Object, scene: Scene) -> np.ndarray:
    frame: Matrix = building_frame(building.matrix_world)
    matrix = np.array(frame, dtype=np.float64)
    matrix[:3, 3] *= metres_per_unit(scene)
    return matrix


def _keep(building: Object, lines: tuple[WallLine, ...], frame: np.ndarray) -> None:
    walls = {line.letter: [*line.start_m, *line.end_m] for line in lines}
    text = json.dumps({"frame": frame.ravel().tolist(), "walls": walls})
    data = building_data(building)
    if data.walls_were != text:
        data.walls_were = text


def _letters_named(building: Object) -> set[str]:
    lists = (read_requests(building, name) for name in REQUEST_CLASSES)
    named = {asked.wall for requests in lists for asked in requests}
    return named | {getattr(request_of(item), "wall", "") for item in placed_on(building)}


def _rename_lists(building: Object, followed: Followed, sites: Sites, style: LengthStyle) -> None:
    for name in REQUEST_CLASSES:
        before = read_requests(building, name)
        after = renamed(before, followed, sites, style)
        if after != before:
            write_requests(building, name, after)


def _rename_parts(building: Object, followed: Followed) -> None:
    """Let parts be known again by the numbers they will have, with their materials, modifiers and places."""
    changed = []
    for item in parts_of(building):
        data = part_data(item)
        number, wall = renumbered(data.number, data.wall, followed)
        if number != data.number:
            if item.name == data.number:
                changed.append((item, number))
                item.name = f"{number} {building.name}"  # out of the way of those that take each other's names
            data.number, data.wall = number, wall
    for item, number in changed:
        item.name = number


def _rename_placed(building: Object, followed: Followed, sites: Sites, style: LengthStyle) -> None:
    """Rename what stands on walls as objects; a building copied without them has them in writing."""
    if needs_objects(building):
        record: dict[str, list[dict[str, Any]]] = json.loads(building_data(building).placed_record)
        for kind, entries in record.items():
            if kind in PLACED_CLASSES:
                requests = [request_from(kind, values) for values in entries]
                entries[:] = [asdict(one) for asked in requests for one in renamed([asked], followed, sites, style)]
        building_data(building).placed_record = json.dumps(record)
        return
    for item in placed_on(building):
        data, before = placed_data(item), request_of(item)
        (after,) = renamed([before], followed, sites, style)
        if after == before:
            continue
        write_request(item, after)
        lost = after.wall.endswith(GONE)
        if lost or before.wall.endswith(GONE):
            data.off_wall, data.trouble = lost, LOST if lost else ""
    remember(building)
