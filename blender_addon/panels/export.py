"""Last step: the kit's folder; and test pieces for the printers."""

from __future__ import annotations

from bpy.types import Context

from .base import EXPORT, BuildingTab


class HALFBAT_PT_export(BuildingTab):
    """Export."""

    bl_label = "Export"
    bl_idname = "HALFBAT_PT_export"
    bl_order = EXPORT

    def draw(self, _context: Context) -> None:
        """Draw the panel."""
        self.layout.operator("halfbat.export_kit", icon="EXPORT")
        self.layout.operator_menu_enum("halfbat.export_coupon", "printer", text="Export Coupon")
