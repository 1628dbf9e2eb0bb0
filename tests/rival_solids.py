"""The walls of `figure_samples` by other means: booleans of manifold3d and of Blender, triangulations of others."""

import manifold3d
import numpy as np

from figure_samples import BED_MM, BRICK, FACE_MM, JOINT
from halfbat.solids.figure import OUTSIDE

SUNK_MM = 0.5
"""How deep bricks reach into the base, so that the boolean has something to join."""


def loops_of(layer):
    """The rings (K, 2) of a layer in millimetres."""
    return [layer.points[a:b] / 10_000 for a, b in zip(layer.starts[:-1], layer.starts[1:], strict=True)]


def parts_of(front):
    """Base, bricks and openings of a wall: rings of each."""
    base, rects = front.figure.layers[:2]
    openings = front.figure.layers[2:]
    return loops_of(base), loops_of(rects), [ring for layer in openings for ring in loops_of(layer)]


def by_cubes(front):
    """A wall of cubes joined to a base, all in one batch, openings taken away."""
    base, rects, openings = parts_of(front)
    blocks = [manifold3d.Manifold.extrude(manifold3d.CrossSection(base), BED_MM)]
    for ring in rects:
        (x0, y0), (x1, y1) = ring[0], ring[2]
        cube = manifold3d.Manifold.cube([x1 - x0, y1 - y0, FACE_MM - BED_MM + SUNK_MM])
        blocks.append(cube.translate([x0, y0, BED_MM - SUNK_MM]))
    wall = manifold3d.Manifold.batch_boolean(blocks, manifold3d.OpType.Add)
    if openings:
        holes = manifold3d.CrossSection(openings, manifold3d.FillRule.Positive)
        wall -= manifold3d.Manifold.extrude(holes, 2 * FACE_MM).translate([0, 0, -FACE_MM / 2])
    return wall.num_tri(), wall


def by_sections(front):
    """A wall of all bricks joined in the plane, extruded, and joined to its base."""
    base, rects, openings = parts_of(front)
    shape = manifold3d.CrossSection(base)
    bricks = manifold3d.CrossSection(rects, manifold3d.FillRule.Positive)
    if openings:
        shape -= manifold3d.CrossSection(openings, manifold3d.FillRule.Positive)
    if openings:
        bricks ^= shape
    relief = manifold3d.Manifold.extrude(bricks, FACE_MM - BED_MM + SUNK_MM).translate([0, 0, BED_MM - SUNK_MM])
    wall = manifold3d.Manifold.extrude(shape, BED_MM) + relief
    return wall.num_tri(), wall


def by_blender(bpy, front, solver):
    """A plain wall by Blender's boolean modifier: bricks, one mesh of boxes, joined to the base."""
    base, rects, _ = parts_of(front)
    (x0, y0), (x1, y1) = base[0][0], base[0][2]
    wall = _boxes(bpy, "wall", np.array([[x0, y0, x1, y1]]), 0.0, BED_MM)
    corners = np.array(rects)
    boxes = np.concatenate([corners[:, 0], corners[:, 2]], axis=1)
    relief = _boxes(bpy, "bricks", boxes, BED_MM - SUNK_MM, FACE_MM)
    join = wall.modifiers.new("join", "BOOLEAN")
    join.operation, join.solver, join.object = "UNION", solver, relief
    mesh = wall.evaluated_get(bpy.context.evaluated_depsgraph_get()).to_mesh()
    mesh.calc_loop_triangles()
    count = len(mesh.loop_triangles)
    for made in (wall, relief):
        data = made.data
        bpy.data.objects.remove(made)
        bpy.data.meshes.remove(data)
    return count


def _boxes(bpy, name, rects, low, high):
    x0, y0, x1, y1 = rects.T
    count = len(rects)
    corners = np.stack(
        [
            np.stack([x, y, np.full(count, z)], axis=1)
            for z in (low, high)
            for x, y in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
        ],
        axis=1,
    )
    faces = np.array([[3, 2, 1, 0], [4, 5, 6, 7], [0, 1, 5, 4], [1, 2, 6, 5], [2, 3, 7, 6], [3, 0, 4, 7]])
    mesh = bpy.data.meshes.new(name)
    quads = (faces[None] + 8 * np.arange(count)[:, None, None]).reshape(-1, 4)
    mesh.from_pydata(corners.reshape(-1, 3).tolist(), [], quads.tolist())
    made = bpy.data.objects.new(name, mesh)
    bpy.context.scene.collection.objects.link(made)
    return made


def needed_borders(sheet):
    """The borders of a sheet without the points that only its own lines have put on them: points (N, 2), and (K, 2)."""
    after = [{} for _ in sheet.points]
    for (a, b), left, right in zip(sheet.borders.tolist(), sheet.left.tolist(), sheet.right.tolist(), strict=True):
        after[a][b] = (left, right)
        after[b][a] = (right, left)
    places = sheet.points.tolist()
    for point, others in enumerate(after):
        if len(others) != 2:
            continue
        (a, (left, right)), (b, onward) = others.items()
        (ax, ay), (bx, by), (x, y) = places[a], places[b], places[point]
        off = abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / max(1.0, float(np.hypot(bx - ax, by - ay)))
        if onward == (right, left) and off <= 1.0 and b not in after[a]:
            del after[a][point], after[b][point]
            after[a][b], after[b][a] = (right, left), (left, right)
            others.clear()
    borders = [(a, b) for a, others in enumerate(after) for b in others if a < b]
    used, number = np.unique(np.array(borders), return_inverse=True)
    return sheet.points[used] / 10_000, number.reshape(-1, 2)


def delaunay_count(figure, sheet):
    """Triangles of a constrained Delaunay triangulation over the borders of a figure, by the package triangle."""
    import triangle

    points, borders = needed_borders(sheet)
    made = triangle.triangulate({"vertices": points, "segments": borders}, "p")
    middle = made["vertices"][made["triangles"]].mean(axis=1)
    return int(_inside(figure, middle).sum())


def ears_count(figure):
    """Triangles by mapbox_earcut over every cell's polygons with their holes."""
    import mapbox_earcut
    import shapely

    from figure_judge import faces_of

    faces, cells = faces_of(figure)
    count = 0
    for cell in set(cells.tolist()) - {OUTSIDE}:
        whole = shapely.unary_union([face for face, own in zip(faces, cells.tolist(), strict=True) if own == cell])
        for polygon in shapely.get_parts(whole):
            rings = [np.array(ring.coords)[:-1] for ring in (polygon.exterior, *polygon.interiors)]
            ends = np.cumsum([len(ring) for ring in rings]).astype(np.uint32)
            count += len(mapbox_earcut.triangulate_float64(np.concatenate(rings), ends)) // 3
    return count


def _inside(figure, at):
    from figure_judge import windings

    inside = np.zeros(len(at), dtype=bool)
    for number, layer in enumerate(figure.layers):
        if number and layer.cells.size and layer.cells[0] != OUTSIDE:
            continue
        covered = sum(windings(ring, at) for ring in loops_of(layer)) > 0
        inside = covered if number == 0 else inside & ~covered
    return inside


__all__ = ["BRICK", "JOINT", "by_blender", "by_cubes", "by_sections", "delaunay_count", "ears_count"]
