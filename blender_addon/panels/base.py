"""What all panels of the tab share."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Any

from bpy.types import Context, Panel, UILayout, UIList

from ..target import building_of

PIXELS_PER_LETTER = 6
"""Usual width of a letter at scale 1; Blender has no way to ask for it in a layout."""

BUILDING, WALLS, OPENINGS, ROOF, SEAMS, CONSTRUCTION, PRINTERS, MAKE, LOOK, CHECKS, EXPORT = range(1, 12)
"""Places of the panels in the tab, in the order of the work."""

NO_LABELS: Mapping[str, str] = MappingProxyType({})


class Tab(Panel):
    """Where the panels are."""

    bl_space_type = "VIEW_3D"
    bl_region_type = "UI"
    bl_category = "Halfbat"


class BuildingTab(Tab):
    """A panel that needs a building to show anything."""

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Show the panel once there is a building."""
        return building_of(context) is not None


def form(layout: UILayout) -> UILayout:
    """Return a column laid out as Blender's own properties are: label to the left, value to the right."""
    layout.use_property_split = True
    layout.use_property_decorate = False
    return layout.column()


def draw_settings(
    layout: UILayout,
    group: Any,  # noqa: ANN401 - a property group
    keys: Iterable[str],
    labels: Mapping[str, str] = NO_LABELS,
) -> UILayout:
    """Draw some settings of a group in one block.

    Parameters
    ----------
    layout : UILayout
        Where.
    group : PropertyGroup
        Whose settings.
    keys : iterable of str
        Which, in order.
    labels : mapping of str to str
        Shorter labels, where the panel's title says the rest.
    """
    column = layout.column(align=True)
    for key in keys:
        if key in labels:
            column.prop(group, key, text=labels[key])
        else:
            column.prop(group, key)
    return column


def draw_text(layout: UILayout, context: Context, text: str, icon: str = "NONE") -> None:
    """Draw a sentence over as many lines as the sidebar is narrow."""
    scale = context.preferences.system.ui_scale
    room = context.region.width / (PIXELS_PER_LETTER * scale) - (12 if icon != "NONE" else 7)
    column = layout.column(align=True)
    column.scale_y = 0.8
    for row, line in enumerate(textwrap.wrap(text, max(20, int(room)))):
        shown = icon if row == 0 else ("BLANK1" if icon != "NONE" else "NONE")
        column.label(text=line, icon=shown)  # type: ignore[arg-type]


class Rows(UIList):
    """A list whose entries are drawn by what a row needs of all that Blender hands over."""

    def draw_item(
        self,
        context: Context,
        layout: UILayout,
        data: Any,  # noqa: ANN401 - Blender's own signature
        item: Any,  # noqa: ANN401
        icon: int | None,
        active_data: Any,  # noqa: ANN401
        active_property: str | None,
        index: int | None = 0,
        flt_flag: int | None = 0,
    ) -> None:
        """Draw one entry."""
        self.draw_row(context, layout, item, str(active_property))

    def draw_row(self, context: Context, layout: UILayout, item: Any, active_property: str) -> None:  # noqa: ANN401
        """Draw one entry in a line; active_property names what says which entry is chosen."""


class KeptRows(Rows):
    """A list of what a building keeps, without entries that are left out."""

    def filter_items(  # type: ignore[override] # what Blender wants; the stubs say None
        self,
        context: Context,
        data: Any,  # noqa: ANN401
        prop: str | None,
    ) -> tuple[list[int], list[int]]:
        """Show the entries that count and, where Blender would, hold the text typed in the filter."""
        wanted = self.filter_name.casefold()
        shown = [
            not getattr(item, "left_out", False) and wanted in item.name.casefold() for item in getattr(data, str(prop))
        ]
        return [self.bitflag_filter_item if seen else 0 for seen in shown], []
