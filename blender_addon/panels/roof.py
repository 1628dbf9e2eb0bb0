"""Fourth step: what the roof is covered with."""

from __future__ import annotations

from typing import Any

from bpy.types import Context

from halfbat.settings import RoofLightRequest, RoofSettings, settings_of

from ..placed import entry_of
from ..properties import building_data
from ..target import required_building
from .base import ROOF, BuildingTab, draw_settings, draw_text, form
from .placed import chosen, draw_fields, draw_list, draw_trouble
from .presets import HALFBAT_PT_roof_presets

MEASURES = ("lap_mm", "lap_step_mm", "skin_thickness_mm")


def roof_keys(roof: Any) -> list[str]:  # noqa: ANN401 - a property group
    """Return the settings that the chosen covering, ridge and gutter have, in order, without the measures."""
    left_out = set(MEASURES)
    if roof.covering != "slate":
        left_out.add("slate_size")
    if roof.ridge == "none":
        left_out.add("ridge_length_mm")
    if roof.gutter == "none":
        left_out.add("gutter_size_mm")
    return [record.key for record in settings_of(RoofSettings) if record.key not in left_out]


class HALFBAT_PT_roof(BuildingTab):
    """Covering and ridge."""

    bl_label = "Roof"
    bl_idname = "HALFBAT_PT_roof"
    bl_order = ROOF
    bl_options = {"DEFAULT_CLOSED"}

    def draw_header_preset(self, _context: Context) -> None:
        """Offer presets in the panel's head."""
        HALFBAT_PT_roof_presets.draw_panel_header(self.layout)

    def draw(self, context: Context) -> None:
        """Draw the panel."""
        roof = building_data(required_building(context)).roof
        column = form(self.layout)
        for key in roof_keys(roof):
            column.prop(roof, key)


class HALFBAT_PT_laps(BuildingTab):
    """Laps, steps and thickness."""

    bl_label = "Laps and Thickness"
    bl_idname = "HALFBAT_PT_laps"
    bl_parent_id = "HALFBAT_PT_roof"
    bl_options = {"DEFAULT_CLOSED"}

    def draw(self, context: Context) -> None:
        """Draw the panel."""
        roof = building_data(required_building(context)).roof
        column = form(self.layout)
        draw_settings(column, roof, MEASURES)
        if not all(getattr(roof, key) for key in MEASURES):
            draw_text(column, context, "0 takes what is usual for covering, pitch and scale.", "INFO")


class HALFBAT_PT_roof_lights(BuildingTab):
    """Roof lights on slopes and flat roofs."""

    bl_label = "Roof Lights"
    bl_idname = "HALFBAT_PT_roof_lights"
    bl_parent_id = "HALFBAT_PT_roof"
    bl_order = 3
    bl_options = {"DEFAULT_CLOSED"}

    def draw(self, context: Context) -> None:
        """Draw the list with its buttons."""
        draw_list(self.layout, required_building(context), "roof_lights")
        item = chosen(context, "roof_lights")
        if item is not None:
            draw_trouble(self.layout, context, item)
        else:
            draw_text(self.layout, context, "Press + for a roof light, and click on a slope.", "INFO")


class HALFBAT_PT_roof_light(BuildingTab):
    """The chosen roof light."""

    bl_label = "Chosen Roof Light"
    bl_idname = "HALFBAT_PT_roof_light"
    bl_parent_id = "HALFBAT_PT_roof_lights"

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Show the panel while a roof light is selected."""
        return super().poll(context) and chosen(context, "roof_lights") is not None

    def draw(self, context: Context) -> None:
        """Draw its fields."""
        item = chosen(context, "roof_lights")
        assert item is not None
        entry, column = entry_of(item), form(self.layout)
        draw_fields(column, entry, RoofLightRequest, ("slope", "at", "up"))
        draw_fields(column, entry, RoofLightRequest, ("width", "height"))
        draw_fields(column, entry, RoofLightRequest, ("style", "panes", "glazing"))
        draw_fields(column, entry, RoofLightRequest, ("count", *(("spacing",) if entry.count > 1 else ())))
