"""Finding parts in the scene."""

from __future__ import annotations

from typing import Any

from bpy.props import IntProperty, StringProperty
from bpy.types import Context, Object, Operator

from ..finding_places import frame_kit, frame_place, frame_selected, place_now
from ..placed import placed_on
from ..properties import building_data, part_data, words_of_finding
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
    bl_description = "Select what a finding is about, bring it into view and mark the place"
    bl_options = {"INTERNAL", "UNDO"}

    index: IntProperty(name="Finding", description="Which one of the list", min=0)

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow buildings with a kit."""
        return poll_kit(cls, context)

    def execute(self, context: Context) -> Result:
        """Select it, and turn the view there where there is one."""
        building = required_building(context)
        data = building_data(building)
        findings = kept(data.findings)
        if self.index >= len(findings):
            return {"CANCELLED"}
        finding = findings[self.index]
        seen = [item for item in concerned(building, finding) if item.name in context.view_layer.objects]
        data.marked = words_of_finding(data, self.index) if finding.place_on and seen else ""
        if not seen:
            return {"CANCELLED"}
        for other in context.selected_objects:
            other.select_set(False)
        for item in seen:
            item.hide_set(False)
            item.select_set(True)
        context.view_layer.objects.active = seen[0]
        context.view_layer.update()
        place = place_now(building, finding)
        if place is None:
            frame_selected(context)
        else:
            frame_place(context, place, seen[0])
        return {"FINISHED"}


class HALFBAT_OT_view_kit(Operator):
    """Bring all parts of the kit into view."""

    bl_idname = "halfbat.view_kit"
    bl_label = "View Kit"
    bl_description = "Bring all parts of the kit into view, as they are looked at now"
    bl_options = {"INTERNAL"}

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow buildings with a kit."""
        return poll_kit(cls, context)

    def execute(self, context: Context) -> Result:
        """Turn the view there where there is one; what is selected stays so."""
        context.view_layer.update()
        frame_kit(context, required_building(context))
        return {"FINISHED"}


class HALFBAT_OT_hide_place(Operator):
    """Take the mark of a finding's place out of the view."""

    bl_idname = "halfbat.hide_place"
    bl_label = "Hide Mark"
    bl_description = "Take the mark of the finding's place out of the 3D view"
    bl_options = {"INTERNAL", "UNDO"}

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow buildings with a kit."""
        return poll_kit(cls, context)

    def execute(self, context: Context) -> Result:
        """Forget which finding was looked at."""
        building_data(required_building(context)).marked = ""
        return {"FINISHED"}


def concerned(building: Object, finding: Any) -> list[Object]:  # noqa: ANN401 - a HALFBAT_PG_finding
    """Return the objects that a finding is about: a part, something on a wall, or all parts of a wall."""
    parts, about = part_objects(building), finding.place_on or finding.part
    if about in parts:
        return [parts[about]]
    placed = [item for item in placed_on(building) if item.name == about]
    letter = about.partition("wall ")[2]
    return placed or [item for item in parts.values() if letter and part_data(item).wall == letter]
