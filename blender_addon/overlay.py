"""Numbers of parts drawn over the 3D view, and the place a finding is about."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import blf
import bpy
from bpy.types import Object, Region, RegionView3D, SpaceView3D
from bpy_extras.view3d_utils import location_3d_to_region_2d
from mathutils import Vector

from .modifiers import kits_in
from .properties import building_data, kit_data, part_data
from .standing import ASSEMBLED

SIZE_PT = 12
INK = (1.0, 1.0, 1.0, 1.0)
SHADOW = (0.0, 0.0, 0.0, 0.9)
FLAT_KINDS = ("skin", "cover", "insert", "roof skin", "ridge")
"""Kinds whose print frame has z out of the building: from behind they need no number."""
INNER_KINDS = ("shell", "former")
"""Kinds that are not seen while the kit is together."""


def numbers_seen(view: RegionView3D, region: Region) -> Iterator[tuple[str, float, float]]:
    """Yield number and place in the region of each part whose number is to be shown and that faces the viewer."""
    eye = view.view_matrix.inverted()
    for kit in kits_in(bpy.context.scene):
        building: Object | None = kit_data(kit).building
        if building is None or not building_data(building).numbers:
            continue
        for item in kit.objects:
            if not part_data(item).number or not item.visible_get():
                continue
            if building_data(building).look == ASSEMBLED and part_data(item).kind in INNER_KINDS:
                continue
            box = [Vector(corner) for corner in item.bound_box]
            middle = item.matrix_world @ (sum(box, Vector()) / 8)
            toward = eye.translation - middle if view.is_perspective else eye.col[2].to_3d()
            if part_data(item).kind in FLAT_KINDS and (item.matrix_world.to_3x3().col[2]).dot(toward) <= 0:
                continue
            place = location_3d_to_region_2d(region, view, middle)
            if place is not None:
                yield part_data(item).number, place.x, place.y


def draw_numbers() -> None:
    """Draw the numbers over the view that is being drawn."""
    context = bpy.context
    view, region, space = context.region_data, context.region, context.space_data
    if not isinstance(view, RegionView3D) or not isinstance(space, SpaceView3D) or not space.overlay.show_overlays:
        return
    font = 0
    blf.size(font, SIZE_PT * context.preferences.system.ui_scale)
    blf.enable(font, blf.SHADOW)
    blf.shadow(font, 5, *SHADOW)
    blf.color(font, *INK)
    for number, x, y in numbers_seen(view, region):
        size: Any = blf.dimensions(font, number)
        blf.position(font, x - size[0] / 2, y - size[1] / 2, 0)
        blf.draw(font, number)
    blf.disable(font, blf.SHADOW)


def watch() -> None:
    """Start drawing."""
    handle: Any = SpaceView3D.draw_handler_add(draw_numbers, (), "WINDOW", "POST_PIXEL")
    # Blender empties its space for such things when a file is opened, so the handle is kept with a type.
    bpy.types.WindowManager.halfbat_numbers = handle  # type: ignore[attr-defined]


def unwatch() -> None:
    """Stop drawing."""
    SpaceView3D.draw_handler_remove(bpy.types.WindowManager.halfbat_numbers, "WINDOW")  # type: ignore[attr-defined]
    del bpy.types.WindowManager.halfbat_numbers  # type: ignore[attr-defined]
