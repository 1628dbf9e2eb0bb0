"""How one setting of the core becomes one Blender property: label, help, range, unit and choices are the core's."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType
from typing import Any
from zlib import crc32

from bpy.types import Context, PropertyGroup

from halfbat.settings import Setting
from halfbat.settings.features import EVERY_WALL
from halfbat.units import NAMED_SCALES

from .overridable import BoolProperty, EnumProperty, FloatProperty, IntProperty, StringProperty
from .presets import fill_process

TAKEN_BY_BLENDER: Mapping[str, str] = MappingProxyType({"name": "kit_name"})


def stored_number(choice: str) -> int:
    """Return the number under which Blender stores a choice.

    It is made from the choice's name and not from its place, so that choices may come in between and old files still
    mean what they meant.
    """
    return crc32(choice.encode()) & 0x7FFFFFFF


def enum_items(choices: Iterable[tuple[str, str, str]]) -> list[tuple[str, str, str, str, int]]:
    """Return key, label and description of choices as Blender wants them, each with the number it is stored under."""
    return [(key, label, description, "NONE", stored_number(key)) for key, label, description in choices]


def _scale_names(_self: PropertyGroup, _context: Context, text: str) -> list[str]:
    """Offer the published scales while a scale is typed; a ratio of one's own stays possible."""
    return [scale.name for scale in NAMED_SCALES if text.casefold() in scale.name.casefold()] or [text]


def offer_walls(*, every: bool) -> Callable[[Any, Context, str], list[tuple[str, str]]]:
    """Return what offers the walls that were read from the mesh, with their lengths, while a letter is typed."""

    def offer(entry: Any, _context: Context, text: str) -> list[tuple[str, str]]:  # noqa: ANN401 - a property group
        owner = (
            entry.id_data if entry.id_data.parent is None or entry.id_data.halfbat.is_building else entry.id_data.parent
        )
        walls = [(wall.name, f"{wall.length_m:.2f} m") for wall in owner.halfbat.walls if not wall.left_out]
        offered = [(EVERY_WALL, "every wall"), *walls] if every else walls
        return [(letter, size) for letter, size in offered if text.casefold() in letter.casefold()]

    return offer


def _number_options(record: Setting) -> dict[str, Any]:
    options: dict[str, Any] = {"default": record.default}
    if record.minimum is not None:
        options["min"] = int(record.minimum) if record.kind == "int" else record.minimum
    if record.maximum is not None:
        options["max"] = int(record.maximum) if record.kind == "int" else record.maximum
    return options


def _float_options(record: Setting) -> dict[str, Any]:
    options = _number_options(record)
    if record.unit == "mm":
        # Blender's unit of cameras is the one that reads and shows millimetres whatever the scene's units are.
        options["subtype"] = "DISTANCE_CAMERA"
    fine = record.maximum is not None and record.maximum <= 2.0
    # Blender counts the digits of a length before the point too: 102.5 mm needs more than three.
    return options | {"precision": 5 if record.unit == "mm" else 3, "step": 1 if fine else 10}


def blender_property(
    group: str, record: Setting, update: Callable[[PropertyGroup, Context], None] | None = None
) -> Any:  # noqa: ANN401 - what bpy.props returns has no public type
    """Return the Blender property of one setting.

    Parameters
    ----------
    group : str
        Name of the setting's group.
    record : Setting
        Its label, help, range, unit and choices.
    update : callable, optional
        Called when it was changed.
    """
    label = f"{record.label} (m)" if record.unit == "m" else record.label
    shared: dict[str, Any] = {"name": label, "description": record.help.removesuffix(".")}
    if update is not None:
        shared["update"] = update
    if record.kind == "bool":
        return BoolProperty(default=bool(record.default), **shared)
    if record.kind == "int":
        return IntProperty(**_number_options(record), **shared)
    if record.kind == "float":
        return FloatProperty(**_float_options(record), **shared)
    if record.kind == "choice":
        choices = zip(record.choices, record.choice_labels, strict=True)
        items = enum_items((key, text, "") for key, text in choices)
        if record.key == "preset":
            shared["update"] = fill_process
        # A choice that must be made, such as the kind of a feature, has no default; the first stands there until then.
        default = record.default if record.default in record.choices else record.choices[0]
        return EnumProperty(items=items, default=str(default), **shared)
    if (group, record.key) == ("kit", "scale"):
        shared |= {"search": _scale_names, "search_options": {"SUGGESTION"}}
    if record.key == "wall":
        shared |= {"search": offer_walls(every=EVERY_WALL in record.help), "search_options": {"SUGGESTION"}}
    return StringProperty(default=str(record.default), **shared)


def property_name(record: Setting) -> str:
    """Return the name of a setting's property: its key, but for ``name``, which every property group has already."""
    return TAKEN_BY_BLENDER.get(record.key, record.key)
