"""Objects that stand on a building's walls, as entries of its settings: listed, made, read, written, removed."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import asdict
from typing import Any

import bpy
from bpy.types import Collection, Object, Scene

from halfbat.findings import Finding, Severity
from halfbat.settings import SeamRequest, settings_of

from .placed_properties import AS_SET, MESHES, ON_SLOPES, PLACED_CLASSES, placed_data
from .properties import building_data, kit_data
from .setting_properties import property_name

TITLES = {
    "openings": "Opening",
    "seams": "Seam",
    "downpipes": "Downpipe",
    "cable_runs": "Cable run",
    "roof_lights": "Roof light",
}


def is_placed(item: Object) -> bool:
    """Tell whether an object stands on a wall of a building."""
    return bool(placed_data(item).kind) and item.parent is not None and building_data(item.parent).is_building


def placed_on(building: Object, kind: str = "") -> list[Object]:
    """Return the objects on a building's walls, of one list or of all, in the order of the settings.

    A copy the maker made comes right after the one it was copied from.
    """
    found = [
        item
        for item in building.children
        if placed_data(item).kind
        and kind in ("", placed_data(item).kind)
        and len(item.users_collection)
        and not placed_data(item).left_out
    ]
    return sorted(found, key=lambda item: (placed_data(item).kind, placed_data(item).order, item.name))


def place_of(item: Object) -> str:
    """Return the letter of the wall or slope an object stands on by its text."""
    letter: str = getattr(entry_of(item), place_name(placed_data(item).kind))
    return letter


def place_name(kind: str) -> str:
    """Return what things of a list stand on."""
    return "slope" if kind in ON_SLOPES else "wall"


def entry_of(item: Object) -> Any:  # noqa: ANN401 - a property group made from the core's class
    """Return the properties of the list's entry an object is."""
    data = placed_data(item)
    return getattr(data, data.kind)


def request_of(item: Object) -> Any:  # noqa: ANN401 - a request of one of the lists
    """Return the entry of the core's settings an object is."""
    entry, request_class = entry_of(item), PLACED_CLASSES[placed_data(item).kind]
    if request_class is SeamRequest:
        return SeamRequest(entry.wall, entry.at, None if entry.hide == AS_SET else entry.hide, entry.path)
    return request_class(**{record.key: getattr(entry, property_name(record)) for record in settings_of(request_class)})


@contextmanager
def writing(item: Object) -> Iterator[None]:
    """Write an object's text without having it put there."""
    data = placed_data(item)
    data.writing = True
    try:
        yield
    finally:
        data.writing = False


def write_request(item: Object, request: Any) -> None:  # noqa: ANN401
    """Store an entry of the core's settings in an object."""
    entry = entry_of(item)
    values = asdict(request)
    with writing(item):
        if isinstance(request, SeamRequest):
            values["hide"] = request.hide or AS_SET
        for key, value in values.items():
            if getattr(entry, key) != value:
                setattr(entry, key, value)


def new_placed(building: Object, kind: str, request: Any, order: int | None = None) -> Object:  # noqa: ANN401
    """Return a new object on a building's walls; it is put in its place at the next update.

    Parameters
    ----------
    building : Object
        The building.
    kind : str
        Name of a list of the settings.
    request : OpeningRequest, SeamRequest, CoverRequest or CableRunRequest
        Entry of that list.
    order : int, optional
        Its turn; by default the last.
    """
    title = TITLES[kind]
    shape = bpy.data.meshes.new(title) if kind in MESHES else bpy.data.curves.new(title, "CURVE")
    item = bpy.data.objects.new(f"{title} {building.name}", shape)
    data = placed_data(item)
    data.kind = kind
    orders = [placed_data(other).order for other in placed_on(building, kind)]
    data.order = max(orders, default=-1) + 1 if order is None else order
    item.parent = building
    item.hide_render = True
    item.show_in_front = True
    item.lock_rotation = item.lock_scale = (True, True, True)
    write_request(item, request)
    data.typed = True
    ensure_collection(building).objects.link(item)
    return item


def remove_placed(items: Iterable[Object]) -> None:
    """Take objects on walls out of the file; overrides of ones in another file, which would come back, are hidden."""
    for item in list(items):
        if item.override_library is not None:
            placed_data(item).left_out = item.hide_viewport = True
            continue
        shape = item.data
        bpy.data.objects.remove(item)
        if shape is not None and shape.users == 0 and shape.library is None:
            (bpy.data.meshes if isinstance(shape, bpy.types.Mesh) else bpy.data.curves).remove(shape)  # type: ignore[arg-type]


def ensure_collection(building: Object) -> Collection:
    """Return the collection of the things on a building's walls, in the scenes the building is in.

    A copied building points at that of the one it was copied from, and gets one of its own.
    """
    data = building_data(building)
    if data.placed is None or kit_data(data.placed).stands_on != building:
        data.placed = bpy.data.collections.new(f"{building.name} openings and seams")
        kit_data(data.placed).stands_on = building
    collection: Collection = data.placed
    for scene in _scenes_of(building):
        if collection not in scene.collection.children_recursive:
            scene.collection.children.link(collection)
    return collection


def _scenes_of(building: Object) -> list[Scene]:
    return [scene for scene in bpy.data.scenes if building.name in scene.objects and scene.library is None]


def read_placed(building: Object, kind: str) -> tuple[Any, ...]:
    """Return one list of a building's settings from the objects on its walls.

    Those that stand off every wall are left out. A building that was copied without its objects has them still in
    writing, and that counts until they are made again.
    """
    if needs_objects(building):
        return tuple(request_from(kind, values) for values in _record(building).get(kind, []))
    return tuple(request_of(item) for item in placed_on(building, kind) if not placed_data(item).off_wall)


def write_placed(building: Object, kind: str, requests: Iterable[Any]) -> None:
    """Store one list of a building's settings as objects on its walls, in place of those it had."""
    make_again(building)
    remove_placed(placed_on(building, kind))
    for order, request in enumerate(requests):
        new_placed(building, kind, request, order)
    remember(building)


def findings_on_walls(building: Object) -> tuple[Finding, ...]:
    """Tell of things that stand off every wall and slope and were left out."""
    return tuple(
        Finding(
            Severity.WARNING,
            "off-wall",
            item.name,
            f"stands off the {place_name(placed_data(item).kind)}s and was left out",
            f"move it onto a {place_name(placed_data(item).kind)}",
        )
        for item in placed_on(building)
        if placed_data(item).off_wall
    )


def remember(building: Object) -> None:
    """Keep in writing what stands on a building's walls, in case it is copied without that."""
    record: dict[str, list[dict[str, Any]]] = {}
    for item in placed_on(building):
        if not placed_data(item).off_wall:
            record.setdefault(placed_data(item).kind, []).append(asdict(request_of(item)))
    data = building_data(building)
    text = json.dumps(record) if record else ""
    if data.placed_record != text:
        data.placed_record = text


def needs_objects(building: Object) -> bool:
    """Tell whether a building was copied without the objects on its walls."""
    data = building_data(building)
    if not data.placed_record or data.placed is None or kit_data(data.placed).stands_on == building:
        return False
    return not placed_on(building)


def make_again(building: Object) -> None:
    """Make the objects on the walls of a building that was copied without them."""
    if needs_objects(building):
        for kind, entries in _record(building).items():
            for order, values in enumerate(entries):
                new_placed(building, kind, request_from(kind, values), order)
        remember(building)


def request_from(kind: str, values: dict[str, Any]) -> Any:  # noqa: ANN401
    """Return an entry of a list from what was kept in writing; keys that are gone since are left out."""
    request_class = PLACED_CLASSES[kind]
    known = request_class.__dataclass_fields__  # type: ignore[attr-defined]
    return request_class(**{key: value for key, value in values.items() if key in known})


def _record(building: Object) -> dict[str, list[dict[str, Any]]]:
    record: dict[str, list[dict[str, Any]]] = json.loads(building_data(building).placed_record)
    return {kind: entries for kind, entries in record.items() if kind in PLACED_CLASSES}


def adopt_old_seams(building: Object) -> int:
    """Make objects of the seams that older files keep as a list, and return how many."""
    old = building_data(building).seams
    for seam in old:
        new_placed(building, "seams", SeamRequest(seam.wall, seam.at, None if seam.hide == AS_SET else seam.hide))
    count = len(old)
    if count:
        old.clear()
        remember(building)
    return count
