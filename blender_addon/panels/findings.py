"""Ninth step: what the making had to say, and the parts."""

from __future__ import annotations

from typing import Any

from bpy.types import Context, UILayout

from halfbat.findings import Severity

from ..properties import building_data, part_data
from ..reporting import SEVERITY_ICONS, capital
from ..rows import kept
from ..scene_out import kit_collection, part_objects
from ..target import required_building
from .base import CHECKS, BuildingTab, KeptRows, Rows, draw_text


def sentence(finding: Any) -> str:  # noqa: ANN401 - a HALFBAT_PG_finding
    """Return what a finding says, after the part it is about."""
    return capital(f"{finding.part}: {finding.text}" if finding.part else finding.text)


class HALFBAT_UL_findings(KeptRows):
    """Findings, worst first."""

    def draw_row(self, context: Context, layout: UILayout, item: Any, active_property: str) -> None:  # noqa: ANN401
        """Draw one finding in a line."""
        layout.label(text=sentence(item), icon=SEVERITY_ICONS[Severity(item.severity)])  # type: ignore[arg-type]


class HALFBAT_UL_parts(Rows):
    """Parts by number."""

    def draw_row(self, context: Context, layout: UILayout, item: Any, active_property: str) -> None:  # noqa: ANN401
        """Draw one part: number, what it is, and a button that selects it."""
        part = part_data(item)
        row = layout.row()
        number = row.row()
        number.ui_units_x = 2.5
        number.label(text=part.number)
        row.label(text=part.title)
        row.operator("halfbat.select_part", text="", icon="RESTRICT_SELECT_OFF", emboss=False).number = part.number


class NeedsKit(BuildingTab):
    """A panel that needs a kit to show anything."""

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Show the panel once there is a kit."""
        return super().poll(context) and kit_collection(required_building(context)) is not None


class HALFBAT_PT_findings(NeedsKit):
    """Findings."""

    bl_label = "Findings"
    bl_order = CHECKS

    def draw(self, context: Context) -> None:
        """Draw the list, and the chosen finding in full."""
        layout = self.layout
        building = required_building(context)
        data = building_data(building)
        findings = kept(data.findings)
        if not findings:
            layout.label(text="Nothing to tell", icon="CHECKMARK")
            return
        layout.template_list("HALFBAT_UL_findings", "", data, "findings", data, "finding_index", rows=3)
        if not 0 <= data.finding_index < len(findings):
            return
        chosen = findings[data.finding_index]
        icon = SEVERITY_ICONS[Severity(chosen.severity)]
        draw_text(layout, context, sentence(chosen), icon)
        if chosen.remedy:
            draw_text(layout, context, capital(chosen.remedy), "TOOL_SETTINGS")
        if chosen.place_words:
            draw_text(layout, context, capital(chosen.place_words), "RESTRICT_VIEW_OFF")
        row = layout.row(align=True)
        if chosen.place_on or chosen.part in part_objects(building):
            row.operator("halfbat.look_at_finding", text="Look at It").index = data.finding_index
        if data.marked:
            row.operator("halfbat.hide_place")


class HALFBAT_PT_parts(NeedsKit):
    """Parts."""

    bl_label = "Parts"
    bl_order = CHECKS

    def draw(self, context: Context) -> None:
        """Draw the list, and what is known of the active part."""
        layout = self.layout
        building = required_building(context)
        collection = kit_collection(building)
        data = building_data(building)
        layout.template_list("HALFBAT_UL_parts", "", collection, "objects", data, "part_index", rows=5)
        active = context.active_object
        part = None if active is None else part_data(active)
        if part is None or not part.number:
            return
        column = layout.column(align=True)
        x, y, z = part.size_mm
        column.label(text=f"{part.number}  {part.title}")
        column.label(text=f"{x:.1f} x {y:.1f} x {z:.1f} mm, {part.process}, {part.quantity} needed")
        if part.bricks:
            column.label(text=f"{part.bricks} facing bricks")
