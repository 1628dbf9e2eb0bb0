"""Ninth step: looking at the kit."""

from __future__ import annotations

from bpy.types import Context

from ..properties import building_data
from ..standing import EXPLODED
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
        data = building_data(required_building(context))
        layout = self.layout
        layout.row().prop(data, "look", expand=True)
        slider = layout.row()
        slider.enabled = data.look == EXPLODED
        slider.prop(data, "explode", slider=True)
        layout.prop(data, "numbers")
