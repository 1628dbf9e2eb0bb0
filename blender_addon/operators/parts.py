"""Finding parts in the scene."""

from __future__ import annotations

from bpy.props import StringProperty
from bpy.types import Context, Operator

from ..properties import building_data
from ..reporting import Result
from ..scene_out import kit_collection, part_objects
from ..target import poll_kit, required_building


class HALFBAT_OT_select_part(Operator):
    """Select this part in the scene."""

    bl_idname = "halfbat.select_part"
    bl_label = "Select Part"
    bl_description = "Select this part in the scene"
    bl_options = {"REGISTER", "UNDO"}

    number: StringProperty(name="Number", description="Number of the part")

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow buildings with a kit."""
        return poll_kit(cls, context)

    def execute(self, context: Context) -> Result:
        """Make the part the only selected and the active object."""
        building = required_building(context)
        part = part_objects(building).get(self.number)
        if part is None or part.name not in context.view_layer.objects:
            self.report({"ERROR"}, f"There is no part {self.number} in this view layer: make the kit again")
            return {"CANCELLED"}
        if part.hide_get():
            part.hide_set(False)
        for other in context.selected_objects:
            other.select_set(False)
        part.select_set(True)
        context.view_layer.objects.active = part
        building_data(building).part_index = kit_collection(building).objects.find(part.name)
        return {"FINISHED"}
