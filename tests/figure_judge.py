"""Figures judged by shapely: what lies where, worked out from all linework at once."""

import numpy as np
import shapely

from halfbat.solids.figure import OUTSIDE
from halfbat.solids.grid import PER_MM, to_mm


def rings_of(layer):
    """The rings (K, 2) of a layer in millimetres."""
    return [to_mm(layer.points[a:b]) for a, b in zip(layer.starts[:-1], layer.starts[1:], strict=True)]


def windings(ring, at):
    """How often a ring (K, 2) runs anticlockwise round each of the points (N, 2)."""
    a, b = ring, np.roll(ring, -1, axis=0)
    x, y = at[:, 0, None], at[:, 1, None]
    side = (b[:, 0] - a[:, 0]) * (y - a[:, 1]) - (x - a[:, 0]) * (b[:, 1] - a[:, 1])
    up = (a[:, 1] <= y) & (b[:, 1] > y) & (side > 0)
    down = (a[:, 1] > y) & (b[:, 1] <= y) & (side < 0)
    return up.sum(axis=1) - down.sum(axis=1)


def cells_at(figure, at):
    """The cell of a figure at each of the points (N, 2) in millimetres."""
    cell = np.full(len(at), OUTSIDE)
    inside = np.zeros(len(at), dtype=bool)
    for number, layer in enumerate(figure.layers):
        rounds = np.array([windings(ring, at) for ring in rings_of(layer)]).reshape(len(layer.cells), len(at))
        covered = rounds.sum(axis=0) > 0
        if number == 0:
            inside = covered
        if not len(rounds):
            continue
        own = layer.cells[np.argmax(rounds, axis=0)] if not layer.united else np.full(len(at), layer.cells[0])
        cell[covered] = own[covered]
    return np.where(inside, cell, OUTSIDE)


def linework(figure):
    """All sides of a figure, as one shapely geometry."""
    lines = [shapely.LineString(np.vstack([ring, ring[:1]])) for layer in figure.layers for ring in rings_of(layer)]
    lines = [line for line in lines if line.length > 0]
    return shapely.MultiLineString(lines)


def faces_of(figure):
    """Faces between all sides of a figure, and the cell of each: polygons, and (N,) cells."""
    noded = shapely.unary_union(linework(figure))
    faces = [face for face in shapely.get_parts(shapely.polygonize([noded])) if face.area > 1e-9]
    at = np.array([face.representative_point().coords[0] for face in faces]).reshape(-1, 2)
    return faces, cells_at(figure, at)


def areas_of(figure):
    """Area of each cell in square millimetres, by shapely: a dict without `OUTSIDE`."""
    faces, cells = faces_of(figure)
    areas = {}
    for face, cell in zip(faces, cells.tolist(), strict=True):
        if cell != OUTSIDE:
            areas[cell] = areas.get(cell, 0.0) + face.area
    return areas


def snapping_mm2(figure):
    """By how much rounding all crossings to the grid may change an area."""
    return float(linework(figure).length) * 2.0 / PER_MM + 1e-6


def sheet_areas(sheet):
    """Area of each cell of a sheet in square millimetres: a dict."""
    twice = twice_areas(sheet)
    return {cell: float(twice[sheet.cells == cell].sum()) / 2 / PER_MM**2 for cell in np.unique(sheet.cells).tolist()}


def twice_areas(sheet):
    """Twice the signed area of each triangle in square grid units."""
    a, b, c = (sheet.points[sheet.triangles[:, k]] for k in range(3))
    u, v = b - a, c - a
    return u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]


def assert_sheet_closed(sheet):
    """Assert that triangles share all their points, are upright, and that the borders are those between cells."""
    assert len(np.unique(sheet.points, axis=0)) == len(sheet.points), "a point twice"
    assert (twice_areas(sheet) > 0).all(), "a triangle without area or turned over"
    edges = np.concatenate([sheet.triangles[:, [0, 1]], sheet.triangles[:, [1, 2]], sheet.triangles[:, [2, 0]]])
    cells = np.tile(sheet.cells, 3)
    owner = dict(zip(map(tuple, edges.tolist()), cells.tolist(), strict=True))
    assert len(owner) == len(edges), "an edge used twice in one direction"
    expected = set()
    for (a, b), cell in owner.items():
        other = owner.get((b, a), OUTSIDE)
        if other != cell:
            expected.add((a, b, cell, other) if a < b else (b, a, other, cell))
    found = set()
    for (a, b), left, right in zip(sheet.borders.tolist(), sheet.left.tolist(), sheet.right.tolist(), strict=True):
        found.add((a, b, left, right) if a < b else (b, a, right, left))
    assert len(found) == len(sheet.borders), "a border twice"
    assert found == expected, "borders and triangles disagree"


def assert_sheet_true(figure, sheet):
    """Assert that a sheet is closed and that its cells have the areas of the figure's."""
    assert_sheet_closed(sheet)
    expected, found = areas_of(figure), sheet_areas(sheet)
    allowed = snapping_mm2(figure)
    for cell in set(expected) | set(found):
        assert abs(expected.get(cell, 0.0) - found.get(cell, 0.0)) <= allowed, (cell, expected, found, allowed)
