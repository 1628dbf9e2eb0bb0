"""Seventh step: what the parts are printed on."""

from __future__ import annotations

from bpy.types import Context

from halfbat.settings import OrientationSettings, Settings, group_classes, settings_of

from ..properties import building_data
from ..target import required_building
from .base import PRINTERS, BuildingTab, draw_settings, form
from .presets import HALFBAT_PT_printer_presets

SHORT = {
    "min_groove_px": "In pixels",
    "min_groove_depth_mm": "Its depth",
}
"""Labels that follow on from the one above."""


class HALFBAT_PT_printers(BuildingTab):
    """Printers."""

    bl_label = "Printers"
    bl_idname = "HALFBAT_PT_printers"
    bl_order = PRINTERS

    def draw_header_preset(self, _context: Context) -> None:
        """Offer presets in the panel's head."""
        HALFBAT_PT_printer_presets.draw_panel_header(self.layout)

    def draw(self, context: Context) -> None:
        """Draw the two choices; their figures follow below."""
        data = building_data(required_building(context))
        column = form(self.layout)
        column.prop(data.resin, "preset", text="Skins")
        column.prop(data.filament, "preset", text="Shell")


class ProcessPanel(BuildingTab):
    """The figures of one process, in blocks of a kind."""

    bl_parent_id = "HALFBAT_PT_printers"
    bl_options = {"DEFAULT_CLOSED"}
    group = ""

    def draw(self, context: Context) -> None:
        """Draw the panel."""
        process = getattr(building_data(required_building(context)), self.group)
        row = self.layout.row(align=True)
        row.operator("halfbat.load_process_file", text="Load File", icon="FILE_FOLDER").printer = self.group
        row.operator("halfbat.save_process_file", text="Save File", icon="FILE_TICK").printer = self.group
        column = form(self.layout)
        block = column.column(align=True)
        before = ""
        for record in settings_of(group_classes(Settings)[self.group]):
            if record.key == "preset":
                continue
            kind = record.key.split("_")[0]
            if kind != before:
                block = column.column(align=True)
                before = kind
            block.prop(process, record.key, text=SHORT.get(record.key, record.label))


class HALFBAT_PT_orientation(BuildingTab):
    """How parts lie on the plate."""

    bl_label = "How Parts Lie"
    bl_parent_id = "HALFBAT_PT_printers"
    bl_options = {"DEFAULT_CLOSED"}
    bl_order = 3

    def draw(self, context: Context) -> None:
        """Draw the panel."""
        orientation = building_data(required_building(context)).orientation
        draw_settings(form(self.layout), orientation, [record.key for record in settings_of(OrientationSettings)])


class HALFBAT_PT_resin(ProcessPanel):
    """The resin printer."""

    bl_label = "Resin Printer"
    bl_order = 1
    group = "resin"


class HALFBAT_PT_filament(ProcessPanel):
    """The filament printer."""

    bl_label = "Filament Printer"
    bl_order = 2
    group = "filament"
