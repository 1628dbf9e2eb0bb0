"""Finding parts in the scene."""

from __future__ import annotations

import bpy
from bpy.props import IntProperty, StringProperty
from bpy.types import Context, Object, Operator

from ..placed import placed_on
from ..properties import building_data, part_data
from ..reporting import Result
from ..rows import kept
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


class HALFBAT_OT_look_at_finding(Operator):
    """Select what a finding is about and bring it into view."""

    bl_idname = "halfbat.look_at_finding"
    bl_label = "Look at Finding"
    bl_description = "Select the part or the wall that a finding is about and bring it into view"
    bl_options = {"INTERNAL", "UNDO"}

    index: IntProperty(name="Finding", description="Which one of the list", min=0)

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow buildings with a kit."""
        return poll_kit(cls, context)

    def execute(self, context: Context) -> Result:
        """Select it, and turn the view there where there is one."""
        building = required_building(context)
        findings = kept(building_data(building).findings)
        about = concerned(building, findings[self.index].part) if self.index < len(findings) else []
        seen = [item for item in about if item.name in context.view_layer.objects]
        if not seen:
            return {"CANCELLED"}
        for other in context.selected_objects:
            other.select_set(False)
        for item in seen:
            item.hide_set(False)
            item.select_set(True)
        context.view_layer.objects.active = seen[0]
        frame_selected(context)
        return {"FINISHED"}


def concerned(building: Object, about: str) -> list[Object]:
    """Return the objects that a finding is about: a part, something on a wall, or all parts of a wall."""
    parts = part_objects(building)
    if about in parts:
        return [parts[about]]
    placed = [item for item in placed_on(building) if item.name == about]
    letter = about.partition("wall ")[2]
    return placed or [item for item in parts.values() if letter and part_data(item).wall == letter]


def frame_selected(context: Context) -> None:
    """Bring what is selected into view in the largest 3D view, where there is a window."""
    window = context.window
    areas = [area for area in window.screen.areas if area.type == "VIEW_3D"] if window is not None else []
    if areas:
        area = max(areas, key=lambda item: item.width * item.height)
        region = next(item for item in area.regions if item.type == "WINDOW")
        with context.temp_override(window=window, area=area, region=region):
            bpy.ops.view3d.view_selected()
