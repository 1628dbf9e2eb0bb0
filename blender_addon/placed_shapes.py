"""What things on walls and slopes look like in the view: wire outlines with their reveal, and curves up the wall."""

from __future__ import annotations

import json
from itertools import pairwise
from typing import Any

import bpy
import numpy as np
from bpy.types import Curve, Material, Mesh, Object
from mathutils.geometry import interpolate_bezier
from numpy.typing import NDArray

from halfbat.sites.shapes import PlacedShape

from .cable_look import colour_cable, show_cable
from .placed_properties import placed_data

COLOURS = {
    "openings": (0.05, 0.32, 0.80, 1.0),
    "seams": (0.95, 0.55, 0.05, 1.0),
    "downpipes": (0.10, 0.12, 0.14, 1.0),
    "cable_runs": (0.20, 0.20, 0.22, 1.0),
    "roof_lights": (0.05, 0.45, 0.65, 1.0),
    "trouble": (0.90, 0.02, 0.02, 1.0),
}
THIN_M = 0.02
"""Thickness at which a seam is drawn that nothing covers."""
_SAME = 1e-6
_ROUND = 1e-3
_DRAWN_M = 1e-4
"""Finer bends are rounding: a tenth of a millimetre."""


def draw_shape(item: Object, shape: PlacedShape, unit_m: float) -> None:
    """Give an object the look of what it is, where that changed.

    Parameters
    ----------
    item : Object
        A mesh for an opening, a curve for a seam or a pipe.
    shape : PlacedShape
        From the core, metres.
    unit_m : float
        Length of a Blender unit in metres.
    """
    if item.data is not None and item.data.library is not None:  # of an override of an object in another file
        item.data = item.data.copy()
    if isinstance(item.data, Mesh):
        _draw_opening(item.data, shape, unit_m)
    elif isinstance(item.data, Curve):
        _draw_line(item.data, shape, unit_m)
        show_cable(item, shape.cable, unit_m)
        placed_data(item).drawn = words_of(line_m(item.data, unit_m))
    colour(item)


def colour(item: Object) -> None:
    """Show by its colour what an object is, and red where something is wrong with it."""
    data = placed_data(item)
    material = _material("trouble" if data.trouble else data.kind)
    if item.data is None or item.data.library is not None:
        return
    slots = item.data.materials  # type: ignore[union-attr]
    if not len(slots):
        slots.append(material)
    elif slots[0] != material:
        slots[0] = material
    colour_cable(item, material)


def _draw_opening(mesh: Mesh, shape: PlacedShape, unit_m: float) -> None:
    hole, units = shape.rings[0], shape.rings[1:]
    count = len(hole)
    rows = [_raised(hole, 0.0), _raised(hole, shape.depth_m), *(_raised(unit, 0.0) for unit in units)]
    vertices = np.concatenate(rows) / unit_m
    around = np.arange(count)
    ahead = np.roll(around, -1)
    faces = np.stack([around, ahead, ahead + count, around + count], axis=1).tolist()
    edges, first = [], 2 * count
    for unit in units:
        edges += [(first + k, first + (k + 1) % len(unit)) for k in range(len(unit))]
        first += len(unit)
    if _same_vertices(mesh, vertices):
        return
    mesh.clear_geometry()
    mesh.from_pydata(vertices.tolist(), edges, faces)
    mesh.update()


def _raised(ring: NDArray[np.float64], depth: float) -> NDArray[np.float64]:
    return np.column_stack([ring[:, 0], np.full(len(ring), depth), ring[:, 1]])


def _same_vertices(mesh: Mesh, vertices: NDArray[np.float64]) -> bool:
    if len(mesh.vertices) != len(vertices):
        return False
    held = np.empty(3 * len(vertices), dtype=np.float32)
    mesh.vertices.foreach_get("co", held)
    return bool(np.allclose(held.reshape(-1, 3), vertices, atol=_SAME))


def _draw_line(curve: Curve, shape: PlacedShape, unit_m: float) -> None:
    points = np.column_stack([_raised(shape.rings[0], 0.0) / unit_m, np.ones(len(shape.rings[0]))])
    if curve.dimensions != "3D":
        curve.dimensions, curve.fill_mode = "3D", "FULL"
    thick = max(shape.thick_m, THIN_M) / 2 / unit_m
    if shape.cable is None and abs(curve.bevel_depth - thick) > _SAME:
        curve.bevel_depth, curve.bevel_resolution, curve.use_fill_caps = thick, 2, True
    plain = len(curve.splines) == 1 and curve.splines[0].type == "POLY" and not curve.splines[0].use_cyclic_u
    held = [point.co[:] for spline in curve.splines for point in spline.points]
    if plain and len(held) == len(points) and np.allclose(held, points, atol=_SAME):
        return
    if not plain or len(held) != len(points):
        curve.splines.clear()
        curve.splines.new("POLY").points.add(len(points) - 1)
    curve.splines[0].points.foreach_set("co", points.ravel())


def line_m(curve: Curve, unit_m: float) -> NDArray[np.float64]:
    """Return the points of a line on a wall as the maker left them: along it, into it and up, shape (K, 3), metres."""
    points: list[Any] = []
    for spline in curve.splines:
        if spline.type == "BEZIER":
            points += _bezier_points(list(spline.bezier_points))
        else:
            points += [point.co[:3] for point in spline.points]
    return np.array(points, dtype=np.float64).reshape(-1, 3) * unit_m


def _bezier_points(knots: list[Any]) -> list[Any]:
    """Return points on a line with handles: its knots, and more in between where it is round."""
    found = [knots[0].co[:]] if knots else []
    for start, end in pairwise(knots):
        chord = end.co - start.co
        aside = max(chord.cross(side - start.co).length for side in (start.handle_right, end.handle_left))
        if aside > _ROUND * max(chord.length_squared, _SAME):
            between: Any = interpolate_bezier(start.co, start.handle_right, end.handle_left, end.co, 6)
            found += [point[:] for point in between[1:-1]]
        found.append(end.co[:])
    return found


def words_of(line: NDArray[np.float64]) -> str:
    """Return the points of a line in words that are the same as long as it was not bent."""
    return json.dumps((np.rint(line / _DRAWN_M) * 1.0).astype(int).tolist())


def _material(kind: str) -> Material:
    """Return the colour of a kind of thing, made on first use."""
    name = f"Halfbat {kind.replace('_', ' ')}"
    material = next((item for item in bpy.data.materials if item.name == name and item.library is None), None)
    if material is None:
        material = bpy.data.materials.new(name)
        material.diffuse_color = COLOURS[kind]
    return material
