"""What the colours on the building mean."""

from __future__ import annotations

from typing import Any

from bpy.types import Context

from halfbat.settings.features import FINISH_CHOICES

from ..finish_view import state
from ..preferences import colour_name, preferences
from ..properties import building_data
from ..rows import kept
from ..target import building_of, required_building
from .base import BuildingTab, draw_text

ROW = 0.2
"""Share of a row's width that its colour takes."""


def bands_in_words(stored: Any) -> dict[str, str]:  # noqa: ANN401 - a collection of property groups
    """Return by finish, in the order of the choices, which walls it is on and how high."""
    told: dict[str, list[str]] = {kind: [] for kind in FINISH_CHOICES}
    for item in kept(stored):
        low = f" from {item.bottom}" if item.bottom.strip() not in ("", "0") else ""
        high = f" to {item.top}" if item.top.strip() else ""
        told[item.kind].append(f"{item.wall}{low}{high}")
    return {kind: ", ".join(dict.fromkeys(places)) for kind, places in told.items() if places}


class HALFBAT_PT_finish_colours(BuildingTab):
    """Colours of the finishes."""

    bl_label = "Finish Colours"
    bl_parent_id = "HALFBAT_PT_walls"
    bl_order = 4

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Show the panel where there are finishes, and while faces are chosen for them."""
        building = building_of(context)
        return building is not None and (context.mode == "EDIT_MESH" or bool(kept(building_data(building).finishes)))

    def draw_header(self, context: Context) -> None:
        """Draw the switch."""
        self.layout.prop(building_data(required_building(context)), "finish_colours", text="")

    def draw(self, context: Context) -> None:
        """Draw each finish the building has with its colour, and where it is; while faces are chosen, all finishes."""
        building = required_building(context)
        data = building_data(building)
        places = bands_in_words(data.finishes)
        kinds = [kind for kind in FINISH_CHOICES if kind in places or context.mode == "EDIT_MESH"]
        column = self.layout.column(align=True)
        column.active = data.finish_colours
        for kind in kinds:
            row = column.split(factor=ROW)
            chosen = preferences()
            if chosen is not None:
                row.prop(chosen, colour_name(kind), text="")
            words = row.column(align=True)
            draw_text(words, context, ": ".join(text for text in (FINISH_CHOICES[kind], places.get(kind, "")) if text))
        known = state().painted.get(building.session_uid)
        for text in known.troubles if known is not None else ():
            draw_text(self.layout, context, text, "ERROR")
