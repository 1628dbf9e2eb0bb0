"""Sixth step: what the walls are built up of."""

from __future__ import annotations

from bpy.types import Context

from halfbat.settings import LidSettings, MarkSettings, ShellSettings, SkinSettings, settings_of

from ..properties import building_data
from ..target import required_building
from .base import CONSTRUCTION, BuildingTab, draw_settings, draw_text, form


def keys_after(group_class: type, first: str) -> tuple[str, ...]:
    """Return the keys of a group without the switch that turns the whole of it on or off."""
    return tuple(record.key for record in settings_of(group_class) if record.key != first)


class HALFBAT_PT_construction(BuildingTab):
    """Shell, skins, lid and marks."""

    bl_label = "Shell and Skins"
    bl_idname = "HALFBAT_PT_construction"
    bl_order = CONSTRUCTION
    bl_options = {"DEFAULT_CLOSED"}

    def draw(self, context: Context) -> None:
        """Draw what is chosen most."""
        data = building_data(required_building(context))
        column = form(self.layout)
        column.prop(data.shell, "floor")
        column.prop(data.lid, "make")
        column.prop(data.mark, "make")


class Part(BuildingTab):
    """A closed panel under that one."""

    bl_parent_id = "HALFBAT_PT_construction"
    bl_options = {"DEFAULT_CLOSED"}


class HALFBAT_PT_shell(Part):
    """The filament inner body."""

    bl_label = "Shell"

    def draw(self, context: Context) -> None:
        """Draw the panel."""
        shell = building_data(required_building(context)).shell
        column = form(self.layout)
        draw_settings(column, shell, [key for key in keys_after(ShellSettings, "floor") if key != "floor_thickness_mm"])
        floor = column.column()
        floor.enabled = shell.floor
        floor.prop(shell, "floor_thickness_mm")


class HALFBAT_PT_skins(Part):
    """The resin facing."""

    bl_label = "Skins"

    def draw(self, context: Context) -> None:
        """Draw the panel."""
        skin = building_data(required_building(context)).skin
        column = form(self.layout)
        draw_settings(column, skin, [record.key for record in settings_of(SkinSettings)])
        if not skin.base_thickness_mm:
            draw_text(column, context, "Base thickness 0 goes by the longest side.", "INFO")


class HALFBAT_PT_lid(Part):
    """The flat lid."""

    bl_label = "Lid"

    def draw(self, context: Context) -> None:
        """Draw the panel."""
        lid = building_data(required_building(context)).lid
        column = draw_settings(form(self.layout), lid, keys_after(LidSettings, "make"))
        column.enabled = lid.make


class HALFBAT_PT_marks(Part):
    """Numbers engraved on the backs."""

    bl_label = "Marks"

    def draw(self, context: Context) -> None:
        """Draw the panel."""
        mark = building_data(required_building(context)).mark
        labels = {"resin_height_mm": "Height, resin", "filament_height_mm": "Filament"}
        column = draw_settings(form(self.layout), mark, keys_after(MarkSettings, "make"), labels)
        column.enabled = mark.make
