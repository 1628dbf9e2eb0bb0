"""Walls of the mesh that did not come into the structure are told of."""

import pytest

from halfbat.building.erect import structure_from_mesh
from halfbat.errors import KitError
from roof_solids import block, joined_meshes, mesh_of_solid
from sample_meshes import mesh_of, prism_rings

SCREEN = [(12.0, 0.0, 0.0), (15.0, 0.0, 0.0), (15.0, 0.0, 2.0), (12.0, 0.0, 2.0)]
YARD = [(12.0, 0.0), (18.0, 0.0), (18.0, 6.0), (12.0, 6.0)]


def test_a_screen_in_the_open_is_told_of():
    house = mesh_of_solid(block(0, 0, 8, 5, 3))
    structure = structure_from_mesh(joined_meshes(house, mesh_of(SCREEN)), smallest_face_m=0.5)
    assert len(structure.walls) == 4
    (finding,) = (one for one in structure.findings if one.code == "walls-lost")
    assert finding.text.startswith("6.0 m2 of wall stand under no roof") and "face 13" in finding.text


def test_a_part_without_a_roof_is_refused():
    house = mesh_of_solid(block(0, 0, 4, 4, 3))
    yard = mesh_of(*prism_rings(YARD, lid=False))
    with pytest.raises(KitError, match=r"72.0 m2 of wall stand under no roof"):
        structure_from_mesh(joined_meshes(house, yard), smallest_face_m=0.5)


def test_inner_walls_are_not_missed():
    parts = joined_meshes(mesh_of_solid(block(0, 0, 4, 4, 3)), mesh_of_solid(block(4, 0, 8, 4, 3)))
    structure = structure_from_mesh(parts, smallest_face_m=0.5)
    assert not [one for one in structure.findings if one.code == "walls-lost"]
