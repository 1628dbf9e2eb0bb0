"""Eighth step: make the kit."""

from __future__ import annotations

from bpy.types import Context

from ..freshness import settings_changed
from ..modifiers import NAME, best_solver
from ..properties import building_data
from ..scene_out import kit_collection, part_objects
from ..target import required_building
from .base import MAKE, BuildingTab, draw_text


class HALFBAT_PT_make(BuildingTab):
    """Make."""

    bl_label = "Make"
    bl_idname = "HALFBAT_PT_make"
    bl_order = MAKE

    def draw(self, context: Context) -> None:
        """Draw the panel."""
        layout = self.layout
        building = required_building(context)
        collection = kit_collection(building)
        row = layout.row(align=True)
        row.scale_y = 1.5
        row.operator("halfbat.make_kit", text="Make Kit" if collection is None else "Make Kit Again", icon="MOD_BUILD")
        row.operator("halfbat.remove_kit", text="", icon="TRASH")
        if collection is None:
            return
        layout.label(text=f"{len(part_objects(building))} parts in {collection.name}", icon="OUTLINER_COLLECTION")
        data = building_data(building)
        layout.prop(data, "live")
        if data.live_word:
            draw_text(layout, context, data.live_word, "SORTTIME")
        elif not data.live and settings_changed(building):
            layout.label(text="Settings changed since it was made", icon="FILE_REFRESH")
        cutters = data.cutters
        name = NAME if cutters is None else cutters.name
        draw_text(layout, context, f"Objects in the collection {name} are cut out of the parts.", "MOD_BOOLEAN")
        if cutters is not None and len(cutters.all_objects) and best_solver() == "EXACT":
            draw_text(layout, context, "Cutting brickwork is slow before Blender 4.5.", "SORTTIME")
