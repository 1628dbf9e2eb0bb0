"""Blender properties of things that stand on a wall or slope as objects: openings, seams, pipes, roof lights.

Each is a child object of its building. What it says of itself is text, as people write lengths, and that is what
counts; the object's place follows the text, and the text follows when the object is moved (see `following`).

Annotations are not postponed in this file: Blender reads the properties out of them.
"""

from typing import Any

import bpy
from bpy.types import Context, Object, PropertyGroup

from halfbat.errors import KitError
from halfbat.settings import SeamRequest, SeamSettings, Settings, list_classes, settings_of
from halfbat.settings.paths import path_points

from .overridable import BoolProperty, EnumProperty, FloatVectorProperty, IntProperty, PointerProperty, StringProperty
from .setting_properties import blender_property, enum_items, offer_walls, property_name

PLACED_LISTS = ("openings", "seams", "downpipes", "cable_runs", "roof_lights")
PLACED_CLASSES: dict[str, type] = {
    name: request_class for name, request_class in list_classes(Settings).items() if name in PLACED_LISTS
}
"""The core's class of each list whose entries are objects, by the list's name."""
ON_SLOPES = frozenset({"roof_lights"})
"""Lists of what stands on slopes; the others stand on walls."""
MESHES = frozenset({"openings", "roof_lights"})
"""Lists whose objects are meshes; the others are curves."""
AS_SET = "as set"


def _typed(entry: PropertyGroup, _context: Context) -> None:
    """Have the object put where its text says, at the next update."""
    data = placed_data(entry.id_data)
    if not data.writing:
        data.typed = True
        entry.id_data.update_tag()


def _typed_path(entry: PropertyGroup, context: Context) -> None:
    """Have the object begin where its path does."""
    data = placed_data(entry.id_data)
    if not data.writing:
        try:
            points = path_points(entry.path)  # type: ignore[attr-defined]
        except KitError:
            points = ()  # said when it is put
        if points:
            data.writing = True
            entry.at = points[0][0]  # type: ignore[attr-defined]
            data.writing = False
    _typed(entry, context)


def _entry_type(name: str, request_class: type) -> type[PropertyGroup]:
    """Return the property group of one entry of a list."""
    annotations = {
        property_name(record): blender_property(name, record, update=_typed_path if record.key == "path" else _typed)
        for record in settings_of(request_class)
    }
    body = {"__annotations__": annotations, "__doc__": request_class.__doc__, "__module__": __name__}
    return type(f"HALFBAT_PG_placed_{name}", (PropertyGroup,), body)


def hide_items() -> list[tuple[str, str, str, str, int]]:
    """Return what may hide a seam, with the choice for all seams first."""
    hide = next(record for record in settings_of(SeamSettings) if record.key == "hide")
    usual = (AS_SET, "As set above", "Hidden in the way chosen for all seams")
    return enum_items([usual, *((key, text, "") for key, text in zip(hide.choices, hide.choice_labels, strict=True))])


class HALFBAT_PG_placed_seams(PropertyGroup):
    """A seam that the maker placed."""

    wall: StringProperty(
        name="Wall",
        description="Letter of the wall the seam is in",
        update=_typed,
        search=offer_walls(every=False),
        search_options={"SUGGESTION"},
    )
    at: StringProperty(
        name="At",
        description="Full-size length from the wall's left end seen from outside: 4.2 m, 13 ft 9 in, 44 bricks",
        update=_typed,
    )
    hide: EnumProperty(name="Hidden by", description="What hides this seam", items=hide_items(), update=_typed)
    path: StringProperty(
        name="Path",
        description="Corners of a seam that bends under its cable run, each a place along the wall and a height: "
        "4.2 m, foot; 4.2 m, 12 courses; 5 m, 12 courses; 5 m, top. Empty goes straight up",
        update=_typed_path,
    )


ENTRY_TYPES: dict[str, type[PropertyGroup]] = {
    name: HALFBAT_PG_placed_seams if request_class is SeamRequest else _entry_type(name, request_class)
    for name, request_class in PLACED_CLASSES.items()
}


class HALFBAT_PG_placed(PropertyGroup):
    """What an object on a wall is, and how it was put there."""

    kind: StringProperty(name="Kind", description="Name of the list it is an entry of; empty for other objects")
    order: IntProperty(name="Order", description="Its turn in the list")
    trouble: StringProperty(name="Trouble", description="Why it cannot be made where it is; empty when it can")
    word: StringProperty(name="Word", description="What was done with it that may not have been meant")
    off_wall: BoolProperty(name="Off the walls", description="It stands on no wall and is left out of the kit")
    put: FloatVectorProperty(size=16, name="Put", description="Where it was put; anywhere else, it was moved by hand")
    rest: StringProperty(name="At rest", description="What its text was before it was moved by hand")
    drawn: StringProperty(name="Drawn", description="Points of its line as drawn; any others, it was bent by hand")
    look: StringProperty(name="Look", description="What its look was last made of")
    furnished: BoolProperty(name="Furnished", description="It was given the modifier that shows saddles")
    rest_put: FloatVectorProperty(size=16, name="Rest", description="Where it stood before it was moved by hand")
    typed: BoolProperty(name="Typed", description="Its text was changed since it was put")
    left_out: BoolProperty(
        name="Left out", description="It is in the file that is overridden, and left out of the building here"
    )
    writing: BoolProperty(name="Writing", description="Its text is being written from its place")


for _name, _type in ENTRY_TYPES.items():
    HALFBAT_PG_placed.__annotations__[_name] = PointerProperty(
        type=_type, name=_name.capitalize(), description="What it is, where it is in this list"
    )

PLACED_TYPES: tuple[type[PropertyGroup], ...] = (*ENTRY_TYPES.values(), HALFBAT_PG_placed)


def index_of_kind(kind: str) -> str:
    """Return the name of the property that says which object of a kind is chosen in the list of all objects."""
    return f"{kind}_chosen"


def chosen_property(kind: str) -> Any:  # noqa: ANN401 - what bpy.props returns has no public type
    """Return a property that is the place of the active object in the list of all, where it is of this kind.

    Nothing is stored: choosing in the list makes an object active, and the active object is the one chosen.
    """

    def get(owner: PropertyGroup) -> int:
        active = bpy.context.view_layer.objects.active if bpy.context.view_layer else None
        if active is None or active.parent != owner.id_data or placed_data(active).kind != kind:
            return -1
        return bpy.data.objects.find(active.name)

    def choose(_owner: PropertyGroup, place: int) -> None:
        layer = bpy.context.view_layer
        item = bpy.data.objects[place]
        if layer is None or item.name not in layer.objects or bpy.context.mode != "OBJECT":
            return
        for other in list(layer.objects.selected):
            other.select_set(False)
        item.select_set(True)
        layer.objects.active = item

    return IntProperty(name="Chosen", description="Which one is chosen in the list", get=get, set=choose)


def placed_data(item: Object) -> Any:  # noqa: ANN401 - attributes of it are made when the extension registers
    """Return what an object on a wall is, a `HALFBAT_PG_placed`."""
    return item.halfbat_placed  # type: ignore[attr-defined]


def attach_placed() -> None:
    """Give objects the property."""
    bpy.types.Object.halfbat_placed = PointerProperty(type=HALFBAT_PG_placed, name="Halfbat thing on a wall")  # type: ignore[attr-defined]


def detach_placed() -> None:
    """Take the property away again; what files store in it stays there."""
    del bpy.types.Object.halfbat_placed  # type: ignore[attr-defined]
