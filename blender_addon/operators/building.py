"""Choosing what a kit is made of."""

from __future__ import annotations

from bpy.types import Context, Object, Operator

from halfbat.settings import Settings

from ..building_out import why_no_walls
from ..properties import SETTINGS_VERSION, building_data, part_data
from ..reporting import Result
from ..rows import kept
from ..scene_out import kit_collection
from ..settings_io import read_groups, write_groups
from ..target import lost_building, poll_object_mode, poll_own

FORBIDDEN_IN_NAMES = str.maketrans(dict.fromkeys('/\\:*?"<>|', "-"))


def default_name(building: Object) -> str:
    """Return a kit name that files can have, from an object's name."""
    return building.name.translate(FORBIDDEN_IN_NAMES).strip(" .")[:80] or "Untitled"


class HALFBAT_OT_use_as_building(Operator):
    """Make kits of the active object."""

    bl_idname = "halfbat.use_as_building"
    bl_label = "Use as Building"
    bl_description = (
        "Make kits of the active mesh object, modelled plainly at full size: any building of upright walls and plane "
        "roofs, closed at the top. The mesh is read, never changed"
    )
    bl_options = {"REGISTER", "UNDO"}

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow mesh objects that are not parts of a kit."""
        active = context.active_object
        if active is None or active.type != "MESH":
            cls.poll_message_set(
                "Select a mesh object: a building with upright walls and plane roofs, modelled at full size"
            )
            return False
        if part_data(active).number:
            cls.poll_message_set("This object is a part of a kit")
            return False
        if building_data(active).is_building:
            cls.poll_message_set("This object is a building already")
            return False
        return poll_object_mode(cls, context) and poll_own(cls, active)

    def execute(self, context: Context) -> Result:
        """Give the object its settings, and read its walls where there are any yet."""
        active = context.active_object
        assert active is not None
        data = building_data(active)
        data.is_building = True
        data.settings_version = SETTINGS_VERSION
        named = data.kit.is_property_set("kit_name")
        # Every setting is stored, also those nobody touched, so that a later change of defaults leaves this one alone.
        write_groups(active, Settings(**read_groups(active)))
        if not named:
            data.kit.kit_name = default_name(active)
        reason = why_no_walls(active, context)
        if reason:
            self.report({"WARNING"}, f"{active.name} is a building now, but {reason}")
        else:
            self.report({"INFO"}, f"{active.name} is a building of {len(kept(data.walls))} walls now")
        return {"FINISHED"}


class HALFBAT_OT_bring_back_building(Operator):
    """Put a building into the scene again that was deleted while its kit stayed."""

    bl_idname = "halfbat.bring_back_building"
    bl_label = "Bring Building Back"
    bl_description = "Put the building of this part into the scene again, with all that was set for it"
    bl_options = {"REGISTER", "UNDO"}

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow parts whose building was deleted."""
        if lost_building(context) is None:
            cls.poll_message_set("Select a part whose building was deleted")
            return False
        return poll_object_mode(cls, context)

    def execute(self, context: Context) -> Result:
        """Link it where new objects go."""
        building = lost_building(context)
        assert building is not None
        context.collection.objects.link(building)
        for other in context.selected_objects:
            other.select_set(False)
        building.select_set(True)
        context.view_layer.objects.active = building
        return {"FINISHED"}


class HALFBAT_OT_forget_building(Operator):
    """Stop making kits of this object."""

    bl_idname = "halfbat.forget_building"
    bl_label = "Forget Building"
    bl_description = "Stop making kits of this object. Its settings stay with it in case you change your mind"
    bl_options = {"REGISTER", "UNDO"}

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow buildings without a kit."""
        active = context.active_object
        if active is None or not building_data(active).is_building:
            cls.poll_message_set("Select the building itself")
            return False
        if kit_collection(active) is not None:
            cls.poll_message_set("Remove its kit first")
            return False
        return poll_object_mode(cls, context) and poll_own(cls, active)

    def execute(self, context: Context) -> Result:
        """Leave only the settings."""
        active = context.active_object
        assert active is not None
        building_data(active).is_building = False
        return {"FINISHED"}
