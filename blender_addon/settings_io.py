"""A building's Blender properties become the core's settings, and the other way round."""

from __future__ import annotations

from typing import Any

import numpy as np
from bpy.types import Object

from halfbat.settings import SeamRequest, Setting, Settings, Value, check_settings, group_classes, settings_of

from .properties import building_data, property_name

AS_SET = "as set"


def _plain(record: Setting, value: Any) -> Value:  # noqa: ANN401 - a Blender property's value
    """Return a property's value as a kit file would hold it.

    Blender stores 0.12 in single precision, which reads back as 0.11999999731779099. The shortest decimal with the
    same single-precision value is what the maker typed.
    """
    if record.kind == "float":
        return float(np.format_float_positional(np.float32(value), unique=True))
    plain: Value = value
    return plain


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
    data = building_data(building)
    groups: dict[str, Any] = {}
    for group, group_class in group_classes(Settings).items():
        stored = getattr(data, group)
        groups[group] = group_class(
            **{
                record.key: _plain(record, getattr(stored, property_name(record)))
                for record in settings_of(group_class)
            }
        )
    seams = tuple(
        SeamRequest(wall=seam.wall, at=seam.at, hide=None if seam.hide == AS_SET else seam.hide) for seam in data.seams
    )
    settings = Settings(**groups, seams=seams)
    check_settings(settings)
    return settings


def write_settings(building: Object, settings: Settings) -> None:
    """Store settings with a building.

    Parameters
    ----------
    building : Object
        An object with Halfbat's properties.
    settings : Settings
        Stretches without seams have no place in Blender yet and are left out.
    """
    data = building_data(building)
    for group, group_class in group_classes(Settings).items():
        stored, values = getattr(data, group), getattr(settings, group)
        # A preset fills in the figures after it, so it comes first and they overwrite what it filled in.
        for record in sorted(settings_of(group_class), key=lambda item: item.key != "preset"):
            setattr(stored, property_name(record), getattr(values, record.key))
    data.seams.clear()
    for request in settings.seams:
        seam = data.seams.add()
        seam.wall, seam.at, seam.hide = request.wall, request.at, request.hide or AS_SET
