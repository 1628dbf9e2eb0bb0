"""A building to try everything with."""

from __future__ import annotations

import bpy
from bpy.types import Context, Operator

from halfbat.errors import KitError
from halfbat.kitfile.example import example_mesh, example_settings

from ..building_out import add_building, why_no_walls
from ..reporting import Result, refuse
from ..target import poll_object_mode


class HALFBAT_OT_add_example_building(Operator):
    """Add a small invented building, ready to be made."""

    bl_idname = "halfbat.add_example_building"
    bl_label = "Add Example Building"
    bl_description = (
        "Add a small invented gate lodge at the 3D cursor, 6.29 by 4.04 m with a door, a window and a slate roof, "
        "with settings that suit it. Press Make Kit next"
    )
    bl_options = {"REGISTER", "UNDO"}

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow it in object mode."""
        return poll_object_mode(cls, context)

    def execute(self, context: Context) -> Result:
        """Add it and read its walls."""
        building = add_building(context, example_mesh(), example_settings())
        building.location = context.scene.cursor.location.copy()
        reason = why_no_walls(building, context)
        if reason:
            return refuse(self, KitError(reason, building.name, "report this"))
        return {"FINISHED"}


def draw_add_mesh(menu: bpy.types.Menu, _context: Context) -> None:
    """Offer the example under Add > Mesh."""
    menu.layout.operator("halfbat.add_example_building", text="Example Brick Building", icon="HOME")
