"""A building's Blender properties become the core's settings, and the other way round, with nothing lost.

Groups of settings, seams, and the other lists each have a reader and a writer of their own.
"""

from __future__ import annotations

import json
from typing import Any

import numpy as np
from bpy.types import Object

from halfbat.settings import (
    SeamRequest,
    Setting,
    Settings,
    Value,
    check_settings,
    group_classes,
    iter_settings,
    settings_of,
    value_of,
)
from halfbat.settings.features import keys_of_kind

from .placed import read_placed, write_placed
from .placed_properties import AS_SET, PLACED_CLASSES
from .properties import building_data
from .request_properties import REQUEST_CLASSES
from .rows import fill, kept
from .setting_properties import property_name


def read_settings(building: Object) -> Settings:
    """Return the settings of a building.

    Parameters
    ----------
    building : Object
        An object with Halfbat's properties.

    Raises
    ------
    KitError
        When a name or a scale typed there cannot be used.
    """
    lists: dict[str, Any] = {name: read_requests(building, name) for name in REQUEST_CLASSES}
    lists |= {kind: read_placed(building, kind) for kind in PLACED_CLASSES}
    lists["seams"] += read_seams(building)
    settings = Settings(**read_groups(building), **lists)
    check_settings(settings)
    return settings


def write_settings(building: Object, settings: Settings) -> None:
    """Store settings with a building, in place of those it had.

    Parameters
    ----------
    building : Object
        An object with Halfbat's properties.
    settings : Settings
        What stands on walls becomes objects in the scenes of the building.
    """
    write_groups(building, settings)
    building_data(building).walls_were = ""  # the letters are those of the mesh as it is now
    building_data(building).seams.clear()
    for kind in PLACED_CLASSES:
        write_placed(building, kind, getattr(settings, kind))
    for name in REQUEST_CLASSES:
        write_requests(building, name, getattr(settings, name))


def read_groups(building: Object) -> dict[str, Any]:
    """Return every group of settings by its name."""
    return {group: read_group(building, group) for group in group_classes(Settings)}


def read_group(building: Object, group: str) -> Any:  # noqa: ANN401 - one of the core's groups
    """Return one group of settings, such as the `BrickSettings` for ``"brick"``."""
    data = building_data(building)
    stored = getattr(data, group)
    exact: dict[str, float] = json.loads(data.exact or "{}")
    group_class = group_classes(Settings)[group]
    values = {
        record.key: plain_value(record, getattr(stored, property_name(record)), exact.get(_exact_name(group, record)))
        for record in settings_of(group_class)
    }
    return group_class(**values)


def write_groups(building: Object, settings: Settings) -> None:
    """Store every group of settings."""
    data = building_data(building)
    for group, group_class in group_classes(Settings).items():
        stored, values = getattr(data, group), getattr(settings, group)
        # A preset fills in the figures after it, so it comes first and they overwrite what it filled in.
        for record in sorted(settings_of(group_class), key=lambda item: item.key != "preset"):
            setattr(stored, property_name(record), getattr(values, record.key))
    figures = {
        _exact_name(group, record): value_of(settings, group, record.key)
        for group, record in iter_settings(Settings)
        if record.kind == "float"
    }
    long = {name: value for name, value in figures.items() if _shortest(value) != value}
    data.exact = json.dumps(long) if long else ""


def read_seams(building: Object) -> tuple[SeamRequest, ...]:
    """Return the seams of the list that older files keep, which become objects when such a file is opened."""
    return tuple(
        SeamRequest(wall=seam.wall, at=seam.at, hide=None if seam.hide == AS_SET else seam.hide)
        for seam in building_data(building).seams
    )


def read_requests(building: Object, name: str) -> tuple[Any, ...]:
    """Return one list of requests, such as the features.

    What is left over in an entry from a kind it was before is left out.

    Parameters
    ----------
    building : Object
        An object with Halfbat's properties.
    name : str
        One of `REQUEST_CLASSES`.
    """
    return tuple(read_request(REQUEST_CLASSES[name], item) for item in kept(getattr(building_data(building), name)))


def read_request(request_class: type, item: Any) -> Any:  # noqa: ANN401 - a property group made from the class
    """Return one entry of a list as the core has it."""
    records = {record.key: record for record in settings_of(request_class)}
    keys = keys_of_kind(request_class, getattr(item, "kind", ""))
    return request_class(**{key: plain_value(records[key], getattr(item, property_name(records[key]))) for key in keys})


def write_requests(building: Object, name: str, requests: tuple[Any, ...]) -> None:
    """Store one list of requests in place of what it held; see `read_requests`."""
    records = settings_of(REQUEST_CLASSES[name])
    rows = [{property_name(record): getattr(request, record.key) for record in records} for request in requests]
    fill(getattr(building_data(building), name), rows)


def _exact_name(group: str, record: Setting) -> str:
    return f"{group}.{record.key}"


def _shortest(value: Any) -> float:  # noqa: ANN401 - a number
    """Return the shortest decimal that Blender's single precision stores as it stores the value.

    Blender stores 0.12 as a number that reads back as 0.11999999731779099; this gives 0.12 again, which was typed.
    """
    return float(np.format_float_positional(np.float32(value), unique=True))


def plain_value(record: Setting, value: Any, exact: float | None = None) -> Value:  # noqa: ANN401 - a property's value
    """Return a property's value as a kit file would hold it.

    Parameters
    ----------
    record : Setting
        Which setting it is.
    value : object
        As Blender gives it.
    exact : float, optional
        What was stored in more digits; counts for as long as the property still says the same.
    """
    if record.kind == "float":
        return exact if exact is not None and np.float32(exact) == np.float32(value) else _shortest(value)
    plain: Value = value
    return plain
