"""Writing a kit's folder."""

from __future__ import annotations

from pathlib import Path

import bpy
from bpy.props import BoolProperty, StringProperty
from bpy.types import Context, Event, Operator

from halfbat.booklet.page import FILE_NAME, booklet_html
from halfbat.errors import KitError
from halfbat.output.folder import check_destination, write_kit
from halfbat.rendering import render_pictures

from ..live import give_up, shelf_of
from ..making import kit_as_shown
from ..reporting import Result, count_findings, refuse
from ..settings_io import read_settings
from ..target import poll_kit, required_building


class HALFBAT_OT_export_kit(Operator):
    """Write the kit to a folder."""

    bl_idname = "halfbat.export_kit"
    bl_label = "Export Kit"
    bl_description = (
        "Write the kit to a folder of its own in the one you choose: an STL file for each part, filled plates, the "
        "parts list, the booklet and kit.json. Parts are written as they stand here, modifiers applied"
    )
    bl_options = {"REGISTER"}

    directory: StringProperty(
        name="Folder", description="Folder in which the kit's own folder is made", subtype="DIR_PATH"
    )
    filter_folder: BoolProperty(default=True, options={"HIDDEN"})

    pictures: BoolProperty(
        name="Render Pictures",
        description="Render the pictures of the booklet, which takes a while, instead of drawing them as lines",
        default=False,
    )

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow buildings with a kit."""
        return poll_kit(cls, context)

    def invoke(self, context: Context, _event: Event) -> Result:
        """Ask for the folder."""
        context.window_manager.fileselect_add(self)
        return {"RUNNING_MODAL"}

    def execute(self, context: Context) -> Result:
        """Check every part as it stands in the scene and write the folder."""
        building = required_building(context)
        manager = context.window_manager
        manager.progress_begin(0.0, 1.0)
        try:
            target = self._target(read_settings(building).kit.name)
            check_destination(target)
            give_up()
            kit = kit_as_shown(
                building, context, lambda share, _text: manager.progress_update(share), shelf_of(building)
            )
            rendered = (
                render_pictures(kit, lambda share, _text: manager.progress_update(share)) if self.pictures else {}
            )
            write_kit(kit, target, {FILE_NAME: booklet_html(kit, rendered=rendered)})
        except KitError as error:
            return refuse(self, error)
        finally:
            manager.progress_end()
        files = sum(part.process != "bought" for part in kit.parts)
        self.report({"INFO"}, f"{files} parts in {target}{count_findings(kit.findings)}")
        return {"FINISHED"}

    def _target(self, name: str) -> Path:
        """Return the kit's own folder in the chosen one, or the chosen one where that is a kit's folder already."""
        if not self.directory:
            raise KitError("no folder was chosen", "", "choose one for the kit")
        chosen = Path(bpy.path.abspath(self.directory))
        return chosen if chosen.name == name and (chosen / "kit.json").is_file() else chosen / name
