"""Putting things on walls with the mouse: a new one, or one that is there, slides over the walls under the pointer."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from bpy.props import BoolProperty, EnumProperty, StringProperty
from bpy.types import Context, Event, Object, Operator, SpaceView3D
from bpy_extras.view3d_utils import region_2d_to_origin_3d, region_2d_to_vector_3d

from halfbat.errors import KitError
from halfbat.sites.spots import Spot, spot_on_ray
from halfbat.sites.walls import Sites

from ..following import move_to, put, sites_for
from ..mesh_in import building_frame, metres_per_unit
from ..placed import (
    TITLES,
    is_placed,
    new_placed,
    place_name,
    place_of,
    remember,
    remove_placed,
    request_of,
    write_request,
)
from ..placed_properties import ON_SLOPES, PLACED_CLASSES, placed_data
from ..properties import building_data
from ..reporting import Result, refuse
from ..target import poll_building, required_building
from .make import LOOKING
from .placed import USUAL_ITEMS, USUAL_LIGHT_ITEMS, first_request, select_only

KIND_ITEMS = [(kind, TITLES[kind], "") for kind in PLACED_CLASSES]
HELP = "click: put it there    Ctrl: without snapping    wheel: turn and zoom    Esc: give up"


class Slide(Operator):
    """What follows the pointer over the walls until a click."""

    bl_options = {"REGISTER", "UNDO", "BLOCKING"}

    _item: Object
    _building: Object
    _sites: Sites
    _level: bool
    _seen: bool

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Allow buildings, in a 3D view."""
        if context.space_data is None or context.space_data.type != "VIEW_3D":
            cls.poll_message_set("Do this in a 3D view")
            return False
        return poll_building(cls, context)

    def begin(self, context: Context, event: Event) -> Result:
        """Start following the pointer."""
        self._seen = self._follow(context, event)
        context.window_manager.modal_handler_add(self)
        return {"RUNNING_MODAL"}

    def modal(self, context: Context, event: Event) -> Result:
        """Follow the pointer."""
        if event.type in LOOKING or (event.type == "MIDDLEMOUSE" and event.value == "PRESS"):
            return {"PASS_THROUGH"}
        if event.type in {"ESC", "RIGHTMOUSE"} and event.value == "PRESS":
            self._give_up(context)
            return {"CANCELLED"}
        if event.type in {"LEFTMOUSE", "RET"} and event.value == "PRESS":
            if not self._follow(context, event):
                self.report({"WARNING"}, f"There is no {self._where()} under the pointer")
                return {"RUNNING_MODAL"}
            return self._done(context)
        if event.type in {"MOUSEMOVE", "LEFT_CTRL", "RIGHT_CTRL"}:
            self._seen = self._follow(context, event)
        return {"RUNNING_MODAL"}

    def cancel(self, context: Context) -> None:
        """Give up when Blender itself ends the operator."""
        self._give_up(context)

    def _spot(self, context: Context, event: Event) -> Spot | None:
        region = next((item for item in context.area.regions if item.type == "WINDOW"), None)
        space = context.space_data
        if region is None or not isinstance(space, SpaceView3D):
            return None
        view = space.region_3d
        pointer = (event.mouse_x - region.x, event.mouse_y - region.y)
        own = building_frame(self._building.matrix_world).inverted_safe()
        origin = np.array(own @ region_2d_to_origin_3d(region, view, pointer)) * metres_per_unit(context.scene)
        sight = np.array(own.to_3x3() @ region_2d_to_vector_3d(region, view, pointer))
        return spot_on_ray(self._sites, origin, sight, on_slopes=placed_data(self._item).kind in ON_SLOPES)

    def _follow(self, context: Context, event: Event) -> bool:
        """Put the thing under the pointer and say where that is; False where there is no wall."""
        spot = self._spot(context, event)
        if spot is None:
            context.area.header_text_set(f"No {self._where()} under the pointer    {HELP}")
            return False
        if self._level:
            spot = replace(spot, up_m=self._sites.length_m(request_of(self._item).sill_height))
        data = building_data(self._building)
        snap = data.snap
        try:
            data.snap = snap and not event.ctrl
            move_to(self._item, spot, self._sites, context.scene)
        finally:
            data.snap = snap
        request, trouble = request_of(self._item), placed_data(self._item).trouble
        sill = f", sill {request.sill_height}" if hasattr(request, "sill_height") else ""
        up = f", {request.up} up" if hasattr(request, "up") else ""
        place = f"{self._where().capitalize()} {place_of(self._item)}"
        context.area.header_text_set(f"{place} at {request.at}{sill}{up}  {trouble}    {HELP}")
        return True

    def _where(self) -> str:
        return place_name(placed_data(self._item).kind)

    def _done(self, context: Context) -> Result:
        context.area.header_text_set(None)
        remember(self._building)
        select_only(context, self._item)
        put(self._item, self._sites, context.scene, typed=True)
        return {"FINISHED"}

    def _give_up(self, context: Context) -> None:
        raise NotImplementedError


class HALFBAT_OT_place_on_wall(Slide):
    """Add an opening, a seam or a pipe with a click on a wall, or a roof light with one on a slope."""

    bl_idname = "halfbat.place_on_wall"
    bl_label = "Place on Wall"
    bl_description = (
        "Add an opening, a seam or a pipe with a click on a wall, a roof light with one on a slope. It shows under the "
        "pointer first, snapped to the "
        "bricks or tiles; Ctrl leaves the snapping out, Esc gives up"
    )

    kind: EnumProperty(name="Kind", description="What is added", items=KIND_ITEMS)
    usual: EnumProperty(name="Opening", description="Which opening to begin with", items=USUAL_ITEMS)
    usual_light: EnumProperty(name="Roof Light", description="Which roof light to begin with", items=USUAL_LIGHT_ITEMS)
    usual_height: BoolProperty(
        name="Usual Height", description="Openings keep their usual height of sill as they slide along", default=True
    )

    def invoke(self, context: Context, event: Event) -> Result:
        """Make the thing and let it follow the pointer."""
        self._building = required_building(context)
        try:
            self._sites = sites_for(self._building, context.evaluated_depsgraph_get(), context.scene)
        except KitError as error:
            return refuse(self, error)
        self._level = self.kind == "openings" and self.usual_height
        usual = self.usual_light if self.kind == "roof_lights" else self.usual
        self._item = new_placed(self._building, self.kind, first_request(self.kind, usual))
        put(self._item, self._sites, context.scene, typed=True)
        return self.begin(context, event)

    def _give_up(self, context: Context) -> None:
        context.area.header_text_set(None)
        remove_placed([self._item])


class HALFBAT_OT_slide_on_wall(Slide):
    """Slide an opening, a seam or a pipe over the walls, or a roof light over the slopes, under the pointer."""

    bl_idname = "halfbat.slide_on_wall"
    bl_label = "Slide on Walls"
    bl_description = (
        "Slide this opening, seam or pipe over the walls under the pointer, round corners too, and click where it is "
        "to stay. Moving the object with G does the same along its wall"
    )

    item: StringProperty(name="Object", description="Name of the object; empty is the active one")

    def invoke(self, context: Context, event: Event) -> Result:
        """Let the thing follow the pointer."""
        item = context.view_layer.objects.get(self.item) if self.item else context.active_object
        if item is None or not is_placed(item):
            self.report({"ERROR"}, "Select an opening or a seam first")
            return {"CANCELLED"}
        self._item, self._building, self._level = item, item.parent, False
        try:
            self._sites = sites_for(self._building, context.evaluated_depsgraph_get(), context.scene)
        except KitError as error:
            return refuse(self, error)
        self._before = request_of(item)
        return self.begin(context, event)

    def _give_up(self, context: Context) -> None:
        context.area.header_text_set(None)
        write_request(self._item, self._before)
        put(self._item, self._sites, context.scene, typed=True)
