"""How a kit is looked at: put together, drawn apart, or laid out on its plates.

Two sliders of the building say so. They are plain custom properties, and the parts follow them by drivers
(`driving.py`), so that they work, and can be animated, in a Blender without this extension too. This is called by
properties as they are read and set, so it knows no other module.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from bpy.types import Object

ASSEMBLED, EXPLODED, PLATES = "ASSEMBLED", "EXPLODED", "PLATES"
LOOK_ITEMS = [
    (ASSEMBLED, "Assembled", "Every part in its place"),
    (EXPLODED, "Exploded", "Parts drawn apart along the way they are put on, as far as the slider says"),
    (PLATES, "Plates", "Parts as they lie on their plates, before the building"),
]
EXPLODE, ON_PLATES = "halfbat_explode", "halfbat_on_plates"
SLIDERS: Mapping[str, str] = MappingProxyType(
    {
        EXPLODE: "How far the parts are drawn apart, from 0 to 1. What is exported stays as it is. Can be animated",
        ON_PLATES: "How far the parts are on their way to their plates, from 0 to 1. Can be animated",
    }
)
"""Names of the custom properties of a building, and what they say of themselves."""


def parts_of(building: Object) -> list[Object]:
    """Return the objects that are parts of a building, copies of them too, in whatever collection they are.

    Parts that came with a building from another file belong to that one; their meshes cannot be written.
    """
    data: Any = building.halfbat  # type: ignore[attr-defined]
    collection = data.collection
    own = collection is not None and collection.halfbat_kit.building == building
    found: dict[Any, None] = dict.fromkeys([*(collection.all_objects if own else ()), *building.children])
    return [
        item
        for item in found
        if item.halfbat_part.number
        and item.halfbat_part.building == building
        and (building.library is not None or (item.library is None and item.override_library is None))
    ]


def ensure_sliders(building: Object) -> None:
    """Give a building its sliders where it has none."""
    for name, text in SLIDERS.items():
        if building.get(name) is not None:
            continue
        building[name] = 0.0
        known: Any = building.id_properties_ui(name)
        known.update(min=0.0, max=1.0, soft_min=0.0, soft_max=1.0, default=0.0, subtype="FACTOR", description=text)
        building.property_overridable_library_set(f'["{name}"]', True)


def look_of(building: Object) -> str:
    """Return how a building's kit is looked at: `ASSEMBLED`, `EXPLODED` or `PLATES`."""
    if _slider(building, ON_PLATES) > 0.0:
        return PLATES
    return EXPLODED if _slider(building, EXPLODE) > 0.0 else ASSEMBLED


def set_look(building: Object, look: str, explode: float) -> None:
    """Move the sliders of a building.

    Parameters
    ----------
    building : Object
        Whose kit it is.
    look : str
        `ASSEMBLED`, `EXPLODED` or `PLATES`.
    explode : float
        Share of the way apart where it is to be drawn apart and is not yet.
    """
    ensure_sliders(building)
    building[EXPLODE] = (_slider(building, EXPLODE) or explode) if look == EXPLODED else 0.0
    building[ON_PLATES] = 1.0 if look == PLATES else 0.0
    building.update_tag()


def _slider(building: Object, name: str) -> float:
    return float(building.get(name, 0.0))
