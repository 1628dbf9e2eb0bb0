"""A mesh of several closed solids is taken apart."""

import pytest

from halfbat.building import Mesh
from halfbat.building.erect import structure_from_mesh
from halfbat.building.solids_apart import solids_of
from roof_solids import areas_of, block, joined_meshes, mesh_of_solid, union
from sample_meshes import SQUARE, prism
from structure_help import wall_area

GRID = [(0, 0, 9, 9, 3), (0, 9, 9, 12, 4), (9, 0, 15, 9, 6), (9, 9, 15, 12, 8), (15, 0, 18, 9, 5), (15, 9, 18, 12, 7)]


def test_each_closed_solid_is_a_part():
    mesh = joined_meshes(*(mesh_of_solid(block(*size)) for size in GRID))
    assert [len(part) for part in solids_of(mesh)] == [12] * 6


def test_one_solid_and_an_unwelded_mesh_stay_whole():
    assert [len(part) for part in solids_of(mesh_of_solid(block(*GRID[0])))] == [12]
    assert [len(part) for part in solids_of(prism([(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)]))] == [6]


@pytest.mark.parametrize("turn", [0.0, 102.4])
def test_solids_that_touch_over_whole_faces_show_what_their_union_shows(turn):
    blocks = [block(*size) for size in GRID]
    apart = joined_meshes(*(mesh_of_solid(one, turn) for one in blocks))
    structure = structure_from_mesh(apart, smallest_face_m=0.5)
    assert wall_area(structure) == pytest.approx(areas_of(mesh_of_solid(union(*blocks), turn))[0])
    assert len(structure.masses) == 6


def test_faces_drawn_twice_close_nothing():
    """Faces without shared points, each drawn twice, are no solids of two faces."""
    mesh = prism(SQUARE)
    doubled = Mesh(mesh.vertices, mesh.faces + mesh.faces, mesh.source)
    assert [part.tolist() for part in solids_of(doubled)] == [list(range(2 * len(mesh.faces)))]
