"""Bringing buildings of older files over to what this version keeps with a building.

Each building says with which version of the settings it was stored. A step brings it from one version to the next;
files of any older version go through all steps from theirs on. Files of a newer version are left alone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType
from typing import Any

import bpy
from bpy.types import Object

from halfbat.settings import Settings, group_classes, settings_of

from . import version_1
from .driving import lay_out, rest
from .placed_properties import AS_SET
from .properties import SETTINGS_VERSION, building_data
from .scene_out import part_objects
from .setting_properties import property_name
from .settings_io import plain_value, write_groups
from .standing import LOOK_ITEMS, set_look


def stored_values(building: Object) -> Any:  # noqa: ANN401 - Blender's own mapping, which has no public type
    """Return what the file holds of a building's properties, numbers as they lie there; empty where it holds none."""
    system = getattr(building, "bl_system_properties_get", None)  # from Blender 5.0 on
    root: Any = building if system is None else system()
    return root["halfbat"] if root is not None and "halfbat" in root else {}


def from_version_1(building: Object) -> None:
    """Turn places of choices into the choices themselves, and store every setting, also the ones nobody touched.

    From version 2 on a choice is stored as a number made from its name, so that new choices may come in between, and a
    setting keeps its value in older files when its default changes.
    """
    data, raw = building_data(building), stored_values(building)
    groups: dict[str, Any] = {}
    for group, group_class in group_classes(Settings).items():
        values: dict[str, Any] = {}
        for record in settings_of(group_class):
            choices = version_1.CHOICES.get((group, record.key))
            if choices is None:
                values[record.key] = plain_value(record, getattr(getattr(data, group), property_name(record)))
                continue
            default = version_1.DEFAULTS.get((group, record.key), choices[0])
            place = raw.get(group, {}).get(record.key)
            chosen = default if place is None else choices[place]
            values[record.key] = chosen if chosen in record.choices else record.default
        groups[group] = group_class(**values)
    write_groups(building, Settings(**groups))
    for seam, stored in zip(data.seams, raw.get("seams", ()), strict=False):
        seam.hide = version_1.SEAM_HIDE[stored.get("hide", version_1.SEAM_HIDE.index(AS_SET))]


def from_version_2(building: Object) -> None:
    """Have sliders and drivers say how the kit is looked at, in place of delta transforms written once and for all."""
    raw = stored_values(building)
    if building.library is not None:
        return  # what is linked can be given no drivers; it stays as it was seen
    data = building_data(building)
    look = LOOK_ITEMS[int(raw.get("look", 0))][0]
    for item in part_objects(building).values():
        rest(item)
        lay_out(item, building)
    set_look(building, look, data.explode)


STEPS: Mapping[int, Callable[[Object], None]] = MappingProxyType({1: from_version_1, 2: from_version_2})
"""What brings a building from a version to the next one."""


def migrate(
    building: Object, steps: Mapping[int, Callable[[Object], None]] = STEPS, newest: int = SETTINGS_VERSION
) -> bool:
    """Bring one building over to this version and tell whether there was anything to do.

    Parameters
    ----------
    building : Object
        Any object with Halfbat's properties; linked ones are changed in memory only, as Blender itself does.
    steps : mapping of int to callable
        By the version they start from.
    newest : int
        Where they end.
    """
    data = building_data(building)
    if not was_used(building) or data.settings_version >= newest:
        return False
    while data.settings_version < newest:
        steps[data.settings_version](building)
        data.settings_version += 1
    return True


def was_used(building: Object) -> bool:
    """Tell whether an object ever was a building, so that there are settings with it."""
    return bool(building_data(building).is_property_set("settings_version"))


def migrate_all(objects: Iterable[Object] | None = None) -> int:
    """Bring all buildings over, or those among some objects, and return how many there were to bring."""
    return sum(migrate(item) for item in (bpy.data.objects if objects is None else objects))
