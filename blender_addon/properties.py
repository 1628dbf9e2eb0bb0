"""Blender properties, generated from the core's settings so that nothing about a setting is written twice.

Each building object carries its own settings as ``object.halfbat``; each part made from it says what it is in
``object.halfbat_part``; the collection of a kit says whose it is in ``collection.halfbat_kit``.

Annotations are not postponed in this file: Blender reads the properties out of them.
"""

from typing import Any

import bpy
from bpy.types import Collection, Context, Object, PropertyGroup

from halfbat.settings import Settings, group_classes, settings_of

from .overridable import (
    BoolProperty,
    CollectionProperty,
    EnumProperty,
    FloatProperty,
    FloatVectorProperty,
    IntProperty,
    PointerProperty,
    StringProperty,
)
from .placed_properties import (
    PLACED_CLASSES,
    PLACED_TYPES,
    attach_placed,
    chosen_property,
    detach_placed,
    hide_items,
    index_of_kind,
)
from .request_properties import REQUEST_TYPES, index_name, left_out_property
from .rows import kept
from .setting_properties import blender_property, property_name
from .standing import EXPLODE, LOOK_ITEMS, look_of, set_look

SETTINGS_VERSION = 3
"""Raised when a stored setting changes its meaning; `migration` has a step from each older version."""


def _group_type(group: str, group_class: type) -> type[PropertyGroup]:
    """Return the property group of one group of settings."""
    annotations = {property_name(record): blender_property(group, record) for record in settings_of(group_class)}
    body = {"__annotations__": annotations, "__doc__": group_class.__doc__, "__module__": __name__}
    return type(f"HALFBAT_PG_{group}", (PropertyGroup,), body)


GROUP_TYPES: dict[str, type[PropertyGroup]] = {
    group: _group_type(group, group_class) for group, group_class in group_classes(Settings).items()
}


class HALFBAT_PG_seam(PropertyGroup):
    """A seam that the maker placed by hand, as files of settings version 1 keep it; now it is an object."""

    wall: StringProperty(name="Wall", description="Letter of the wall the seam is in")
    at: StringProperty(
        name="At",
        description="Full-size length from the wall's left end seen from outside: 4.2 m, 13 ft 9 in, 44 bricks",
    )
    hide: EnumProperty(name="Hidden by", description="What hides this seam", items=hide_items())


class HALFBAT_PG_wall(PropertyGroup):
    """A wall as it was last read from the mesh; its letter is the entry's name."""

    length_m: FloatProperty(name="Length", description="Full-size length, m", precision=3)
    height_m: FloatProperty(name="Height", description="Full-size height of its top above the foot, m", precision=3)
    openings: IntProperty(name="Openings", description="Openings found in the mesh")
    left_out: left_out_property()


class HALFBAT_PG_finding(PropertyGroup):
    """One thing the last making of the kit had to say."""

    severity: StringProperty(name="Severity", description="Note, warning or failure")
    code: StringProperty(name="Check", description="Name of the check that found it")
    part: StringProperty(name="Part", description="Number of the part it is about; empty for the whole kit")
    text: StringProperty(name="Finding", description="What was found")
    remedy: StringProperty(name="Remedy", description="What to do about it")
    place_on: StringProperty(name="Place on", description="Number of the part on which its place is; empty for none")
    place_low: FloatVectorProperty(name="From", size=3, description="Lowest corner of its place on that part, mm")
    place_high: FloatVectorProperty(name="To", size=3, description="Highest corner of its place on that part, mm")
    place_words: StringProperty(name="Where", description="Where it is, in words")
    left_out: left_out_property()


def words_of_finding(building: Any, index: int | None = None) -> str:  # noqa: ANN401 - a HALFBAT_PG_building
    """Return by what a finding is known again after its kit was made anew: its words, and which one of the same words.

    Parameters
    ----------
    building : HALFBAT_PG_building
        Whose finding it is.
    index : int, optional
        Which one of the list; by default the chosen one.
    """
    index = building.finding_index if index is None else index
    told = kept(building.findings)
    words = ["\n".join((item.code, item.part, item.text)) for item in told[: index + 1]]
    return f"{words[index]}\n{words.count(words[index])}" if 0 <= index < len(told) else ""


class HALFBAT_PG_part(PropertyGroup):
    """What a part object is."""

    number: StringProperty(name="Number", description="Number of the part, engraved on its back")
    title: StringProperty(name="Part", description="What the part is")
    kind: StringProperty(name="Kind", description="Shell, skin, cover, lid")
    wall: StringProperty(name="Wall", description="Letter of the wall it stands on; empty for other parts")
    process: StringProperty(name="Process", description="What the part is made by")
    quantity: IntProperty(name="Quantity", description="How many of it the kit needs")
    size_mm: FloatVectorProperty(name="Size", size=3, description="Size as printed, mm, before anything is cut from it")
    apart_mm: FloatVectorProperty(
        name="Apart", size=3, description="How far it is moved when the kit is drawn apart, mm of the model"
    )
    plate_mm: FloatVectorProperty(
        name="On its plate", size=16, description="Where it lies on its plate before the building, mm of the model"
    )
    laid_out: FloatVectorProperty(
        name="Laid out",
        size=9,
        description="Its ways apart and to its plate as they were last written into its drivers",
    )
    driven: BoolProperty(name="Driven", description="It was given its drivers; what became of them is the maker's")
    stands: FloatVectorProperty(
        name="Stands", size=16, description="Where it stands in the building's frame, as a matrix of Blender units"
    )
    made_of: StringProperty(name="Made of", description="Digest of its shape as it was made")
    coloured_of: StringProperty(name="Coloured of", description="Digest of its shape as it was coloured")
    bricks: IntProperty(name="Bricks", description="Facing bricks on one piece")
    building: PointerProperty(type=Object, name="Building", description="Building the part was made from")


class HALFBAT_PG_kit(PropertyGroup):
    """Whose kit a collection holds, and what it was made from."""

    building: PointerProperty(type=Object, name="Building", description="Building the kit was made from")
    fingerprint: StringProperty(name="Made from", description="Digest of the mesh and the settings it was made from")
    settings_digest: StringProperty(name="Settings", description="Digest of the settings alone")
    plates: StringProperty(name="Plates", description="Names, places and sizes of its plates, mm of the model")
    stands_on: PointerProperty(type=Object, name="Stands on", description="Building on whose walls its objects stand")


def _look(building: PropertyGroup) -> int:
    """Return which of the looks the sliders say."""
    return [item[0] for item in LOOK_ITEMS].index(look_of(building.id_data))


def _set_look(building: PropertyGroup, index: int) -> None:
    """Move the sliders, and remember how far apart the kit was."""
    item: Any = building.id_data
    apart = float(item.get(EXPLODE, 0.0))
    if apart > 0.0:
        building.explode = apart  # type: ignore[attr-defined]
    set_look(item, LOOK_ITEMS[index][0], building.explode)  # type: ignore[attr-defined]


def _found(building: PropertyGroup, _context: Context) -> None:
    """Look at what the finding just chosen is about, unless it is looked at already."""
    if building.marked and building.marked == words_of_finding(building):  # type: ignore[attr-defined]
        return
    if bpy.ops.halfbat.look_at_finding.poll():  # type: ignore[attr-defined]
        bpy.ops.halfbat.look_at_finding(index=building.finding_index)  # type: ignore[attr-defined]


def _switched(building: PropertyGroup, _context: Context) -> None:
    """Have it looked at whether there is something to keep up."""
    building.live_word = ""  # type: ignore[attr-defined]
    building.id_data.update_tag()


class HALFBAT_PG_building(PropertyGroup):
    """Everything Halfbat keeps with a building."""

    is_building: BoolProperty(name="Is a building", description="Kits are made of this object")
    settings_version: IntProperty(
        name="Settings version",
        description="Version of the settings as they lie in this file",
        default=SETTINGS_VERSION,
    )
    exact: StringProperty(
        name="Exact figures", description="Figures of more digits than Blender's numbers have, by their names"
    )
    walls: CollectionProperty(
        type=HALFBAT_PG_wall, name="Walls", description="Walls as they were last read from the mesh"
    )
    walls_index: IntProperty(name="Wall", description="Wall chosen in the list; new features go there")
    walls_were: StringProperty(
        name="Where walls were", description="Where walls stood when they got the letters that settings name"
    )
    walls_word: StringProperty(
        name="Letters", description="What the last change of the mesh did to the letters of walls"
    )
    walls_read_from: StringProperty(name="Walls read from", description="Sizes of the mesh the walls were read from")
    seams: CollectionProperty(type=HALFBAT_PG_seam, name="Seams of older files", description="Become objects")
    placed: PointerProperty(
        type=Collection, name="On the walls", description="Collection of the openings and seams on its walls"
    )
    override_record: StringProperty(
        name="Lists in writing", description="Lists of an override that differ from those of the file it comes from"
    )
    placed_record: StringProperty(name="In writing", description="What stands on its walls, for copies made without it")
    snap: BoolProperty(
        name="Snap to Bricks",
        description="Openings, seams and pipes that are moved come to stand on courses and joints of the brickwork",
        default=True,
    )
    live: BoolProperty(
        name="Keep Up to Date",
        description="Make what changed again by itself when settings, openings or seams were changed. Esc stops it",
        update=_switched,
    )
    live_word: StringProperty(name="Keeping up", description="How keeping up to date comes along")
    findings: CollectionProperty(
        type=HALFBAT_PG_finding, name="Findings", description="What the last making of the kit had to say"
    )
    finding_index: IntProperty(name="Finding", description="Finding chosen in the list", update=_found)
    marked: StringProperty(name="Marked", description="Words of the finding whose place is marked in the view")
    look: EnumProperty(
        name="Look", description="How the kit is looked at", items=LOOK_ITEMS, get=_look, set=_set_look, options=set()
    )
    explode: FloatProperty(
        name="Explode",
        description="How far parts are drawn apart when that is chosen the next time",
        min=0.0,
        max=1.0,
        default=1.0,
        subtype="FACTOR",
    )
    numbers: BoolProperty(name="Numbers", description="Write the numbers of the parts over the 3D view")
    finish_colours: BoolProperty(
        name="Finish Colours",
        description="Show the finishes of walls as colours on the building. Its mesh and materials stay as they are",
        default=True,
    )
    part_index: IntProperty(name="Part", description="Part chosen in the list")
    display_before: StringProperty(name="Display", description="How the building was drawn before the kit was made")
    collection: PointerProperty(type=Collection, name="Kit", description="Collection of the kit's parts")
    cutters: PointerProperty(
        type=Collection, name="Cutters", description="What lies in this collection is cut out of the parts"
    )


def first_line(cls: type) -> str:
    """Return what a class says of itself, without its full stop."""
    return (cls.__doc__ or "").split("\n")[0].split(";")[0].removesuffix(".")


for _kind in PLACED_CLASSES:
    HALFBAT_PG_building.__annotations__[index_of_kind(_kind)] = chosen_property(_kind)
for _group, _type in GROUP_TYPES.items():
    HALFBAT_PG_building.__annotations__[_group] = PointerProperty(
        type=_type, name=_group.capitalize(), description=first_line(_type)
    )
for _name, _type in REQUEST_TYPES.items():
    _title = _name.replace("_", " ").capitalize()
    HALFBAT_PG_building.__annotations__[_name] = CollectionProperty(
        type=_type, name=_title, description=first_line(_type)
    )
    HALFBAT_PG_building.__annotations__[index_name(_name)] = IntProperty(
        name=_title, description="Which one is chosen in the list"
    )

CLASSES: tuple[type[PropertyGroup], ...] = (
    *GROUP_TYPES.values(),
    *REQUEST_TYPES.values(),
    HALFBAT_PG_wall,
    *PLACED_TYPES,
    HALFBAT_PG_seam,
    HALFBAT_PG_finding,
    HALFBAT_PG_part,
    HALFBAT_PG_kit,
    HALFBAT_PG_building,
)


def building_data(building: Object) -> Any:  # noqa: ANN401 - attributes of it are made when the extension registers
    """Return what Halfbat keeps with a building, a `HALFBAT_PG_building`."""
    return building.halfbat  # type: ignore[attr-defined]


def part_data(part: Object) -> Any:  # noqa: ANN401
    """Return what a part object is, a `HALFBAT_PG_part`."""
    return part.halfbat_part  # type: ignore[attr-defined]


def kit_data(collection: Collection) -> Any:  # noqa: ANN401
    """Return whose kit a collection holds, a `HALFBAT_PG_kit`."""
    return collection.halfbat_kit  # type: ignore[attr-defined]


def attach() -> None:
    """Give objects and collections their properties."""
    bpy.types.Object.halfbat = PointerProperty(type=HALFBAT_PG_building, name="Halfbat building")  # type: ignore[attr-defined]
    bpy.types.Object.halfbat_part = PointerProperty(type=HALFBAT_PG_part, name="Halfbat part")  # type: ignore[attr-defined]
    attach_placed()
    bpy.types.Collection.halfbat_kit = PointerProperty(type=HALFBAT_PG_kit, name="Halfbat kit")  # type: ignore[attr-defined]


def detach() -> None:
    """Take the properties away again; what files store in them stays there."""
    del bpy.types.Collection.halfbat_kit  # type: ignore[attr-defined]
    detach_placed()
    del bpy.types.Object.halfbat_part  # type: ignore[attr-defined]
    del bpy.types.Object.halfbat  # type: ignore[attr-defined]
