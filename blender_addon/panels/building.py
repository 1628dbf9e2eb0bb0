"""First step: which object, at which scale; and what to do where there is none."""

from __future__ import annotations

from bpy.types import Context, Object, UILayout

from halfbat.errors import KitError
from halfbat.surfaces.scale_fit import require_scale
from halfbat.units import parse_scale

from ..mesh_in import metres_per_unit
from ..properties import building_data
from ..reporting import capital
from ..settings_io import read_settings
from ..target import building_of, lost_building, required_building, why_not_own
from .base import BUILDING, BuildingTab, Tab, draw_text, form
from .lengths import draw_sizes

DELETED = "{} was deleted. Bring it back, or delete its parts too."
STEPS = (
    ("Model the building plainly at full size: upright walls, plane roofs, closed at the top.", "EDITMODE_HLT"),
    ("Select it and press the button below.", "HOME"),
    ("Go through the panels from top to bottom. Everything has a usual value already.", "SORT_ASC"),
    ("Make the kit, read what the checks say, and export it.", "EXPORT"),
)


class HALFBAT_PT_first_steps(Tab):
    """What to do while there is no building."""

    bl_label = "First Steps"
    bl_idname = "HALFBAT_PT_first_steps"
    bl_order = BUILDING

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Show the panel while no building is selected."""
        return building_of(context) is None

    def draw(self, context: Context) -> None:
        """Draw the steps and the three ways to begin."""
        layout = self.layout
        lost = lost_building(context)
        if lost is not None:
            draw_text(layout, context, DELETED.format(lost.name), "ERROR")
            layout.operator("halfbat.bring_back_building", icon="LOOP_BACK")
        for text, icon in STEPS:
            draw_text(layout, context, text, icon)
        column = layout.column(align=True)
        column.scale_y = 1.2
        column.operator("halfbat.use_as_building", icon="HOME")
        column.operator("halfbat.add_example_building", icon="MESH_CUBE")
        column.operator("halfbat.load_kit_file", icon="FILE_FOLDER")


class HALFBAT_PT_building(BuildingTab):
    """Building and scale."""

    bl_label = "Building and Scale"
    bl_idname = "HALFBAT_PT_building"
    bl_order = BUILDING

    def draw(self, context: Context) -> None:
        """Draw the panel."""
        layout = self.layout
        building = required_building(context)
        row = layout.row()
        row.label(text=building.name, icon="HOME")
        row.operator("halfbat.forget_building", text="", icon="X")
        reason = why_not_own(building)
        if reason:
            draw_text(layout, context, reason, "LINKED" if building.library else "ERROR")
        kit = building_data(building).kit
        column = form(layout)
        column.prop(kit, "kit_name")
        column.prop(kit, "scale")
        self._sizes(layout, context, building, kit.scale)
        self._fit(layout, context, building)
        row = layout.row(align=True)
        row.operator("halfbat.load_kit_file", text="Load Kit File", icon="FILE_FOLDER")
        row.operator("halfbat.save_kit_file", text="Save Kit File", icon="FILE_TICK")

    def _sizes(self, layout: UILayout, context: Context, building: Object, scale_text: str) -> None:
        """Show full size and model size side by side; nothing for a scale that cannot be read, which is told below."""
        try:
            scale = parse_scale(scale_text)
        except KitError:
            return
        unit_m = metres_per_unit(context.scene)
        sizes = [size * unit_m for size in building.dimensions.to_tuple()]
        draw_sizes(layout, context.scene, scale, zip(("Length", "Width", "Height"), sizes, strict=True))

    def _fit(self, layout: UILayout, context: Context, building: Object) -> None:
        """Say before anything is made what a scale too small for the printer does to the bricks."""
        try:
            findings = require_scale(read_settings(building))
        except KitError as error:
            box = layout.column()
            box.alert = True
            draw_text(box, context, capital(str(error)), "ERROR")
            return
        for finding in findings:
            draw_text(layout, context, capital(f"{finding.text}: {finding.remedy}"), "ERROR")
