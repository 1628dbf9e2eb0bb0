"""Adding, removing and finding what stands on a building's walls."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
from bpy.props import EnumProperty, StringProperty
from bpy.types import Context, Object, Operator

from halfbat.building.nearest import nearest_wall
from halfbat.errors import KitError
from halfbat.settings import SeamRequest
from halfbat.settings.usual_openings import USUAL_OPENINGS
from halfbat.settings.usual_roof_lights import USUAL_ROOF_LIGHTS
from halfbat.sites.spots import Spot, spot_at_point

from ..following import move_to, sites_for
from ..making import take_order
from ..mesh_in import building_frame, metres_per_unit
from ..placed import TITLES, is_placed, new_placed, placed_on, remember, remove_placed, request_of
from ..placed_properties import PLACED_CLASSES, placed_data
from ..reporting import Result, refuse
from ..target import poll_building, required_building

USUAL_ITEMS = [(name, name, f"A usual {name.lower()}; change its sizes afterwards") for name in USUAL_OPENINGS]


USUAL_LIGHT_ITEMS = [(name, name, f"{name}, to begin with; change its sizes afterwards") for name in USUAL_ROOF_LIGHTS]


def first_request(kind: str, usual: str) -> Any:  # noqa: ANN401 - a request of one of the lists
    """Return what a new thing on a wall is to begin with."""
    if kind == "openings":
        return USUAL_OPENINGS[usual]
    if kind == "roof_lights":
        return USUAL_ROOF_LIGHTS[usual]
    if kind == "seams":
        return SeamRequest("A", "0", "cable run")
    return PLACED_CLASSES[kind]("A", "0")


def select_only(context: Context, item: Object) -> None:
    """Make an object the only selected and the active one."""
    for other in context.selected_objects:
        other.select_set(False)
    if item.name in context.view_layer.objects:
        item.hide_set(False)
        item.select_set(True)
        context.view_layer.objects.active = item


class AddAtCursor(Operator):
    """What adding a thing at the 3D cursor shares."""

    bl_options = {"REGISTER", "UNDO"}
    kind = ""
    usual = ""

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow buildings."""
        return poll_building(cls, context)

    def execute(self, context: Context) -> Result:
        """Find the wall nearest to the cursor and put the thing there."""
        building = required_building(context)
        try:
            sites = sites_for(building, context.evaluated_depsgraph_get(), context.scene)
            cursor = building_frame(building.matrix_world).inverted_safe() @ context.scene.cursor.location
            point = np.array(cursor) * metres_per_unit(context.scene)
            spot = spot_at_point(sites, point) or _nearest(context, building, point)
        except KitError as error:
            return refuse(self, error)
        request = first_request(self.kind, self.usual)
        if self.kind == "openings" and self.usual:
            spot = replace(spot, up_m=sites.length_m(request.sill_height))
        item = new_placed(building, self.kind, request)
        move_to(item, spot, sites, context.scene)
        remember(building)
        select_only(context, item)
        done = request_of(item)
        self.report({"INFO"}, f"{TITLES[self.kind]} in wall {done.wall} at {done.at}")
        return {"FINISHED"}


def _nearest(context: Context, building: Object, point: np.ndarray) -> Spot:
    """Return the place on the nearest wall, however far."""
    found = nearest_wall(take_order(building, context).building(), point)
    return Spot(found.wall.letter, found.along_m, found.up_m)


class HALFBAT_OT_add_seam(AddAtCursor):
    """Split the wall nearest to the 3D cursor there, and hide the seam under a cable run."""

    bl_idname = "halfbat.add_seam"
    bl_label = "Add Seam at 3D Cursor"
    bl_description = "Split the wall nearest to the 3D cursor there, and hide the seam under a cable run"
    kind = "seams"


class HALFBAT_OT_add_opening(AddAtCursor):
    """Put a usual door or window into the wall nearest to the 3D cursor, at its usual height."""

    bl_idname = "halfbat.add_opening"
    bl_label = "Add Opening at 3D Cursor"
    bl_description = "Put a usual door or window into the wall nearest to the 3D cursor, at its usual height"
    kind = "openings"

    usual: EnumProperty(name="Opening", description="What it is to begin with", items=USUAL_ITEMS)


class HALFBAT_OT_remove_placed(Operator):
    """Remove an opening, a seam or a pipe from its wall."""

    bl_idname = "halfbat.remove_placed"
    bl_label = "Remove from Wall"
    bl_description = "Remove this opening, seam or pipe. Deleting the object with X is the same"
    bl_options = {"REGISTER", "UNDO"}

    item: StringProperty(name="Object", description="Name of the object; empty is the active one")

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow buildings."""
        return poll_building(cls, context)

    def execute(self, context: Context) -> Result:
        """Remove it and go back to the building."""
        building = required_building(context)
        name = self.item or (context.active_object.name if context.active_object else "")
        found = [item for item in placed_on(building) if item.name == name]
        if not found:
            self.report({"ERROR"}, "Select an opening or a seam first")
            return {"CANCELLED"}
        others = [item for item in placed_on(building, placed_data(found[0]).kind) if item not in found]
        remove_placed(found)
        remember(building)
        select_only(context, others[0] if others else building)
        return {"FINISHED"}


class HALFBAT_OT_select_placed(Operator):
    """Select this opening, seam or pipe in the scene."""

    bl_idname = "halfbat.select_placed"
    bl_label = "Select on Wall"
    bl_description = "Select this opening, seam or pipe in the scene"
    bl_options = {"REGISTER", "UNDO"}

    item: StringProperty(name="Object", description="Name of the object")

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow buildings."""
        return poll_building(cls, context)

    def execute(self, context: Context) -> Result:
        """Select it."""
        item: Object | None = context.view_layer.objects.get(self.item)
        if item is None or not is_placed(item):
            self.report({"ERROR"}, f"There is no {self.item} on a wall in this view layer")
            return {"CANCELLED"}
        select_only(context, item)
        return {"FINISHED"}
