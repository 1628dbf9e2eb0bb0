"""Fifth step: where walls are split, and what hides it."""

from __future__ import annotations

from typing import Any

from bpy.types import Context, UILayout, UIList

from ..properties import building_data
from ..target import required_building
from .base import SEAMS, BuildingTab, draw_settings, draw_text, form


class HALFBAT_UL_seams(UIList):
    """Seams placed by hand."""

    def draw_item(
        self,
        context: Context,
        layout: UILayout,
        data: Any,  # noqa: ANN401 - Blender's own signature
        item: Any,  # noqa: ANN401
        icon: int | None,
        active_data: Any,  # noqa: ANN401
        active_property: str | None,
        index: int | None = 0,
        flt_flag: int | None = 0,
    ) -> None:
        """Draw one seam: wall, place, what hides it."""
        row = layout.row(align=True)
        wall = row.row()
        wall.ui_units_x = 2.0
        wall.prop(item, "wall", text="", emboss=False)
        row.prop(item, "at", text="", emboss=False)
        row.prop(item, "hide", text="", emboss=False)


class HALFBAT_PT_seams(BuildingTab):
    """Seams and covers."""

    bl_label = "Seams and Covers"
    bl_idname = "HALFBAT_PT_seams"
    bl_order = SEAMS

    def draw(self, context: Context) -> None:
        """Draw the panel."""
        layout = self.layout
        data = building_data(required_building(context))
        form(layout).prop(data.seam, "hide")
        layout.label(text="Seams placed by hand")
        row = layout.row()
        row.template_list("HALFBAT_UL_seams", "", data, "seams", data, "seam_index", rows=2)
        side = row.column(align=True)
        side.operator("halfbat.add_seam", text="", icon="ADD")
        side.operator("halfbat.remove_seam", text="", icon="REMOVE")
        if not len(data.seams):
            draw_text(layout, context, "Put the 3D cursor on a wall (Shift right click) and press +.", "INFO")


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
