"""Kit files: the settings and the mesh of a building as files that the command line takes."""

from __future__ import annotations

from pathlib import Path

import bpy
from bpy.props import BoolProperty, EnumProperty, StringProperty
from bpy.types import Context, Event, Operator

from halfbat.errors import KitError
from halfbat.kitfile import kit_mesh, read_kit_file, save_kit_file

from ..building_out import add_building, keep_settings, why_no_walls
from ..following import follow_letters
from ..making import take_order
from ..properties import building_data
from ..reporting import Result, refuse
from ..target import building_of, poll_any_building, poll_object_mode, required_building, why_not_own

ENDING = ".toml"
ONTO = (
    ("NEW", "New Building", "Add the file's mesh or box to the scene as a building with the file's settings"),
    ("ACTIVE", "Active Building", "Give the file's settings to the building that is active, whose mesh stays as it is"),
)


class HALFBAT_OT_save_kit_file(Operator):
    """Write the settings and the mesh of this building as a kit file."""

    bl_idname = "halfbat.save_kit_file"
    bl_label = "Save Kit File"
    bl_description = (
        "Write everything that is set here as a kit file, and the mesh beside it as Wavefront OBJ in metres. The "
        "command line makes the same parts of it"
    )
    bl_options = {"REGISTER"}

    filepath: StringProperty(name="File", description="The kit file to write, ending in .toml", subtype="FILE_PATH")
    filter_glob: StringProperty(default="*.toml", options={"HIDDEN"})
    check_existing: BoolProperty(default=True, options={"HIDDEN"})

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow buildings, linked ones too."""
        return poll_any_building(cls, context)

    def invoke(self, context: Context, _event: Event) -> Result:
        """Ask for the file, beside the .blend and under the kit's name."""
        name = building_data(required_building(context)).kit.kit_name
        self.filepath = str(Path(bpy.path.abspath("//")) / f"{name}{ENDING}")
        context.window_manager.fileselect_add(self)
        return {"RUNNING_MODAL"}

    def check(self, _context: Context) -> bool:
        """Put the ending after the name while it is typed, so that the dialog sees the file it would replace."""
        ended = bpy.path.ensure_ext(self.filepath, ENDING)
        changed = ended != self.filepath
        self.filepath = ended
        return changed

    def execute(self, context: Context) -> Result:
        """Write both files."""
        building = required_building(context)
        try:
            if not self.filepath:
                raise KitError("no file was chosen", "", "choose one for the kit")
            if not why_not_own(building):
                follow_letters(building, context.evaluated_depsgraph_get(), context.scene)
            order = take_order(building, context)
            path = save_kit_file(Path(bpy.path.abspath(self.filepath)), order.settings, order.mesh)
        except KitError as error:
            return refuse(self, error)
        self.report({"INFO"}, f"{path} and {path.with_suffix('.obj').name} written")
        return {"FINISHED"}


class HALFBAT_OT_load_kit_file(Operator):
    """Make a building of a kit file, or give its settings to the active building."""

    bl_idname = "halfbat.load_kit_file"
    bl_label = "Load Kit File"
    bl_description = "Make a building of a kit file with all its settings, or give its settings to the active building"
    bl_options = {"REGISTER", "UNDO"}

    filepath: StringProperty(name="File", description="The kit file to read, ending in .toml", subtype="FILE_PATH")
    filter_glob: StringProperty(default="*.toml", options={"HIDDEN"})
    onto: EnumProperty(name="Load", description="What takes the file's settings", items=ONTO)

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow it in object mode."""
        return poll_object_mode(cls, context)

    def invoke(self, context: Context, _event: Event) -> Result:
        """Ask for the file."""
        context.window_manager.fileselect_add(self)
        return {"RUNNING_MODAL"}

    def execute(self, context: Context) -> Result:
        """Read the file, and its mesh where a building is made of it."""
        try:
            if not self.filepath:
                raise KitError("no file was chosen", "", "choose a kit file")
            kit_file = read_kit_file(Path(bpy.path.abspath(self.filepath)))
            if self.onto == "NEW":
                building = add_building(context, kit_mesh(kit_file), kit_file.settings)
            else:
                building = self._active(context)
                keep_settings(building, kit_file.settings)
        except KitError as error:
            return refuse(self, error)
        reason = why_no_walls(building, context)
        if reason:
            self.report({"WARNING"}, f"{building.name} was loaded, but {reason}")
        else:
            self.report({"INFO"}, f"{building.name} was loaded")
        return {"FINISHED"}

    @staticmethod
    def _active(context: Context) -> bpy.types.Object:
        building = building_of(context)
        if building is None:
            raise KitError("there is no active building", "", "select one, or load the file as a new building")
        reason = why_not_own(building)
        if reason:
            raise KitError(reason, building.name, "load the file as a new building")
        return building


def draw_import(menu: bpy.types.Menu, _context: Context) -> None:
    """Offer kit files under File > Import."""
    menu.layout.operator("halfbat.load_kit_file", text="Halfbat Kit File (.toml)")


def draw_export(menu: bpy.types.Menu, _context: Context) -> None:
    """Offer kit files under File > Export."""
    menu.layout.operator("halfbat.save_kit_file", text="Halfbat Kit File (.toml)")
