"""Writing a test piece for one of a building's printers."""

from __future__ import annotations

from pathlib import Path

import bpy
from bpy.props import BoolProperty, EnumProperty, StringProperty
from bpy.types import Context, Event, Operator

from halfbat.errors import KitError
from halfbat.output.coupon_files import GUIDE, coupon_files
from halfbat.output.folder import write_new_folder
from halfbat.printing.coupon import make_coupon
from halfbat.units import parse_scale

from ..reporting import Result, refuse
from ..settings_io import read_settings
from ..target import poll_any_building, required_building

PRINTERS = (
    ("resin", "Resin Printer", "Grooves, holes, strokes, bars to measure, a mitre and strips of brick"),
    ("filament", "Filament Printer", "Lips, a wall, holes, bars to measure and a corner"),
)


class HALFBAT_OT_export_coupon(Operator):
    """Write a coupon to a folder."""

    bl_idname = "halfbat.export_coupon"
    bl_label = "Export Coupon"
    bl_description = (
        "Write a small test piece for a printer, as it is set here, to a folder of its own, with a sheet that says "
        "what to read off it and where the figures go"
    )
    bl_options = {"REGISTER"}

    directory: StringProperty(
        name="Folder", description="Folder in which the coupon's own folder is made", subtype="DIR_PATH"
    )
    filter_folder: BoolProperty(default=True, options={"HIDDEN"})
    printer: EnumProperty(name="Printer", description="The printer to be measured", items=PRINTERS)

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow buildings, which have printers."""
        return poll_any_building(cls, context)

    def invoke(self, context: Context, _event: Event) -> Result:
        """Ask for the folder."""
        context.window_manager.fileselect_add(self)
        return {"RUNNING_MODAL"}

    def execute(self, context: Context) -> Result:
        """Make the coupon and write it."""
        try:
            if not self.directory:
                raise KitError("no folder was chosen", "", "choose one for the coupon")
            settings = read_settings(required_building(context))
            process = settings.resin if self.printer == "resin" else settings.filament
            target = Path(bpy.path.abspath(self.directory)) / f"{self.printer} coupon"
            coupon = make_coupon(process, parse_scale(settings.kit.scale))
            write_new_folder(target, coupon_files(coupon))
        except KitError as error:
            return refuse(self, error)
        self.report({"INFO"}, f"{len(coupon.parts)} parts and {GUIDE} in {target}")
        return {"FINISHED"}
