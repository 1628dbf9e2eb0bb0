"""Numbers of parts drawn over the 3D view, and the place a finding is about."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from math import cos, pi, sin
from types import MappingProxyType
from typing import Any

import blf
import bpy
import gpu
from bpy.types import Object, Region, RegionView3D, SpaceView3D
from bpy_extras.view3d_utils import location_3d_to_region_2d
from gpu_extras.batch import batch_for_shader
from mathutils import Matrix, Vector

from halfbat.findings import Severity

from .finding_places import MarkedPlace, marked_places
from .modifiers import kits_in
from .properties import building_data, kit_data, part_data
from .standing import ASSEMBLED, PLATES, parts_of

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
BACK = (0.05, 0.05, 0.05, 0.75)
PLATE_INK = (0.75, 0.8, 0.85, 0.9)
EDGE_PT = 3.0
FONT = 0
"""Blender's own."""
FLAT_KINDS = ("skin", "cover", "insert", "roof skin", "ridge", "fascia", "barge board", "gutter")
"""Kinds whose print frame has z out of the building: from behind they need no number."""
INNER_KINDS = ("shell", "former")
"""Kinds that are not seen while the kit is together."""


@dataclass(frozen=True)
class Label:
    """A line of text over the view.

    Parameters
    ----------
    text : str
        What it says.
    x, y : float
        Its middle in the region, pixels.
    width, height : float
        Of the plate it stands on, pixels.
    """

    text: str
    x: float
    y: float
    width: float
    height: float

    def within(self, width: float, height: float) -> Label:
        """Return the label moved as little as brings it into a region of a size."""
        x = max(self.width / 2, min(self.x, width - self.width / 2))
        y = max(self.height / 2, min(self.y, height - self.height / 2))
        return replace(self, x=x, y=y)


def numbers_seen(
    view: RegionView3D, region: Region, space: SpaceView3D | None = None
) -> list[tuple[str, float, float]]:
    """Return number and place in the region of each part whose number is to be shown and that faces the viewer.

    The nearest come first. Parts that are not seen in the view's space, as in local view, are left out.
    """
    eye = view.view_matrix.inverted()
    found = []
    for item, look in _numbered(space):
        if look == ASSEMBLED and part_data(item).kind in INNER_KINDS:
            continue
        box = [Vector(corner) for corner in item.bound_box]
        middle = item.matrix_world @ (sum(box, Vector()) / 8)
        toward = eye.translation - middle if view.is_perspective else eye.col[2].to_3d()
        if part_data(item).kind in FLAT_KINDS and (item.matrix_world.to_3x3().col[2]).dot(toward) <= 0:
            continue
        place = location_3d_to_region_2d(region, view, middle)
        if place is not None:
            away = (eye.translation - middle).dot(eye.col[2].to_3d())
            found.append((away, part_data(item).number, place.x, place.y))
    return [(number, x, y) for _, number, x, y in sorted(found)]


def _numbered(space: SpaceView3D | None) -> Iterator[tuple[Object, str]]:
    """Yield the parts of this scene that are to show their numbers, and how their kit is looked at."""
    for kit in kits_in(bpy.context.scene):
        building: Object | None = kit_data(kit).building
        if building is None or not building_data(building).numbers:
            continue
        look = building_data(building).look
        layer = bpy.context.view_layer
        for item in parts_of(building):
            if item.visible_get(view_layer=layer, viewport=space):
                yield item, look


def clear_of_each_other(labels: Iterable[Label]) -> list[Label]:
    """Leave out labels that would cover one before them: from afar the nearest parts are named, from near all."""
    kept: list[Label] = []
    for label in labels:
        if all(
            abs(label.x - other.x) >= (label.width + other.width) / 2
            or abs(label.y - other.y) >= (label.height + other.height) / 2
            for other in kept
        ):
            kept.append(label)
    return kept


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
    plates = []
    for name, corners in plates_seen():
        found = [location_3d_to_region_2d(region, view, corner) for corner in corners]
        if all(corner is not None for corner in found):
            _draw_lines(region, [*found, found[0]], "LINE_STRIP", 1.5 * size, PLATE_INK)
            plates.append(_label(name, found[0].x, found[0].y, size))
    for place in marked_places(context):
        _draw_place(region, view, place, size)
    labels = [_label(number, x, y, size) for number, x, y in numbers_seen(view, region, space)]
    for label in clear_of_each_other([*labels, *plates]):
        _write(label, size, INK if label in labels else PLATE_INK)


def plates_seen() -> Iterator[tuple[str, list[Vector]]]:
    """Yield name and corners in the world of each plate that parts lie on."""
    for kit in kits_in(bpy.context.scene):
        building: Object | None = kit_data(kit).building
        item = next(iter(parts_of(building)), None) if building is not None else None
        if building is None or item is None or building_data(building).look != PLATES:
            continue
        frame = item.parent.matrix_world @ item.matrix_parent_inverse if item.parent else Matrix.Identity(4)
        for name, (x, y, z), (wide, deep) in json.loads(kit_data(kit).plates or "[]"):
            corners = ((x, y, z), (x + wide, y, z), (x + wide, y + deep, z), (x, y + deep, z))
            yield name, [frame @ (Vector(corner) * item.scale[0]) for corner in corners]


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
    label = _label(place.text, middle.x, middle.y + radius + SIZE_PT * size, size)
    _write(label.within(region.width, region.height), size, colour)


def _draw_lines(
    region: Region, points: list[Vector], kind: str, width: float, ink: tuple[float, float, float, float]
) -> None:
    shader: Any = gpu.shader.from_builtin("POLYLINE_UNIFORM_COLOR")
    shader.bind()
    shader.uniform_float("viewportSize", (region.width, region.height))
    shader.uniform_float("lineWidth", width)
    _draw(shader, kind, [(point.x, point.y, 0.0) for point in points], ink)


def _draw(shader: Any, kind: str, points: list[tuple[float, ...]], ink: tuple[float, float, float, float]) -> None:  # noqa: ANN401
    shader.bind()
    shader.uniform_float("color", ink)
    batch: Any = batch_for_shader(shader, kind, {"pos": points})
    gpu.state.blend_set("ALPHA")
    batch.draw(shader)
    gpu.state.blend_set("NONE")


def _label(text: str, x: float, y: float, size: float) -> Label:
    blf.size(FONT, SIZE_PT * size)
    extent: Any = blf.dimensions(FONT, text)
    width, height = extent
    return Label(text, x, y, width + 2 * EDGE_PT * size, max(height, SIZE_PT * 0.75 * size) + 2 * EDGE_PT * size)


def _write(label: Label, size: float, ink: tuple[float, float, float, float]) -> None:
    """Write a label on a dark plate, so that it is read over light parts and dark ones."""
    x0, y0 = label.x - label.width / 2, label.y - label.height / 2
    x1, y1 = x0 + label.width, y0 + label.height
    corners: list[tuple[float, ...]] = [(x0, y0), (x1, y0), (x0, y1), (x1, y1)]
    _draw(gpu.shader.from_builtin("UNIFORM_COLOR"), "TRI_STRIP", corners, BACK)
    blf.size(FONT, SIZE_PT * size)
    blf.color(FONT, *ink)
    extent: Any = blf.dimensions(FONT, label.text)
    blf.position(FONT, x0 + EDGE_PT * size, label.y - extent[1] / 2, 0)
    blf.draw(FONT, label.text)


def watch() -> None:
    """Start drawing."""
    handle: Any = SpaceView3D.draw_handler_add(draw, (), "WINDOW", "POST_PIXEL")
    # Blender empties its space for such things when a file is opened, so the handle is kept with a type.
    bpy.types.WindowManager.halfbat_overlay = handle  # type: ignore[attr-defined]


def unwatch() -> None:
    """Stop drawing."""
    SpaceView3D.draw_handler_remove(bpy.types.WindowManager.halfbat_overlay, "WINDOW")  # type: ignore[attr-defined]
    del bpy.types.WindowManager.halfbat_overlay  # type: ignore[attr-defined]
