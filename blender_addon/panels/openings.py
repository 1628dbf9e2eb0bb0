"""Third step: doors, windows and vents that are not in the mesh."""

from __future__ import annotations

from typing import Any

from bpy.types import Context

from halfbat.settings import OpeningRequest

from ..placed import entry_of
from ..properties import building_data
from ..target import required_building
from .base import OPENINGS, BuildingTab, draw_text, form
from .placed import chosen, draw_fields, draw_list, draw_trouble

PLACE = ("wall", "at", "sill_height")
SIZE = ("width", "height")
ARCHES = ("segmental arch", "semicircular arch", "circular")


class HALFBAT_PT_openings(BuildingTab):
    """Openings."""

    bl_label = "Openings"
    bl_idname = "HALFBAT_PT_openings"
    bl_order = OPENINGS

    def draw(self, context: Context) -> None:
        """Draw the list and its buttons."""
        layout = self.layout
        building = required_building(context)
        data = building_data(building)
        draw_list(layout, building, "openings")
        layout.prop(data, "snap")
        item = chosen(context, "openings")
        if item is not None:
            draw_trouble(layout, context, item)
        else:
            draw_text(layout, context, "Those in the mesh need no entry here. Press + for a door or a window.", "INFO")


class HALFBAT_PT_opening(BuildingTab):
    """The chosen opening."""

    bl_label = "Chosen Opening"
    bl_idname = "HALFBAT_PT_opening"
    bl_parent_id = "HALFBAT_PT_openings"

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Show the panel while an opening is selected."""
        return super().poll(context) and chosen(context, "openings") is not None

    def draw(self, context: Context) -> None:
        """Draw what this kind of opening has."""
        item = chosen(context, "openings")
        assert item is not None
        entry, column = entry_of(item), form(self.layout)
        draw_fields(column, entry, OpeningRequest, PLACE)
        draw_fields(column, entry, OpeningRequest, SIZE)
        draw_fields(column, entry, OpeningRequest, head_keys(entry))
        if entry.head != "circular":
            draw_fields(column, entry, OpeningRequest, ("sill",))
        draw_fields(column, entry, OpeningRequest, insert_keys(entry))


def head_keys(entry: Any) -> tuple[str, ...]:  # noqa: ANN401 - a property group
    """Return the fields that an opening's head has."""
    more: tuple[str, ...] = ()
    if entry.head == "lintel":
        more = ("lintel",)
    elif entry.head == "flat arch":
        more = ("skewback", "camber")
    elif entry.head in ARCHES:
        more = ("work", "rings", *(("rise",) if entry.head == "segmental arch" else ()))
    return ("head", *more)


def insert_keys(entry: Any) -> tuple[str, ...]:  # noqa: ANN401
    """Return the fields that what fills an opening has."""
    if entry.insert.endswith("door"):
        return ("insert", "leaves")
    return ("insert", "panes") if entry.insert.endswith("window") else ("insert",)
