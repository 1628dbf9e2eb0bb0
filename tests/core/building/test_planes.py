import os
from pathlib import Path

import numpy as np
import pytest
import shapely
import trimesh

from halfbat.building import Mesh, mesh_from_box, read_obj
from halfbat.building.planes import MOST_PLANES, PlaneKind, find_planes
from halfbat.building.tidy import tidy_mesh
from halfbat.errors import KitError
from sample_meshes import SQUARE, mesh_of, prism_rings

DATA = Path(__file__).parents[2] / "data"
FOLDERS = [DATA] + ([Path(os.environ["HALFBAT_BUILDINGS"])] if "HALFBAT_BUILDINGS" in os.environ else [])
FILES = sorted({file.name: file for folder in FOLDERS for file in folder.glob("*.obj")}.values())


def planes_of(mesh):
    tidy = tidy_mesh(mesh)
    return tidy, find_planes(tidy)


def test_box_has_six_planes():
    _, planes = planes_of(mesh_from_box(4, 3, 2))
    assert sorted(plane.area_m2 for plane in planes) == [6, 6, 8, 8, 12, 12]
    assert sorted(plane.kind for plane in planes) == [PlaneKind.LEVEL] * 2 + [PlaneKind.WALL] * 4
    assert not any(plane.loose for plane in planes)


def test_faces_merge_whichever_way_each_runs():
    front = [[(0, 0, 0), (6, 0, 0), (6, 0, 3)], [(0, 0, 3), (6, 0, 3), (0, 0, 0)]]
    _, planes = planes_of(mesh_of(*front, *prism_rings(SQUARE)[1:]))
    assert len(planes) == 6
    wall = next(plane for plane in planes if len(plane.faces) == 2)
    assert wall.area_m2 == pytest.approx(18)
    assert sorted(wall.agrees.tolist()) == [False, True]


def test_keyhole_is_a_hole():
    key = [(0, 0, 0), (6, 0, 0), (6, 0, 3), (0, 0, 3), (0, 0, 0), (2, 0, 1), (2, 0, 2), (3, 0, 2), (3, 0, 1), (2, 0, 1)]
    tidy, planes = planes_of(mesh_of(key, *prism_rings(SQUARE)[1:]))
    wall = next(plane for plane in planes if len(plane.rings) == 2)
    assert wall.area_m2 == pytest.approx(17)
    outer, hole = wall.flat_rings(tidy.points)
    assert shapely.Polygon(outer, [hole]).area == pytest.approx(17)


def test_hole_left_between_strips_is_a_hole():
    u, v = [0, 2, 3, 6], [0, 1, 2, 3]
    cells = [
        [(u[i], 0, v[j]), (u[i + 1], 0, v[j]), (u[i + 1], 0, v[j + 1]), (u[i], 0, v[j + 1])]
        for i in range(3)
        for j in range(3)
        if (i, j) != (1, 1)
    ]
    _, planes = planes_of(mesh_of(*cells, *prism_rings(SQUARE)[1:]))
    wall = next(plane for plane in planes if len(plane.faces) == 8)
    assert [len(ring) for ring in wall.rings] == [4, 4]
    assert wall.area_m2 == pytest.approx(17)


def test_a_sheet_folded_back_on_itself_is_two_planes():
    there, back = [(0, 0, 0), (6, 0, 0), (6, 0, 3), (0, 0, 3)], [(6, 0, 3), (6, 0, 0), (1, 0, 0), (1, 0, 3)]
    _, planes = planes_of(mesh_of(there, back, *prism_rings(SQUARE)[1:]))
    assert len(planes) == 7


@pytest.mark.parametrize(("angle", "count"), [(0.25, 5), (1.0, 6)])
def test_neighbours_within_half_a_degree_are_one_plane(angle, count):
    bulge = np.tan(np.radians(angle / 2)) * 0.4
    plan = [(0, 0), (0.4, -bulge), (0.8, 0), (0.8, 4), (0, 4)]
    _, planes = planes_of(mesh_of(*prism_rings(plan, floor=False)))
    assert len(planes) == count


def test_fine_triangles_rounded_to_a_millimetre_stay_one_wall():
    box = trimesh.creation.box((8, 5, 3)).subdivide_loop(0)
    while len(box.faces) < 12_000:
        box = box.subdivide()
    box.apply_transform(trimesh.transformations.rotation_matrix(0.4, (0, 0, 1)))
    mesh = Mesh(np.round(np.array(box.vertices), 3), tuple(map(tuple, box.faces.tolist())))
    _, planes = planes_of(mesh)
    assert [len(plane.rings[0]) for plane in planes] == [4] * 6
    assert sum(plane.area_m2 for plane in planes) == pytest.approx(158, rel=1e-3)


def test_a_ball_has_too_many_planes():
    ball = trimesh.creation.icosphere(subdivisions=4, radius=30)
    with pytest.raises(KitError, match=r"\d+ different planes"):
        planes_of(Mesh(np.array(ball.vertices), tuple(map(tuple, ball.faces.tolist()))))
    assert len(ball.faces) > MOST_PLANES


# The faces of x1 overlap, so its planes cannot be sound.
@pytest.mark.parametrize("file", [file for file in FILES if not file.stem.startswith("x1")], ids=lambda file: file.stem)
def test_real_planes_keep_the_area_and_are_sound_polygons(file):
    tidy, planes = planes_of(read_obj(file))
    for plane in planes:
        shapes = [shapely.Polygon(ring) for ring in plane.flat_rings(tidy.points)]
        outer = shapely.union_all([shape for shape in shapes if shape.exterior.is_ccw])
        shape = outer.difference(shapely.union_all([shape for shape in shapes if not shape.exterior.is_ccw]))
        # Dropped corners lie up to a millimetre off the side they were on.
        assert shape.area == pytest.approx(plane.area_m2, abs=0.002 * shape.length + 1e-6)
        off = (tidy.points[np.concatenate(plane.rings)] - plane.centre) @ plane.normal
        assert np.abs(off).max() < 0.005
