"""Closed bodies of a mesh are told apart, and each turned outward by itself."""

import numpy as np

from halfbat.building.bodies import bodies_of, roofs_in_wells
from halfbat.building.survey import survey_mesh
from roof_solids import block, joined_meshes, mesh_of_solid
from sample_meshes import mesh_of, prism_rings

PLAN = [(0.0, 0.0), (8.0, 0.0), (8.0, 5.0), (0.0, 5.0)]


def test_overlapping_boxes_are_two_bodies_that_look_outward():
    mesh = joined_meshes(mesh_of_solid(block(0, 0, 4, 4, 3)), mesh_of_solid(block(2, 1, 6, 3, 5)))
    bodies = bodies_of(survey_mesh(mesh))
    assert [len(body) for body in bodies] == [6, 6]
    for body in bodies:
        middle = np.mean([plane.centre for plane in body], axis=0)
        assert all(float((plane.centre - middle) @ plane.normal) > 0.0 for plane in body)


def test_boxes_that_share_an_edge_are_one_body():
    mesh = joined_meshes(mesh_of_solid(block(0, 0, 4, 4, 3)), mesh_of_solid(block(4, 0, 6, 4, 3)))
    assert len(bodies_of(survey_mesh(mesh))) == 1


def test_open_parts_are_kept_together():
    walls = mesh_of(*prism_rings(PLAN, lid=False, floor=False))
    lid = mesh_of([(x, y, 3.2) for x, y in PLAN])
    assert len(bodies_of(survey_mesh(joined_meshes(walls, lid)))) == 1


def test_a_roof_between_walls_that_rise_past_it_is_found():
    survey = survey_mesh(mesh_of(*prism_rings(PLAN, 0.0, 4.0, lid=False), [(x, y, 3.4) for x, y in PLAN]))
    assert [float(roof.normal[2]) for roof in roofs_in_wells(survey)] == [1.0]
    shut = survey_mesh(mesh_of(*prism_rings(PLAN, 0.0, 4.0), [(x, y, 2.0) for x, y in PLAN]))
    assert roofs_in_wells(shut) == []
