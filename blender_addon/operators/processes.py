"""Process files: a printer of the maker's own, as the command line makes and measures it."""

from __future__ import annotations

from pathlib import Path

import bpy
from bpy.props import BoolProperty, EnumProperty, StringProperty
from bpy.types import Context, Event, Operator

from halfbat.errors import KitError
from halfbat.printing.process_files import NamedProcess, read_process_file
from halfbat.printing.process_shelf import shelf_folder, write_process_file
from halfbat.settings import Settings

from ..reporting import Result, refuse
from ..settings_io import read_group, read_groups, write_groups
from ..target import poll_any_building, poll_building, required_building
from .coupon import PRINTERS


class HALFBAT_OT_load_process_file(Operator):
    """Fill in a printer's figures from a process file."""

    bl_idname = "halfbat.load_process_file"
    bl_label = "Load Process File"
    bl_description = "Fill in the figures of this printer from a process file, such as one set from a coupon's readings"
    bl_options = {"REGISTER", "UNDO"}

    filepath: StringProperty(name="File", description="The process file to read, ending in .toml", subtype="FILE_PATH")
    filter_glob: StringProperty(default="*.toml", options={"HIDDEN"})
    printer: EnumProperty(name="Printer", description="The printer that takes the figures", items=PRINTERS)

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow buildings of this file."""
        return poll_building(cls, context)

    def invoke(self, context: Context, _event: Event) -> Result:
        """Ask for the file, where the command line keeps them."""
        if shelf_folder().is_dir():
            self.filepath = f"{shelf_folder()}/"
        context.window_manager.fileselect_add(self)
        return {"RUNNING_MODAL"}

    def execute(self, context: Context) -> Result:
        """Read the file and set the figures."""
        building = required_building(context)
        try:
            if not self.filepath:
                raise KitError("no file was chosen", "", "choose a process file")
            named = read_process_file(Path(bpy.path.abspath(self.filepath)), self.printer)
            write_groups(building, Settings(**(read_groups(building) | {self.printer: named.process})))
        except KitError as error:
            return refuse(self, error)
        self.report({"INFO"}, f"{named.name} was loaded")
        return {"FINISHED"}


class HALFBAT_OT_save_process_file(Operator):
    """Write a printer's figures as a process file."""

    bl_idname = "halfbat.save_process_file"
    bl_label = "Save Process File"
    bl_description = "Write every figure of this printer as a process file, for other kits and for the command line"
    bl_options = {"REGISTER"}

    filepath: StringProperty(name="File", description="The process file to write, ending in .toml", subtype="FILE_PATH")
    filter_glob: StringProperty(default="*.toml", options={"HIDDEN"})
    check_existing: BoolProperty(default=True, options={"HIDDEN"})
    printer: EnumProperty(name="Printer", description="The printer whose figures are written", items=PRINTERS)

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow buildings, linked ones too."""
        return poll_any_building(cls, context)

    def invoke(self, context: Context, _event: Event) -> Result:
        """Ask for the file."""
        self.filepath = str(shelf_folder() / f"my {self.printer} printer.toml")
        context.window_manager.fileselect_add(self)
        return {"RUNNING_MODAL"}

    def execute(self, context: Context) -> Result:
        """Write the file; its name is the process's name."""
        try:
            if not self.filepath:
                raise KitError("no file was chosen", "", "choose one for the process")
            path = Path(bpy.path.ensure_ext(bpy.path.abspath(self.filepath), ".toml"))
            process = read_group(required_building(context), self.printer)
            write_process_file(NamedProcess(path.stem, process), path, replace=True)
        except KitError as error:
            return refuse(self, error)
        self.report({"INFO"}, f"{path} written")
        return {"FINISHED"}
