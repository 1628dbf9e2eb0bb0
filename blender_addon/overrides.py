"""Buildings that are overrides of ones in other files keep their lists in writing.

Blender loses entries that an override adds to a list when the file is opened again, unless each has a name of its own,
and it cannot remove any that come from the other file. So lists that differ are written down when the file is saved and
filled again when it is opened.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import bpy
from bpy.app import handlers
from bpy.types import Object

from .properties import building_data
from .request_properties import REQUEST_CLASSES
from .rows import Row, fill, rows_of

LISTS = (*REQUEST_CLASSES, "walls", "findings")


def overridden() -> Iterator[Object]:
    """Yield the buildings of this file that are overrides."""
    for item in bpy.data.objects:
        if item.override_library is not None and building_data(item).is_building:
            yield item


def write_down(building: Object) -> None:
    """Keep with an override, in writing, those of its lists that differ from those of the building it overrides."""
    reference: Any = building.override_library.reference
    data, other = building_data(building), building_data(reference)
    own: dict[str, list[Row]] = {name: rows_of(getattr(data, name)) for name in LISTS}
    differing = {name: rows for name, rows in own.items() if rows != rows_of(getattr(other, name))}
    text = json.dumps(differing) if differing else ""
    if data.override_record != text:
        data.override_record = text


def bring_back(building: Object) -> None:
    """Fill the lists of an override from what was written down."""
    data = building_data(building)
    lists: dict[str, list[Row]] = json.loads(data.override_record or "{}")
    for name, rows in lists.items():
        if name in LISTS:
            fill(getattr(data, name), rows)


@handlers.persistent
def before_saving(_file: object = None, _more: object = None) -> None:
    """Write down the lists of all overrides."""
    for building in overridden():
        write_down(building)


@handlers.persistent
def after_loading(_file: object = None, _more: object = None) -> None:
    """Fill the lists of all overrides."""
    for building in overridden():
        bring_back(building)


def watch() -> None:
    """Start."""
    handlers.save_pre.append(before_saving)
    handlers.load_post.append(after_loading)


def unwatch() -> None:
    """Stop."""
    handlers.load_post.remove(after_loading)
    handlers.save_pre.remove(before_saving)
