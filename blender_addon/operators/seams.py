"""Seams that the maker places."""

from __future__ import annotations

from bpy.props import IntProperty
from bpy.types import Context, Operator

from halfbat.building.nearest import PointOnWall, nearest_wall
from halfbat.errors import KitError
from halfbat.units import format_length

from ..making import take_order
from ..mesh_in import metres_per_unit
from ..properties import building_data
from ..reporting import Result, refuse
from ..target import poll_building, required_building


class HALFBAT_OT_add_seam(Operator):
    """Split the wall nearest to the 3D cursor there, and hide the seam under a cable run."""

    bl_idname = "halfbat.add_seam"
    bl_label = "Add Seam at 3D Cursor"
    bl_description = "Split the wall nearest to the 3D cursor there, and hide the seam under a cable run"
    bl_options = {"REGISTER", "UNDO"}

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow buildings."""
        return poll_building(cls, context)

    def execute(self, context: Context) -> Result:
        """Find the wall and keep the seam with the building."""
        building = required_building(context)
        try:
            found = self._wall_at_cursor(context)
        except KitError as error:
            return refuse(self, error)
        data = building_data(building)
        seam = data.seams.add()
        seam.wall = found.wall.letter
        seam.at = format_length(found.along_m)
        seam.hide = "cable run"
        data.seam_index = len(data.seams) - 1
        self.report({"INFO"}, f"Seam in wall {seam.wall} at {seam.at}; make the kit again to see it")
        return {"FINISHED"}

    @staticmethod
    def _wall_at_cursor(context: Context) -> PointOnWall:
        scene = context.scene
        point_m = [value * metres_per_unit(scene) for value in scene.cursor.location.to_tuple()]
        return nearest_wall(take_order(required_building(context), context).building(), point_m)


class HALFBAT_OT_remove_seam(Operator):
    """Remove the seam chosen in the list."""

    bl_idname = "halfbat.remove_seam"
    bl_label = "Remove Seam"
    bl_description = "Remove the seam chosen in the list"
    bl_options = {"REGISTER", "UNDO"}

    index: IntProperty(
        name="Seam", description="Which seam of the list to remove; -1 is the chosen one", default=-1, min=-1
    )

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow buildings with a seam placed by hand."""
        if not poll_building(cls, context):
            return False
        if not len(building_data(required_building(context)).seams):
            cls.poll_message_set("No seam was placed by hand")
            return False
        return True

    def execute(self, context: Context) -> Result:
        """Remove it and choose its neighbour."""
        data = building_data(required_building(context))
        index = data.seam_index if self.index < 0 else self.index
        if not 0 <= index < len(data.seams):
            self.report({"ERROR"}, "There is no such seam")
            return {"CANCELLED"}
        data.seams.remove(index)
        data.seam_index = max(0, min(data.seam_index, len(data.seams) - 1))
        return {"FINISHED"}
