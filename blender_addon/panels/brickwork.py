"""Second step: bricks, bond and joints."""

from __future__ import annotations

from bpy.types import Context

from halfbat.surfaces.bonds import get_bond

from ..properties import building_data
from ..target import required_building
from .base import BuildingTab, draw_settings, draw_text, form
from .presets import HALFBAT_PT_brick_presets

CUSTOM = ("custom_length_mm", "custom_width_mm", "custom_height_mm", "custom_joint_mm", "custom_gauge_mm")


class HALFBAT_PT_brickwork(BuildingTab):
    """Brick and bond."""

    bl_label = "Brick and Bond"
    bl_idname = "HALFBAT_PT_brickwork"
    bl_parent_id = "HALFBAT_PT_walls"
    bl_order = 1

    def draw_header_preset(self, _context: Context) -> None:
        """Offer presets in the panel's head."""
        HALFBAT_PT_brick_presets.draw_panel_header(self.layout)

    def draw(self, context: Context) -> None:
        """Draw the panel."""
        brick = building_data(required_building(context)).brick
        column = form(self.layout)
        column.prop(brick, "format")
        if brick.format == "custom":
            draw_settings(column, brick, CUSTOM)
        column.prop(brick, "bond")
        if get_bond(brick.bond).stretcher_courses:
            column.prop(brick, "stretcher_courses", text="Stretchers")


class HALFBAT_PT_joints(BuildingTab):
    """Joints and courses."""

    bl_label = "Joints and Courses"
    bl_idname = "HALFBAT_PT_joints"
    bl_parent_id = "HALFBAT_PT_brickwork"
    bl_options = {"DEFAULT_CLOSED"}

    def draw(self, context: Context) -> None:
        """Draw the panel."""
        brick = building_data(required_building(context)).brick
        column = form(self.layout)
        draw_settings(column, brick, ("joint_width_mm", "joint_depth_mm"))
        if not (brick.joint_width_mm and brick.joint_depth_mm):
            draw_text(column, context, "0 takes the usual size for the scale.", "INFO")
        column.prop(brick, "top_course")
        draw_settings(column, brick, ("perpend_limit_mm", "first_quoin"))
