"""The menus of presets in the panels' heads, as Blender's own panels have them."""

from __future__ import annotations

from pathlib import Path

from bl_ui.utils import PresetPanel
from bpy.types import Context, Panel, UILayout

from ..preset_files import own_folder, presets_in, shipped_folder

MENU_WIDTH = 13
"""Wide enough for the names of the presets that are shipped, in widths of a button."""


class SectionPresets(PresetPanel):
    """A menu of the presets of one section: those shipped, the maker's own, and a place to keep another."""

    section = ""

    def draw(self, context: Context) -> None:
        """Draw the menu."""
        layout = self.layout  # type: ignore[attr-defined]
        layout.emboss = "PULLDOWN_MENU"
        layout.ui_units_x = MENU_WIDTH
        layout.operator_context = "EXEC_DEFAULT"
        column = layout.column(align=True)
        for path in presets_in(shipped_folder(self.section)):
            self._load(column, path)
        own = presets_in(own_folder(self.section))
        if own:
            column.separator()
        for path in own:
            row = column.row(align=True)
            self._load(row, path)
            remove = row.operator("halfbat.keep_preset", text="", icon="REMOVE")
            remove.section, remove.name, remove.remove_name = self.section, path.stem, True
        layout.separator()
        row = layout.row()
        typed = row.row()
        typed.emboss = "NORMAL"
        typed.prop(context.window_manager, "preset_name", text="")
        keep = row.operator("halfbat.keep_preset", text="", icon="ADD")
        keep.section, keep.name = self.section, context.window_manager.preset_name

    def _load(self, layout: UILayout, path: Path) -> None:
        load = layout.operator("halfbat.load_preset", text=path.stem, translate=False)
        load.section, load.filepath = self.section, str(path)


class HALFBAT_PT_brick_presets(SectionPresets, Panel):
    """Presets of bricks, bond and joints."""

    bl_label = "Brick and Bond Presets"
    section = "brick"


class HALFBAT_PT_roof_presets(SectionPresets, Panel):
    """Presets of roofs."""

    bl_label = "Roof Presets"
    section = "roof"


class HALFBAT_PT_printer_presets(SectionPresets, Panel):
    """Presets of both printers."""

    bl_label = "Printer Presets"
    section = "printers"
