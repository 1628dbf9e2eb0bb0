"""Loading, keeping and removing presets."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from bpy.props import BoolProperty, EnumProperty, StringProperty
from bpy.types import Context, Operator

from halfbat.errors import KitError
from halfbat.kitfile import tables_text, with_tables
from halfbat.output.folder import write_file
from halfbat.settings import Settings

from ..preset_files import SECTIONS, own_preset
from ..reporting import Result, refuse
from ..settings_io import read_groups, write_groups
from ..target import poll_any_building, poll_building, required_building

SECTION: dict[str, Any] = {
    "name": "Section",
    "description": "What the preset holds",
    "items": [
        ("brick", "Brick and Bond", "Bricks, bond and joints"),
        ("roof", "Roof", "Covering, laps and ridge"),
        ("printers", "Printers", "Every figure of both printers"),
    ],
}


class HALFBAT_OT_load_preset(Operator):
    """Set what the preset says and leave everything else."""

    bl_idname = "halfbat.load_preset"
    bl_label = "Load Preset"
    bl_description = "Set what this preset says. What it does not name stays as it is"
    bl_options = {"REGISTER", "UNDO"}

    filepath: StringProperty(
        name="File", description="The preset, a file of the kit file's tables", subtype="FILE_PATH"
    )
    section: EnumProperty(**SECTION)

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow buildings of this file."""
        return poll_building(cls, context)

    def execute(self, context: Context) -> Result:
        """Read the preset and set it."""
        building = required_building(context)
        path = Path(self.filepath)
        try:
            try:
                text = path.read_text(encoding="utf-8-sig")
            except (OSError, UnicodeDecodeError) as error:
                raise KitError("the preset cannot be read", str(path), "remove it and keep it again") from error
            now = Settings(**read_groups(building))
            write_groups(building, with_tables(now, text, path.name, SECTIONS[self.section]))
        except KitError as error:
            return refuse(self, error)
        return {"FINISHED"}


class HALFBAT_OT_keep_preset(Operator):
    """Keep what is set here as a preset, or remove one."""

    bl_idname = "halfbat.keep_preset"
    bl_label = "Keep Preset"
    bl_description = "Keep what is set here as a preset under the name typed beside, or remove the preset of that name"
    bl_options = {"REGISTER"}

    name: StringProperty(name="Name", description="Name of the preset, as files can have", options={"SKIP_SAVE"})
    section: EnumProperty(**SECTION)
    remove_name: BoolProperty(
        name="Remove", description="Remove the preset instead", default=False, options={"HIDDEN", "SKIP_SAVE"}
    )

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow buildings, linked ones too."""
        return poll_any_building(cls, context)

    def execute(self, context: Context) -> Result:
        """Write or remove the file."""
        try:
            path = own_preset(self.section, self.name.strip(), create=not self.remove_name)
            if self.remove_name:
                if not path.is_file():
                    raise KitError("there is no such preset", self.name, "those that come with Halfbat stay")
                path.unlink()
            else:
                settings = Settings(**read_groups(required_building(context)))
                write_file(path, tables_text(settings, SECTIONS[self.section]).encode("utf-8"))
        except KitError as error:
            return refuse(self, error)
        self.report({"INFO"}, f"Preset {path.stem} {'removed' if self.remove_name else 'kept'}")
        return {"FINISHED"}
