"""Lists of what stands on a building's walls. Choosing an entry selects its object, and the other way round."""

from __future__ import annotations

from typing import Any

import bpy
from bpy.types import Context, Menu, Object, UILayout

from halfbat.settings import settings_of
from halfbat.settings.usual_openings import USUAL_OPENINGS
from halfbat.settings.usual_roof_lights import USUAL_ROOF_LIGHTS

from ..placed import entry_of, place_name, placed_on
from ..placed_properties import index_of_kind, placed_data
from ..properties import building_data
from ..setting_properties import property_name
from ..target import required_building
from .base import BuildingTab, Rows, draw_text


class PlacedList(Rows):
    """The objects of one kind on a building's walls."""

    kind = ""

    def draw_row(self, context: Context, layout: UILayout, item: Any, active_property: str) -> None:  # noqa: ANN401
        """Draw one thing: wall, place, what it is."""
        placed, entry = placed_data(item), entry_of(item)
        row = layout.row(align=True)
        row.alert = bool(placed.trouble)
        wall = row.row()
        wall.ui_units_x = 2.0
        wall.prop(entry, place_name(self.kind), text="", emboss=False)
        row.prop(entry, "at", text="", emboss=False)
        self.draw_what(row, entry)
        if placed.trouble:
            row.label(text="", icon="ERROR")

    def draw_what(self, row: UILayout, entry: Any) -> None:  # noqa: ANN401 - a property group
        """Draw what it is."""

    def filter_items(self, context: Context | None, data: Any, property: str | None) -> Any:  # noqa: ANN401
        """Show the building's own, in the order of the settings."""
        everything = getattr(data, property)
        own = {item.name: turn for turn, item in enumerate(placed_on(required_building(context), self.kind))}
        shown = [item.name in own and item.library is None for item in everything]
        flags = [self.bitflag_filter_item if show else 0 for show in shown]
        rest = iter(range(len(own), len(everything) + len(own)))
        order = [own[item.name] if show else next(rest) for item, show in zip(everything, shown, strict=True)]
        return flags, order


class HALFBAT_UL_openings(PlacedList):
    """Openings."""

    kind = "openings"

    def draw_what(self, row: UILayout, entry: Any) -> None:  # noqa: ANN401
        """Draw the insert."""
        row.prop(entry, "insert", text="", emboss=False)


class HALFBAT_UL_seams(PlacedList):
    """Seams placed by hand."""

    kind = "seams"

    def draw_what(self, row: UILayout, entry: Any) -> None:  # noqa: ANN401
        """Draw what hides it."""
        row.prop(entry, "hide", text="", emboss=False)


class HALFBAT_UL_downpipes(PlacedList):
    """Downpipes where no seam is."""

    kind = "downpipes"


class HALFBAT_UL_cable_runs(PlacedList):
    """Cable runs where no seam is."""

    kind = "cable_runs"


class HALFBAT_UL_roof_lights(PlacedList):
    """Roof lights."""

    kind = "roof_lights"

    def draw_what(self, row: UILayout, entry: Any) -> None:  # noqa: ANN401
        """Draw how high up they are and how many."""
        row.prop(entry, "up", text="", emboss=False)
        row.prop(entry, "style", text="", emboss=False)


class PlacedPanel(BuildingTab):
    """The list of one kind under the seams."""

    bl_parent_id = "HALFBAT_PT_seams"
    bl_options = {"DEFAULT_CLOSED"}
    kind = ""
    empty = ""

    def draw(self, context: Context) -> None:
        """Draw the list with its buttons."""
        draw_list(self.layout, required_building(context), self.kind)
        item = chosen(context, self.kind)
        if item is not None:
            self.draw_more(context, item)
            draw_trouble(self.layout, context, item)
        else:
            draw_text(self.layout, context, self.empty, "INFO")

    def draw_more(self, context: Context, item: Object) -> None:
        """Draw what else there is to say of the one that is chosen."""


class HALFBAT_PT_placed_downpipes(PlacedPanel):
    """Downpipes where no seam is."""

    bl_label = "Downpipes without a Seam"
    bl_order = 6
    kind = "downpipes"
    empty = "Downpipes beside those that hide seams. Press + and click on a wall."


class HALFBAT_PT_placed_cable_runs(PlacedPanel):
    """Cable runs, which may bend."""

    bl_label = "Cable Runs"
    bl_order = 7
    kind = "cable_runs"
    empty = "Cable runs beside those that hide seams. Press + and click on a wall; bend them in Edit Mode."

    def draw_more(self, context: Context, item: Object) -> None:
        """Draw its path, and whether the wall is split under it."""
        self.layout.prop(entry_of(item), "seam")
        draw_path(self.layout, context, item)


class HALFBAT_MT_add_opening(Menu):
    """Usual doors and windows, to be put on a wall with a click."""

    bl_idname = "HALFBAT_MT_add_opening"
    bl_label = "Add Opening"

    def draw(self, _context: Context) -> None:
        """Draw the names."""
        for name in USUAL_OPENINGS:
            choice = self.layout.operator("halfbat.place_on_wall", text=name)
            choice.kind, choice.usual = "openings", name
        self.layout.separator()
        self.layout.operator_menu_enum("halfbat.add_opening", "usual", text="At 3D Cursor", icon="PIVOT_CURSOR")


class HALFBAT_MT_add_roof_light(Menu):
    """Usual roof lights, to be put on a slope with a click."""

    bl_idname = "HALFBAT_MT_add_roof_light"
    bl_label = "Add Roof Light"

    def draw(self, _context: Context) -> None:
        """Draw the names."""
        for name in USUAL_ROOF_LIGHTS:
            choice = self.layout.operator("halfbat.place_on_wall", text=name)
            choice.kind, choice.usual_light = "roof_lights", name


def draw_list(layout: UILayout, building: Object, kind: str) -> None:
    """Draw the list of one kind, with its buttons beside it."""
    row = layout.row()
    row.template_list(
        f"HALFBAT_UL_{kind}", "", bpy.data, "objects", building_data(building), index_of_kind(kind), rows=3
    )
    side = row.column(align=True)
    menus = {"openings": "HALFBAT_MT_add_opening", "roof_lights": "HALFBAT_MT_add_roof_light"}
    if kind in menus:
        side.menu(menus[kind], text="", icon="ADD")
    else:
        side.operator("halfbat.place_on_wall", text="", icon="ADD").kind = kind
    side.operator("halfbat.remove_placed", text="", icon="REMOVE")
    side.operator("halfbat.slide_on_wall", text="", icon="VIEW_PAN")
    if kind == "seams":
        side.operator("halfbat.add_seam", text="", icon="PIVOT_CURSOR")


def draw_path(layout: UILayout, context: Context, item: Object) -> None:
    """Draw the path of a cable run, or of a seam under one, and how it is bent."""
    layout.prop(entry_of(item), "path")
    if not entry_of(item).path:
        draw_text(layout, context, "To bend it, add and move points in Edit Mode.", "CURVE_PATH")


def draw_trouble(layout: UILayout, context: Context, item: Object) -> None:
    """Say what is wrong with a thing on a wall, or what was done with it."""
    if placed_data(item).trouble:
        box = layout.column()
        box.alert = True
        draw_text(box, context, placed_data(item).trouble, "ERROR")
    elif placed_data(item).word:
        draw_text(layout, context, placed_data(item).word, "INFO")


def chosen(context: Context, kind: str) -> Object | None:
    """Return the active object where it is a thing of a kind on the building's walls."""
    active = context.active_object
    return active if active is not None and placed_data(active).kind == kind else None


def draw_fields(layout: UILayout, entry: Any, request_class: type, keys: tuple[str, ...]) -> None:  # noqa: ANN401
    """Draw some fields of an entry in a block, in the order of the keys."""
    records = {record.key: record for record in settings_of(request_class)}
    column = layout.column(align=True)
    for key in keys:
        column.prop(entry, property_name(records[key]))
