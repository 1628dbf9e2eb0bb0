"""Blender properties of what a maker asks for by the piece: features, finishes, stretches kept free of seams.

Each list of the core's settings becomes a collection of property groups of its own, generated from the fields of the
request, so that a new field or a new list needs nothing here. What stands on a wall as an object is kept in
objects (see `placed_properties`).

Annotations are not postponed in this file: Blender reads the properties out of them.
"""

from typing import Any

from bpy.types import PropertyGroup

from halfbat.settings import Settings, list_classes, settings_of

from .overridable import BoolProperty
from .placed_properties import PLACED_LISTS
from .setting_properties import blender_property, property_name

REQUEST_CLASSES: dict[str, type] = {
    name: request_class for name, request_class in list_classes(Settings).items() if name not in PLACED_LISTS
}
"""The core's class of each list that is kept as it is, by the list's name."""
NOUNS: dict[str, str] = {
    name: {"finishes": "finish", "no_seams": "stretch without seams"}.get(
        name, name.removesuffix("s").replace("_", " ")
    )
    for name in REQUEST_CLASSES
}
"""What one entry of each list is called."""


def index_name(name: str) -> str:
    """Return the name of the property that says which entry of a list is chosen."""
    return f"{name}_index"


def left_out_property() -> Any:  # noqa: ANN401 - what bpy.props returns has no public type
    """Return the property that says of an entry that it does not count; see `rows`."""
    return BoolProperty(
        name="Left out", description="It is in the file that is overridden, and left out of the list here"
    )


def _request_type(name: str, request_class: type) -> type[PropertyGroup]:
    """Return the property group of one entry of a list."""
    annotations = {property_name(record): blender_property(name, record) for record in settings_of(request_class)}
    annotations["left_out"] = left_out_property()
    body = {"__annotations__": annotations, "__doc__": request_class.__doc__, "__module__": __name__}
    return type(f"HALFBAT_PG_{name}", (PropertyGroup,), body)


REQUEST_TYPES: dict[str, type[PropertyGroup]] = {
    name: _request_type(name, request_class) for name, request_class in REQUEST_CLASSES.items()
}
