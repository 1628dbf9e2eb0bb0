from pathlib import Path

import numpy as np
import pytest
import shapely
import trimesh

from halfbat.building import Mesh, building_from_mesh, mesh_from_box, read_obj
from sample_meshes import L_PLAN, SQUARE, joined, mesh_of, prism, prism_rings, shifted

DATA = Path(__file__).parents[2] / "data"


def codes(building):
    return [finding.code for finding in building.findings]


def test_box():
    building = building_from_mesh(mesh_from_box(9.89, 5.39, 3.0), smallest_face_m=0.4)
    assert [wall.length_m for wall in building.walls] == [9.89, 5.39, 9.89, 5.39]
    assert [wall.letter for wall in building.walls] == list("ABCD")
    assert [wall.corner_deg for wall in building.walls] == [90] * 4
    assert (building.base_m, building.height_m, building.findings) == (0.0, 3.0, ())
    assert building.walls[0].outward.tolist() == [0, -1]


def test_the_same_walls_whatever_the_order_of_faces_and_points():
    mesh = prism(L_PLAN)
    random = np.random.default_rng(6)
    expected = building_from_mesh(mesh, smallest_face_m=0.4)
    for _ in range(5):
        order = random.permutation(len(mesh.vertices))
        place = np.argsort(order)
        faces = [tuple(int(place[corner]) for corner in face) for face in mesh.faces]
        shuffled = Mesh(mesh.vertices[order], tuple(faces[i] for i in random.permutation(len(faces))))
        found = building_from_mesh(shuffled, smallest_face_m=0.4)
        assert np.array_equal(found.plan_m, expected.plan_m)


def test_flat_shed_with_a_tilted_roof():
    building = building_from_mesh(read_obj(DATA / "b01_flat_shed.obj"), smallest_face_m=0.4)
    assert [wall.length_m for wall in building.walls] == pytest.approx([3.798, 1.900, 3.795, 1.900], abs=0.001)
    assert codes(building) == ["top-levelled"]
    text = building.findings[0].text
    assert "87 mm, 2.3 degrees" in text
    assert "keeps the volume" in text
    judge = trimesh.load(DATA / "b01_flat_shed.obj", process=False)
    outline = shapely.Polygon(building.plan_m)
    assert outline.area * building.height_m == pytest.approx(judge.volume, rel=0.002)


def test_l_shaped_building_with_jogs():
    mesh = read_obj(DATA / "b04_flat_L.obj")
    building = building_from_mesh(mesh, smallest_face_m=0.444)
    assert [round(wall.corner_deg) for wall in building.walls] == [90, 90, 270, 90, 90, 90]
    floor = shapely.Polygon(mesh.vertices[list(mesh.faces[0])][:, :2])
    outline = shapely.Polygon(building.plan_m)
    assert outline.is_valid
    assert outline.area == pytest.approx(floor.area, rel=0.005)
    moved = outline.exterior.hausdorff_distance(floor.exterior)
    assert moved < 0.1
    assert f"by up to {1000 * moved:.0f} mm" in building.findings[-1].text
    assert codes(building).count("short-edge") == 3
    assert {finding.part for finding in building.findings if finding.code == "short-edge"} <= {"wall E", "wall F"}


def test_every_edge_is_kept_where_it_can_be_made():
    building = building_from_mesh(read_obj(DATA / "b04_flat_L.obj"), smallest_face_m=0.01)
    assert len(building.walls) == 14
    assert "short-edge" not in codes(building)


def test_inner_worthless_and_turned_faces_are_told():
    front = prism_rings(SQUARE)[0]
    extra = mesh_of(front, [(3, 0, 0), (3, 4, 0), (3, 4, 3), (3, 0, 3)], [(0, 0, 0), (3, 0, 0), (6, 0, 0)])
    building = building_from_mesh(joined(mesh_of(front[::-1], *prism_rings(SQUARE)[1:]), extra), smallest_face_m=0.4)
    assert codes(building) == ["worthless-faces", "inner-faces", "faces-turned"]
    texts = [finding.text for finding in building.findings]
    assert texts[0] == "1 zero-area face and 1 duplicate face were left out: faces 7 and 9"
    assert texts[1] == "1 inner face was left out: face 8"
    assert texts[2] == "1 face of 9 pointed inwards and was turned round"
    assert [wall.length_m for wall in building.walls] == [6, 4, 6, 4]


def test_parts_side_by_side_of_one_height_are_one_building():
    building = building_from_mesh(joined(prism(SQUARE), prism(shifted(SQUARE, 6, 0))), smallest_face_m=0.4)
    assert [wall.length_m for wall in building.walls] == [12, 4, 12, 4]


def test_walls_modelled_with_their_thickness():
    inner = prism([(0.2, 0.2), (5.8, 0.2), (5.8, 3.8), (0.2, 3.8)], base=0.1, top=2.9)
    building = building_from_mesh(joined(prism(SQUARE), inner), smallest_face_m=0.4)
    assert [wall.length_m for wall in building.walls] == [6, 4, 6, 4]
    assert "inner-faces" in codes(building)


def test_fall_without_a_lid_and_uneven_foot():
    tops = {(0, 0): 3.0, (6, 0): 3.1, (6, 4): 3.1, (0, 4): 3.0}
    feet = {(0, 0): 0.0, (6, 0): 0.02, (6, 4): 0.0, (0, 4): 0.0}
    rings = [
        [(x, y, tops[x, y] if z else feet[x, y]) for x, y, z in ring]
        for ring in prism_rings([(0, 0), (6, 0), (6, 4), (0, 4)], floor=False, lid=False)
    ]
    building = building_from_mesh(mesh_of(*rings), smallest_face_m=0.4)
    assert codes(building) == ["foot-levelled", "top-levelled"]
    assert building.base_m == pytest.approx(0.005)
    assert building.height_m == pytest.approx(3.05 - 0.005, abs=0.006)
    assert "mean of the wall tops" in building.findings[1].text


def test_walls_that_lean_a_little_are_made_upright():
    rings = [[(x + 0.02 * z, y, z) for x, y, z in ring] for ring in prism_rings(SQUARE)]
    building = building_from_mesh(mesh_of(*rings), smallest_face_m=0.4)
    assert codes(building) == ["walls-uprighted"]
    assert [wall.length_m for wall in building.walls] == [6, 4, 6, 4]


def test_far_from_the_origin():
    mesh = prism(L_PLAN)
    moved = Mesh(mesh.vertices + np.array([4.5e5, 5.4e6, 120.0]), mesh.faces)
    building = building_from_mesh(moved, smallest_face_m=0.4)
    assert [wall.length_m for wall in building.walls] == pytest.approx([8, 3, 4, 3, 4, 6])
    assert building.base_m == 120.0
