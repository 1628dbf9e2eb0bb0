"""Structures of real buildings. The data folder is found through HALFBAT_BUILDINGS; some files are in tests/data."""

import os
from pathlib import Path

import numpy as np
import pytest

from halfbat.building import Mesh, read_obj
from halfbat.building.erect import structure_from_mesh
from halfbat.errors import KitError
from structure_help import assert_sound, edges_of_kind, plan_area, wall_area

HERE = Path(__file__).parents[2] / "data"
# Walls, their area, slopes, masses and openings, checked against pictures of each.
EXPECTED = {
    "b01_flat_shed": (4, 30.8, 1, 1, 0),
    "b02_house_porch_triangulated": (7, 162.5, 2, 2, 0),
    "b03_gable_bungalow": (6, 95.7, 3, 2, 0),
    "b04_flat_L": (6, 106.8, 1, 1, 0),
    "b05_hip": (4, 816.3, 4, 1, 0),
    "b06_house_with_extension": (11, 291.4, 4, 2, 0),
    "b07_house_102_faces": (27, 373.0, 9, 6, 0),
    "b08_lod3_house_windows": (5, 158.4, 3, 2, 13),
    "b09_lod3_gable_open_holes": (4, 630.4, 4, 1, 8),
    "b10_three_part_row": (7, 116.1, 3, 3, 0),
    "g1_cube_minus_octant": (6, 64.0, 2, 2, 0),
}


def building(name):
    folder = Path(os.environ.get("HALFBAT_BUILDINGS", HERE))
    path = next((one / f"{name}.obj" for one in (folder, HERE) if (one / f"{name}.obj").exists()), None)
    if path is None:
        pytest.skip("set HALFBAT_BUILDINGS to the folder of real buildings")
    return read_obj(path)


@pytest.mark.parametrize("name", EXPECTED)
def test_a_real_building_has_its_walls_slopes_and_masses(name):
    structure = structure_from_mesh(building(name), smallest_face_m=0.57)
    assert_sound(structure)
    walls, area, slopes, masses, openings = EXPECTED[name]
    assert (len(structure.walls), len(structure.slopes), len(structure.masses)) == (walls, slopes, masses)
    assert wall_area(structure) == pytest.approx(area, abs=0.1)
    assert sum(len(wall.openings) for wall in structure.walls) == openings


@pytest.mark.parametrize("name", EXPECTED)
@pytest.mark.parametrize("smallest", [0.05, 0.3, 1.0])
def test_a_real_building_holds_at_other_scales(name, smallest):
    structure = structure_from_mesh(building(name), smallest_face_m=smallest)
    assert_sound(structure)
    assert plan_area(structure) == pytest.approx(PLANS[name], rel=0.02)


#: Area of the floor of each, from the mesh itself, square metres.
PLANS = {
    "b01_flat_shed": 7.2,
    "b02_house_porch_triangulated": 45.2,
    "b03_gable_bungalow": 61.3,
    "b04_flat_L": 45.6,
    "b05_hip": 263.3,
    "b06_house_with_extension": 99.2,
    "b07_house_102_faces": 129.3,
    "b08_lod3_house_windows": 54.7,
    "b09_lod3_gable_open_holes": 228.15,
    "b10_three_part_row": 92.6,
    "g1_cube_minus_octant": 16.0,
}


@pytest.mark.parametrize("name", [*EXPECTED, "x1_lod3_dormers_dirty"])
def test_a_real_building_is_the_same_turned_moved_shuffled_and_inside_out(name):
    mesh = building(name)
    plain = structure_from_mesh(mesh, smallest_face_m=0.57)
    chance = np.random.default_rng(5)
    turn = chance.uniform(0.0, 6.28)
    around = np.array([[np.cos(turn), np.sin(turn), 0.0], [-np.sin(turn), np.cos(turn), 0.0], [0.0, 0.0, 1.0]])
    faces = [mesh.faces[i][:: 1 if chance.random() < 0.6 else -1] for i in chance.permutation(len(mesh.faces))]
    moved = Mesh(mesh.vertices @ around + (31.0, -12.0, 4.0), tuple(faces), mesh.source)
    structure = structure_from_mesh(moved, smallest_face_m=0.57)
    assert_sound(structure)
    assert (len(structure.walls), len(structure.slopes)) == (len(plain.walls), len(plain.slopes))
    assert wall_area(structure) == pytest.approx(wall_area(plain), rel=1e-3)


def test_the_hip_has_four_hips_and_a_ridge():
    structure = structure_from_mesh(building("b05_hip"), smallest_face_m=0.57)
    assert (len(edges_of_kind(structure, "hip")), len(edges_of_kind(structure, "ridge"))) == (8, 2)


def test_parts_of_a_row_show_no_wall_between_them():
    structure = structure_from_mesh(building("b10_three_part_row"), smallest_face_m=0.57)
    inner = [wall for wall in structure.walls if wall.outline_m[:, 1].min() > 1.0]
    assert len(inner) == 1 and inner[0].outline_m[:, 1].max() < 3.0


def test_a_slot_is_refused_with_its_faces():
    with pytest.raises(KitError, match=r"open air.*faces 4 and 10"):
        structure_from_mesh(building("g2_block_with_slot"), smallest_face_m=0.57)


def test_a_dirty_house_has_its_dormers():
    structure = structure_from_mesh(building("x1_lod3_dormers_dirty"), smallest_face_m=0.57)
    assert_sound(structure)
    assert sum(mass.on_roof for mass in structure.masses) == 4
