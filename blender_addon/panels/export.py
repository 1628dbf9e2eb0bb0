"""Last step: the kit's folder."""

from __future__ import annotations

from bpy.types import Context

from .base import BuildingTab


class HALFBAT_PT_export(BuildingTab):
    """Export."""

    bl_label = "Export"
    bl_idname = "HALFBAT_PT_export"

    def draw(self, _context: Context) -> None:
        """Draw the panel."""
        self.layout.operator("halfbat.export_kit", icon="EXPORT")
