"""Numbers of parts drawn over the 3D view, and the place a finding is about."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from math import cos, pi, sin
from types import MappingProxyType
from typing import Any

import blf
import bpy
import gpu
from bpy.types import Object, Region, RegionView3D, SpaceView3D
from bpy_extras.view3d_utils import location_3d_to_region_2d
from gpu_extras.batch import batch_for_shader
from mathutils import Vector

from halfbat.findings import Severity

from .finding_places import MarkedPlace, marked_places
from .modifiers import kits_in
from .properties import building_data, kit_data, part_data
from .standing import ASSEMBLED

SIZE_PT = 12
INK = (1.0, 1.0, 1.0, 1.0)
SHADOW = (0.0, 0.0, 0.0, 0.9)
PLACE_COLOURS: Mapping[Severity, tuple[float, float, float, float]] = MappingProxyType(
    {
        Severity.FAILURE: (1.0, 0.25, 0.2, 1.0),
        Severity.WARNING: (1.0, 0.72, 0.1, 1.0),
        Severity.NOTE: (0.45, 0.8, 1.0, 1.0),
    }
)
LEAST_RING_PT = 16.0
RING_CORNERS = 48
_EDGES = tuple((a, a | bit) for a in range(8) for bit in (1, 2, 4) if not a & bit)
"""Corners of a box that differ along one axis only."""
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


def ring_of(region: Region, view: RegionView3D, place: MarkedPlace) -> tuple[Vector, float] | None:
    """Return middle and radius in the region of a ring round a place, never too small to be seen."""
    middle = location_3d_to_region_2d(region, view, place.middle)
    corners = [location_3d_to_region_2d(region, view, corner) for corner in place.corners]
    if middle is None or any(corner is None for corner in corners):
        return None
    return middle, max(LEAST_RING_PT, 1.25 * max((corner - middle).length for corner in corners))


def draw() -> None:
    """Draw marks and numbers over the view that is being drawn."""
    context = bpy.context
    view, region, space = context.region_data, context.region, context.space_data
    if not isinstance(view, RegionView3D) or not isinstance(space, SpaceView3D) or not space.overlay.show_overlays:
        return
    size = context.preferences.system.ui_scale
    for place in marked_places(context):
        _draw_place(region, view, place, size)
    with _writing(SIZE_PT * size) as font:
        for number, x, y in numbers_seen(view, region):
            _write(font, number, x, y)


def _draw_place(region: Region, view: RegionView3D, place: MarkedPlace, size: float) -> None:
    """Draw the box of a place, a ring round it and what was found there, over everything that stands before it."""
    ring = ring_of(region, view, place)
    if ring is None:
        return
    middle, radius = ring
    colour = PLACE_COLOURS[place.severity]
    corners = [location_3d_to_region_2d(region, view, corner) for corner in place.corners]
    box = [corners[corner] for edge in _EDGES for corner in edge]
    turn = [2 * pi * step / RING_CORNERS for step in range(RING_CORNERS + 1)]
    circle = [middle + radius * Vector((cos(angle), sin(angle))) for angle in turn]
    for points, kind in ((box, "LINES"), (circle, "LINE_STRIP")):
        for width, ink in ((4.0 * size, SHADOW), (2.0 * size, colour)):
            _draw_lines(region, points, kind, width, ink)
    with _writing(SIZE_PT * size) as font:
        blf.color(font, *colour)
        _write(font, place.text, middle.x, middle.y + radius + SIZE_PT * size)


def _draw_lines(
    region: Region, points: list[Vector], kind: str, width: float, ink: tuple[float, float, float, float]
) -> None:
    shader: Any = gpu.shader.from_builtin("POLYLINE_UNIFORM_COLOR")
    shader.bind()
    shader.uniform_float("viewportSize", (region.width, region.height))
    shader.uniform_float("lineWidth", width)
    shader.uniform_float("color", ink)
    batch: Any = batch_for_shader(shader, kind, {"pos": [(point.x, point.y, 0.0) for point in points]})
    gpu.state.blend_set("ALPHA")
    batch.draw(shader)
    gpu.state.blend_set("NONE")


@contextmanager
def _writing(size: float) -> Iterator[int]:
    """Write white letters with a dark edge."""
    font = 0
    blf.size(font, size)
    blf.enable(font, blf.SHADOW)
    blf.shadow(font, 5, *SHADOW)
    blf.color(font, *INK)
    try:
        yield font
    finally:
        blf.disable(font, blf.SHADOW)


def _write(font: int, text: str, x: float, y: float) -> None:
    """Write a line about a middle."""
    size: Any = blf.dimensions(font, text)
    blf.position(font, x - size[0] / 2, y - size[1] / 2, 0)
    blf.draw(font, text)


def watch() -> None:
    """Start drawing."""
    handle: Any = SpaceView3D.draw_handler_add(draw, (), "WINDOW", "POST_PIXEL")
    # Blender empties its space for such things when a file is opened, so the handle is kept with a type.
    bpy.types.WindowManager.halfbat_overlay = handle  # type: ignore[attr-defined]


def unwatch() -> None:
    """Stop drawing."""
    SpaceView3D.draw_handler_remove(bpy.types.WindowManager.halfbat_overlay, "WINDOW")  # type: ignore[attr-defined]
    del bpy.types.WindowManager.halfbat_overlay  # type: ignore[attr-defined]
