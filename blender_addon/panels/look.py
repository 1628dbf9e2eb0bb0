"""Ninth step: looking at the kit."""

from __future__ import annotations

from bpy.types import Context

from ..properties import building_data
from ..standing import EXPLODE, PLATES
from ..target import required_building
from .base import LOOK
from .findings import NeedsKit


class HALFBAT_PT_look(NeedsKit):
    """Look."""

    bl_label = "Look"
    bl_idname = "HALFBAT_PT_look"
    bl_order = LOOK

    def draw(self, context: Context) -> None:
        """Draw the views, the slider and the numbers."""
        building = required_building(context)
        data = building_data(building)
        layout = self.layout
        views = layout.row(align=True)
        views.prop(data, "look", expand=True)
        views.operator("halfbat.view_kit", text="", icon="VIEWZOOM")
        if building.get(EXPLODE) is not None and data.look != PLATES:
            # The custom property itself, so that it can be animated here as anywhere.
            layout.prop(building, f'["{EXPLODE}"]', text="Explode", slider=True)
        layout.prop(data, "numbers")
