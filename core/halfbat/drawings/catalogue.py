"""The drawings of a kit by name."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from halfbat.drawings.contents import DrawnKit
from halfbat.drawings.drawing import Array, Brickwork, Dimension, Drawing, Item, Label, Point, Shape
from halfbat.drawings.elevation import elevation, elevation_size
from halfbat.drawings.exploded import assembled, exploded
from halfbat.drawings.faces import kit_faces
from halfbat.drawings.part_drawings import part_drawing
from halfbat.drawings.plans import plan, roof_plan
from halfbat.drawings.plates import plate_drawing
from halfbat.errors import KitError
from halfbat.printing.plates import plates_for

ROOM_MM = (176.0, 150.0)
_APART_MM = 12.0


def drawing_names(kit: DrawnKit) -> tuple[str, ...]:
    """Return the names of all drawings of a kit."""
    return tuple(_catalogue(kit))


def named_drawing(kit: DrawnKit, name: str) -> Drawing:
    """Return one drawing of a kit.

    Parameters
    ----------
    kit : DrawnKit
        A made kit.
    name : str
        One of `drawing_names`.

    Raises
    ------
    KitError
        There is no drawing of that name.
    """
    catalogue = _catalogue(kit)
    if name not in catalogue:
        parts = [key for key in catalogue if key.startswith("part-")]
        known = ", ".join(key for key in catalogue if key not in parts)
        and_parts = f", or {parts[0]} and so on for parts" if parts else ""
        raise KitError(f"there is no drawing '{name}'", "--what", f"choose one of {known}{and_parts}")
    return catalogue[name]()


def _catalogue(kit: DrawnKit) -> dict[str, Callable[[], Drawing]]:
    made: dict[str, Callable[[], Drawing]] = {}
    if kit.plan.walls:
        size = elevation_size(kit)
        made["elevations"] = lambda: _elevations(kit)
        for wall in kit.plan.walls:
            made[f"elevation-{wall.wall.letter}"] = lambda wall=wall: elevation(kit, wall, size)  # type: ignore[misc]
        made["plan"] = lambda: plan(kit)
        made["roof"] = lambda: roof_plan(kit, kit_faces(kit))
    for plate in plates_for(kit).plates:
        made[f"plate-{plate.name}"] = lambda plate=plate: plate_drawing(kit, plate)  # type: ignore[misc]
    made["exploded"] = lambda: exploded(kit, kit_faces(kit), ROOM_MM)
    made["assembled"] = lambda: assembled(kit, kit_faces(kit), ROOM_MM)
    for part in kit.parts:
        made[f"part-{part.number}"] = lambda part=part: part_drawing(kit, part, kit_faces(kit), ROOM_MM)  # type: ignore[misc]
    return made


def _elevations(kit: DrawnKit) -> Drawing:
    """Draw all elevations under one another."""
    size = elevation_size(kit)
    items: list[Item] = []
    top = 0.0
    for wall in kit.plan.walls:
        drawn = elevation(kit, wall, size)
        low, high = drawn.bounds
        shift = np.array([0.0, top - float(high[1])])
        items += [_moved(item, shift) for item in drawn.items]
        items.append(Label((0.0, top + 2.0), drawn.title, 4.0, "start", style="number"))
        top += float(low[1] - high[1]) - _APART_MM
    text = f"All {len(kit.plan.walls)} walls seen from outside."
    first = elevation(kit, kit.plan.walls[0], size)
    data = {"paper-per-model": str(size)}
    return Drawing("elevations", f"{kit.name}, elevations", text, tuple(items), first.scale_text, data=data)


def _moved(item: Item, shift: Array) -> Item:
    def point(at: Point) -> Point:
        return at[0] + float(shift[0]), at[1] + float(shift[1])

    if isinstance(item, Shape):
        return replace(item, rings=tuple(ring + shift for ring in item.rings))
    if isinstance(item, Label):
        return replace(item, at=point(item.at))
    if isinstance(item, Dimension):
        return replace(item, start=point(item.start), end=point(item.end))
    matrix = item.matrix.copy()
    matrix[:, 2] += shift
    return Brickwork(item.bond, matrix, item.clips, item.clip_key)
