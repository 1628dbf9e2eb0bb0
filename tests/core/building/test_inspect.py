from pathlib import Path

import numpy as np
import pytest
import trimesh

from halfbat.building import Mesh, inspect_mesh, mesh_from_box, read_obj, report_lines
from sample_meshes import L_PLAN, prism

DATA = Path(__file__).parents[2] / "data"


def test_sound_box():
    report = inspect_mesh(mesh_from_box(9.89, 5.39, 3.0))
    assert report.can_be_made
    assert [(wall.letter, wall.compass, wall.bearing_deg) for wall in report.walls] == [
        ("A", "S", 180),
        ("B", "E", 90),
        ("C", "N", 0),
        ("D", "W", 270),
    ]
    assert report.size_m == pytest.approx((9.89, 5.39, 3.0))
    assert report.plan_area_m2 == pytest.approx(9.89 * 5.39)
    assert not any(report.defects.values())
    lines = report_lines(report)
    assert lines[0] == "box: 8 vertices, 6 faces, 9.89 x 5.39 x 3.00 m"
    assert lines[1] == "defects: none"
    assert lines[2] == "planes: 4 walls (91.68 m2), 2 level (106.61 m2)"
    assert lines[-1] == "a kit can be made"
    assert any(line.startswith("  A     9.890 m long, 3.000 m high, looks S") for line in lines)


def test_refused_building_is_reported_all_the_same():
    report = inspect_mesh(read_obj(DATA / "g2_block_with_slot.obj"))
    assert not report.can_be_made
    assert report.walls == ()
    assert report_lines(report)[-1].startswith("no kit can be made: a passage, slot or overhang has open air under")


def test_a_stepped_building_and_its_defects():
    report = inspect_mesh(read_obj(DATA / "g1_cube_minus_octant.obj"))
    assert [(wall.letter, wall.height_m) for wall in report.walls][:1] == [("A", pytest.approx(4.0, abs=1e-3))]
    assert report.plan_area_m2 == pytest.approx(16.0, rel=1e-3)
    assert report.defects["unwelded vertices"] == 58
    assert report.defects["zero-area faces"] == 1
    assert report.defects["T-junctions"] == 1
    assert [plane.kind for plane in report.planes].count("wall") == 6
    lines = report_lines(report)
    assert lines[1] == "defects: 58 unwelded vertices, 1 T-junction, 1 zero-area face"
    assert lines[-1] == "a kit can be made"


def test_flipped_faces_and_holes_are_told():
    mesh = prism(L_PLAN)
    mixed = Mesh(mesh.vertices, (mesh.faces[0][::-1], *mesh.faces[1:]))
    assert inspect_mesh(mixed).defects["flipped faces"] == 1
    report = inspect_mesh(read_obj(DATA / "b07_house_102_faces.obj"))
    assert sum(plane.holes for plane in report.planes) >= 1
    assert any("1 hole" in line for line in report_lines(report))


@pytest.mark.parametrize("vertices", [np.zeros((0, 3)), np.full((3, 3), np.nan), np.zeros((3, 2)), np.zeros((3, 3))])
def test_hopeless_meshes_are_reported(vertices):
    faces = ((0, 1, 2),) if len(vertices) else ()
    report = inspect_mesh(Mesh(vertices, faces))
    assert report.refusal
    assert report_lines(report)[-1].startswith("no kit can be made")


def test_a_hundred_thousand_faces():
    box = trimesh.creation.box((8, 5, 3))
    while len(box.faces) < 100_000:
        box = box.subdivide()
    mesh = Mesh(np.array(box.vertices), tuple(map(tuple, box.faces.tolist())))
    assert inspect_mesh(mesh).can_be_made
