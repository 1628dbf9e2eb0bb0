"""Features, finishes and stretches without seams: a list each, and the fields that the chosen entry has."""

from __future__ import annotations

from typing import Any

from bpy.types import Context, UILayout

from halfbat.settings import Setting, settings_of
from halfbat.settings.chimneys import CHIMNEY_LENGTHS
from halfbat.settings.features import FEATURE_LENGTHS, FINISH_LENGTHS, keys_of_kind, shown_keys

from ..properties import building_data
from ..request_properties import NOUNS, REQUEST_CLASSES, index_name
from ..rows import kept
from ..setting_properties import property_name
from ..target import required_building
from .base import BuildingTab, Rows, draw_text, form
from .lengths import draw_lengths_read

LENGTHS = {
    "features": FEATURE_LENGTHS,
    "finishes": FINISH_LENGTHS,
    "no_seams": ("start", "end"),
    "chimneys": CHIMNEY_LENGTHS,
}
"""Keys that hold lengths as people write them."""


def label_of(request_class: type, key: str, value: str) -> str:
    """Return what is shown for a choice."""
    record = next(item for item in settings_of(request_class) if item.key == key)
    return dict(zip(record.choices, record.choice_labels, strict=True)).get(value, value)


def summary(name: str, item: Any) -> str:  # noqa: ANN401 - a property group
    """Return in few words what an entry is and where along its wall or how high it lies."""
    request_class = REQUEST_CLASSES[name]
    keys = keys_of_kind(request_class, getattr(item, "kind", ""))
    kind = label_of(request_class, "kind", item.kind) if "kind" in keys else ""
    ends = [getattr(item, key) for key in ("start", "end") if key in keys]
    place = item.at if "at" in keys else " to ".join(ends) if all(ends) else ""
    return "  ".join(text for text in (kind, place) if text)


class HALFBAT_UL_requests(Rows):
    """Entries of a list: wall, and what they are."""

    def draw_row(self, context: Context, layout: UILayout, item: Any, active_property: str) -> None:  # noqa: ANN401
        """Draw one entry in a line."""
        row = layout.row()
        wall = row.row()
        wall.ui_units_x = 2.0
        wall.label(text=item.wall)
        row.label(text=summary(active_property.removesuffix("_index"), item))

    def filter_items(  # type: ignore[override] # what Blender wants; the stubs say None
        self,
        context: Context,
        data: Any,  # noqa: ANN401
        prop: str | None,
    ) -> tuple[list[int], list[int]]:
        """Show the entries whose line holds the text typed in the filter."""
        name = str(prop)
        wanted = self.filter_name.casefold()
        shown = [
            not item.left_out and wanted in f"{item.wall} {summary(name, item)}".casefold()
            for item in getattr(data, name)
        ]
        return [self.bitflag_filter_item if seen else 0 for seen in shown], []


class RequestPanel(BuildingTab):
    """A list and its chosen entry."""

    bl_options = {"DEFAULT_CLOSED"}
    name = ""
    empty = ""

    def draw(self, context: Context) -> None:
        """Draw the list with its buttons, and the fields that the chosen entry has."""
        building = required_building(context)
        data = building_data(building)
        stored = kept(getattr(data, self.name))
        if self.name == "finishes" and context.mode == "EDIT_MESH":
            self.layout.operator_menu_enum("halfbat.set_finish", "kind", text="Set Finish of Selected Faces")
        self._draw_list(data, stored)
        if not len(stored):
            draw_text(self.layout, context, self.empty, "INFO")
            return
        item = stored[max(0, min(getattr(data, index_name(self.name)), len(stored) - 1))]
        records = self._records(item)
        column = form(self.layout)
        for record in records:
            column.prop(item, property_name(record))
        lengths = [record for record in records if record.key in LENGTHS[self.name]]
        draw_lengths_read(self.layout, context, building, item, lengths)

    def _records(self, item: Any) -> list[Setting]:  # noqa: ANN401 - a property group
        """Return the settings that an entry goes by, in the order they are drawn."""
        request_class = REQUEST_CLASSES[self.name]
        records = {record.key: record for record in settings_of(request_class)}
        return [records[key] for key in shown_keys(request_class, getattr(item, "kind", ""))]

    def _draw_list(self, data: Any, stored: Any) -> None:  # noqa: ANN401
        row = self.layout.row()
        row.template_list(
            "HALFBAT_UL_requests", self.name, data, self.name, data, index_name(self.name), rows=4 if len(stored) else 2
        )
        side = row.column(align=True)
        noun = NOUNS[self.name].replace(" ", "_")
        if "kind" in {record.key for record in settings_of(REQUEST_CLASSES[self.name])}:
            side.operator_menu_enum(f"halfbat.add_{noun}", "kind", text="", icon="ADD")
        else:
            side.operator(f"halfbat.add_{noun}", text="", icon="ADD")
        side.operator(f"halfbat.remove_{noun}", text="", icon="REMOVE")
        if not len(stored):
            return
        side.separator()
        side.operator(f"halfbat.duplicate_{noun}", text="", icon="DUPLICATE")
        side.operator(f"halfbat.move_{noun}", text="", icon="TRIA_UP").direction = "UP"
        side.operator(f"halfbat.move_{noun}", text="", icon="TRIA_DOWN").direction = "DOWN"


class HALFBAT_PT_features(RequestPanel):
    """What stands out of the bricks, lies back, or takes the place of some."""

    bl_label = "Features"
    bl_parent_id = "HALFBAT_PT_walls"
    bl_order = 2
    name = "features"
    empty = "Plinths, string courses, piers, quoins, air bricks and the like. Press + and choose one."


class HALFBAT_PT_finishes(RequestPanel):
    """What takes the place of the bricks."""

    bl_label = "Finishes"
    bl_parent_id = "HALFBAT_PT_walls"
    bl_order = 3
    name = "finishes"
    empty = "Stone, render, boards or sheet in place of the bricks. Press + and choose one."


class HALFBAT_PT_no_seams(RequestPanel):
    """Where walls must stay whole."""

    bl_label = "Stretches without Seams"
    bl_parent_id = "HALFBAT_PT_seams"
    bl_order = 5
    name = "no_seams"
    empty = "Stretches of wall that no seam may cross, such as a sign or the middle of a door. Press + to add one."


class HALFBAT_PT_chimneys(RequestPanel):
    """Chimneys on the roof."""

    bl_label = "Chimneys"
    bl_parent_id = "HALFBAT_PT_roof"
    bl_order = 2
    name = "chimneys"
    empty = "Chimneys that the mesh does not have. Press + to add one parallel to the chosen wall."
