"""Fifth step: where walls are split, and what hides it."""

from __future__ import annotations

from bpy.types import Context

from ..cable_look import cable_modifier
from ..placed import entry_of
from ..properties import building_data
from ..target import required_building
from .base import SEAMS, BuildingTab, draw_settings, draw_text, form
from .placed import chosen, draw_list, draw_path, draw_trouble


class HALFBAT_PT_seams(BuildingTab):
    """Seams and covers."""

    bl_label = "Seams and Covers"
    bl_idname = "HALFBAT_PT_seams"
    bl_order = SEAMS

    def draw(self, context: Context) -> None:
        """Draw the panel."""
        layout = self.layout
        building = required_building(context)
        form(layout).prop(building_data(building).seam, "hide")
        layout.label(text="Seams placed by hand")
        draw_list(layout, building, "seams")
        item = chosen(context, "seams")
        if item is not None:
            if cable_modifier(item) is not None or entry_of(item).path:
                draw_path(layout, context, item)
            draw_trouble(layout, context, item)
        else:
            draw_text(layout, context, "Press + and click on a wall to split it there.", "INFO")


class HALFBAT_PT_panels_and_covers(BuildingTab):
    """Panels and cable runs."""

    bl_label = "Panels and Cable Runs"
    bl_parent_id = "HALFBAT_PT_seams"
    bl_options = {"DEFAULT_CLOSED"}

    def draw(self, context: Context) -> None:
        """Draw the panel."""
        seam = building_data(required_building(context)).seam
        column = form(self.layout)
        draw_settings(column, seam, ("panel_limit_mm", "gap_mm"))
        column.prop(seam, "cover_made_as", text="Cable run")
        draw_settings(column, seam, ("cover_width_mm", "cover_height_mm"))
        saddles = column.column()
        saddles.enabled = seam.cover_made_as == "printed"
        saddles.prop(seam, "saddle_spacing_m", text="Saddles (m)")


class HALFBAT_PT_downpipes(BuildingTab):
    """Downpipes."""

    bl_label = "Downpipes"
    bl_parent_id = "HALFBAT_PT_seams"
    bl_options = {"DEFAULT_CLOSED"}

    def draw(self, context: Context) -> None:
        """Draw the panel."""
        pipe = building_data(required_building(context)).downpipe
        column = form(self.layout)
        draw_settings(column, pipe, ("made_as", "shape", "size_mm", "stand_off_mm"))
        ends = column.column()
        ends.enabled = pipe.made_as == "printed"
        draw_settings(ends, pipe, ("top", "foot"))
        ends.prop(pipe, "spacing_m", text="Brackets (m)")
