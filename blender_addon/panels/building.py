"""First step: which object, at which scale."""

from __future__ import annotations

from bpy.types import Context, Object, Scene, UILayout

from halfbat.errors import KitError
from halfbat.units import format_length, parse_scale

from ..mesh_in import metres_per_unit
from ..properties import building_data
from ..reporting import capital
from ..target import building_of
from .base import Tab, draw_text, form


class HALFBAT_PT_building(Tab):
    """Building and scale."""

    bl_label = "Building"
    bl_idname = "HALFBAT_PT_building"

    def draw(self, context: Context) -> None:
        """Draw the panel."""
        layout = self.layout
        building = building_of(context)
        if building is None:
            draw_text(layout, context, "Model a box of walls at full size, select it and:")
            layout.operator("halfbat.use_as_building", icon="HOME")
            return
        row = layout.row()
        row.label(text=building.name, icon="HOME")
        row.operator("halfbat.forget_building", text="", icon="X")
        kit = building_data(building).kit
        column = form(layout)
        column.prop(kit, "kit_name")
        column.prop(kit, "scale")
        self._sizes(layout, context, building, kit.scale)

    def _sizes(self, layout: UILayout, context: Context, building: Object, scale_text: str) -> None:
        """Show full size and model size side by side."""
        try:
            scale = parse_scale(scale_text)
        except KitError as error:
            box = layout.column()
            box.alert = True
            draw_text(box, context, capital(str(error)), "ERROR")
            return
        rows = layout.column(align=True)
        for name, size in zip(("Length", "Width", "Height"), building.dimensions.to_tuple(), strict=True):
            metres = size * metres_per_unit(context.scene)
            row = rows.row()
            row.label(text=name)
            row.label(text=full_size(metres, context.scene))
            row.label(text=f"{scale.to_mm(metres):.1f} mm")


def full_size(metres: float, scene: Scene) -> str:
    """Write a full-size length in the scene's system of units."""
    return format_length(metres, "imperial" if scene.unit_settings.system == "IMPERIAL" else "metric")
