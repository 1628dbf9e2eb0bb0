"""Second step: the walls, and what they are built of."""

from __future__ import annotations

from typing import Any

from bpy.types import Context, UILayout

from ..properties import building_data
from ..rows import kept
from ..target import required_building
from ..walls import walls_outdated
from .base import WALLS, BuildingTab, KeptRows, draw_text
from .lengths import draw_size, draw_sizes, full_size, scale_of

LETTER_SHARE = 0.14
"""Of a row's width."""


class HALFBAT_UL_walls(KeptRows):
    """Walls with their letters, at full size and model size."""

    def draw_row(self, context: Context, layout: UILayout, item: Any, active_property: str) -> None:  # noqa: ANN401
        """Draw letter and length of one wall."""
        row = layout.row()
        scale = scale_of(item.id_data)
        if scale is None:
            row.label(text=f"{item.name}   {full_size(item.length_m, context.scene)}")
        else:
            draw_size(row, context.scene, scale, item.name, item.length_m, name_share=LETTER_SHARE)
        row.operator("halfbat.look_at_wall", text="", icon="HIDE_OFF", emboss=False).wall = item.name


class HALFBAT_PT_walls(BuildingTab):
    """Walls and finishes."""

    bl_label = "Walls and Finishes"
    bl_idname = "HALFBAT_PT_walls"
    bl_order = WALLS

    def draw(self, context: Context) -> None:
        """Draw the list of walls; what they are built of follows below."""
        layout = self.layout
        building = required_building(context)
        data = building_data(building)
        walls = kept(data.walls)
        if not walls:
            draw_text(layout, context, "Read the walls to see their letters and sizes.", "INFO")
            layout.operator("halfbat.read_walls", icon="FILE_REFRESH")
            return
        layout.template_list("HALFBAT_UL_walls", "", data, "walls", data, "walls_index", rows=4)
        scale = scale_of(building)
        if scale is not None and 0 <= data.walls_index < len(walls):
            chosen = walls[data.walls_index]
            draw_sizes(layout, context.scene, scale, [(f"Height of {chosen.name}", chosen.height_m)])
        if data.walls_word:
            draw_text(layout, context, f"The mesh was changed: {data.walls_word}.", "INFO")
        if walls_outdated(building):
            draw_text(layout, context, "The mesh was changed since.", "INFO")
            layout.operator("halfbat.read_walls", text="Read Walls Again", icon="FILE_REFRESH")
