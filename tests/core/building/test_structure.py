"""Structures of small buildings checked against hand figures."""

import math

import numpy as np
import pytest

from halfbat.building import building_from_mesh
from halfbat.building.erect import structure_from_mesh
from halfbat.building.plain import building_from_structure, is_plain_box
from halfbat.building.structure import EdgeKind, SideKind
from halfbat.errors import KitError
from roof_solids import areas_of, block, gabled, hull, joined_meshes, lean_to, mesh_of_solid, union
from sample_meshes import mesh_of, prism, prism_rings
from structure_help import assert_sound, edges_of_kind, net_area, plan_area, slope_area, wall_area

L_PLAN = [(0.0, 0.0), (8.0, 0.0), (8.0, 3.0), (4.0, 3.0), (4.0, 6.0), (0.0, 6.0)]


def made(mesh, smallest=0.5):
    structure = structure_from_mesh(mesh, smallest_face_m=smallest)
    assert_sound(structure)
    return structure


def kinds(structure, number):
    return [edge.kind.value for edge in structure.slopes[number].edges]


def wall_named(structure, letter):
    return next(wall for wall in structure.walls if wall.letter == letter)


def test_a_plain_box_is_the_building_it_was():
    mesh = prism(L_PLAN)
    structure = made(mesh)
    building = building_from_mesh(mesh, smallest_face_m=0.5)
    assert is_plain_box(structure)
    again = building_from_structure(structure)
    assert [wall.letter for wall in again.walls] == [wall.letter for wall in building.walls]
    assert np.allclose(again.plan_m, building.plan_m) and again.height_m == building.height_m
    assert [wall.corner_deg for wall in again.walls] == pytest.approx([wall.corner_deg for wall in building.walls])


def test_a_box_without_a_lid_gets_a_level_roof():
    structure = made(prism(L_PLAN, lid=False, floor=False))
    assert len(structure.slopes) == 1 and structure.slopes[0].place(np.zeros((1, 2)))[0, 2] == pytest.approx(3.0)


def test_a_gable_wall_is_one_wall_with_five_corners():
    structure = made(mesh_of_solid(gabled(0, 0, 8, 5, 3, 2)))
    gables = [wall for wall in structure.walls if len(wall.outline_m) == 5]
    assert [wall.length_m for wall in gables] == pytest.approx([5.0, 5.0])
    assert gables[0].outline_m.ravel().tolist() == pytest.approx([0, 0, 5, 0, 5, 3, 2.5, 5, 0, 3])
    assert kinds(structure, 0).count("ridge") == 1
    ridge = next(edge for edge in structure.slopes[0].edges if edge.kind is EdgeKind.RIDGE)
    assert ridge.dihedral_deg == pytest.approx(180.0 - 2.0 * math.degrees(math.atan(2.0 / 2.5)))
    eaves = next(edge for edge in structure.slopes[0].edges if edge.kind is EdgeKind.EAVES)
    assert eaves.neighbour is None and structure.walls[eaves.wall].length_m == pytest.approx(8.0)


def test_walls_start_at_the_front_and_go_round_counter_clockwise():
    structure = made(mesh_of_solid(gabled(0, 0, 8, 5, 3, 2)))
    assert [wall.letter for wall in structure.walls] == ["A", "B", "C", "D"]
    assert structure.walls[0].outward.tolist() == pytest.approx([0.0, -1.0])
    assert [wall.right.wall for wall in structure.walls] == [1, 2, 3, 0]


def test_a_lean_to_shows_the_wall_above_its_roof_only():
    structure = made(mesh_of_solid(union(block(0, 0, 6, 4, 5), lean_to(6, 0, 8, 4, 3.0, 2.4))))
    high, low = structure.masses
    assert [side.kind for side in high.sides].count(SideKind.STEP_DOWN) == 1
    step = next(side for side in low.sides if side.kind is SideKind.STEP_UP)
    wall = structure.walls[step.wall]
    assert step.other == 0 and wall.mass == 0
    assert wall.outline_m[:, 1].min() == pytest.approx(3.0) and wall.outline_m[:, 1].max() == pytest.approx(5.0)
    assert sorted(kinds(structure, 1)) == ["abutment", "eaves", "verge", "verge"]
    # The front runs on over both: one wall of two heights.
    front = structure.walls[0]
    assert front.length_m == pytest.approx(8.0)
    assert net_area(front.outline_m, ()) == pytest.approx(6 * 5 + 2 * 2.7)


def test_a_step_that_stands_back_dies_into_the_wall_below():
    mesh = mesh_of_solid(union(block(0, 0, 6, 4, 3), block(1, 1, 5, 3, 5)))
    structure = made(mesh)
    assert wall_area(structure) == pytest.approx(areas_of(mesh)[0])
    tower = structure.masses[1]
    assert tower.storey and not tower.on_roof and {side.kind for side in tower.sides} == {SideKind.STEP_DOWN}
    assert len(structure.masses[0].holes_m) == 1 and len(structure.slopes[0].holes_m) == 1
    assert {edge.kind for edge in structure.slopes[0].hole_edges[0]} == {EdgeKind.ABUTMENT}
    assert plan_area(structure) == pytest.approx(24.0)


def test_parts_that_touch_show_no_wall_between_them():
    parts = joined_meshes(mesh_of_solid(block(0, 0, 4, 4, 3)), mesh_of_solid(block(4, 1, 8, 5, 4)))
    structure = made(parts)
    assert wall_area(structure) == pytest.approx(16 * 3 + 16 * 4 - 2 * 3 * 3)
    assert len(structure.masses) == 2


def test_parts_of_one_height_that_touch_are_two_roofs_in_one_mass():
    parts = joined_meshes(mesh_of_solid(block(0, 0, 4, 4, 3)), mesh_of_solid(block(4, 0, 8, 4, 3)))
    structure = made(parts)
    assert len(structure.masses) == 1 and wall_area(structure) == pytest.approx(24 * 3)
    assert len(structure.walls) == 4


def test_parts_that_run_into_each_other_are_joined():
    apart = joined_meshes(mesh_of_solid(gabled(0, 0, 8, 4, 3, 2)), mesh_of_solid(block(3, 2, 5, 7, 4.2)))
    whole = mesh_of_solid(union(gabled(0, 0, 8, 4, 3, 2), block(3, 2, 5, 7, 4.2)))
    structure = made(apart)
    assert wall_area(structure) == pytest.approx(areas_of(whole)[0], rel=1e-6)
    assert slope_area(structure) == pytest.approx(areas_of(whole)[2], rel=1e-6)


def test_a_chimney_that_passes_through_the_roof_stands_on_it():
    house, stack = gabled(0, 0, 8, 6, 3, 3), block(2.0, 1.2, 2.9, 1.8, 6.5, base=1.0)
    for mesh in (mesh_of_solid(union(house, stack)), joined_meshes(mesh_of_solid(house), mesh_of_solid(stack))):
        structure = made(mesh)
        chimney = structure.masses[1]
        assert chimney.on_roof and net_area(chimney.plan_m, ()) == pytest.approx(0.54)
        sides = [wall for wall in structure.walls if wall.mass == 1]
        assert len(sides) == 4 and all(wall.left.whole is False or wall.left for wall in sides)
        assert sum(net_area(wall.outline_m, ()) for wall in sides) == pytest.approx(3.0 * (6.5 - 4.5))
        assert len(structure.slopes[0].holes_m) + len(structure.slopes[1].holes_m) == 1


def test_a_dormer_is_a_mass_of_its_own():
    house = gabled(0, 0, 8, 6, 3, 3)
    dormer = gabled(3, 1, 5, 3.2, 4.6, 0.8, along_x=False)
    mesh = mesh_of_solid(union(house, dormer))
    structure = made(mesh)
    assert [mass.on_roof for mass in structure.masses] == [False, True]
    assert wall_area(structure) == pytest.approx(areas_of(mesh)[0], rel=1e-6)
    assert len(edges_of_kind(structure, "valley")) == 4


def test_overhanging_slopes_keep_their_outline():
    over = 0.4
    walls = gabled(0, 0, 8, 5, 3, 2)
    drop = over * 2.0 / 2.5
    sheet = [
        [(-over, -over, 3 - drop), (8 + over, -over, 3 - drop), (8 + over, 2.5, 5.0), (-over, 2.5, 5.0)],
        [(-over, 2.5, 5.0), (8 + over, 2.5, 5.0), (8 + over, 5 + over, 3 - drop), (-over, 5 + over, 3 - drop)],
    ]
    house = mesh_of_solid(walls)
    a, b, c = (house.vertices[[face[i] for face in house.faces]] for i in range(3))
    upright = [face for face, n in zip(house.faces, np.cross(b - a, c - a), strict=True) if n[2] <= 1e-9]
    rings = [[tuple(house.vertices[i]) for i in face] for face in upright]
    structure = made(mesh_of(*rings, *sheet))
    slant = math.hypot(2.5 + over, (2.5 + over) * 0.8)
    assert slope_area(structure) == pytest.approx(2 * (8 + 2 * over) * slant)
    assert plan_area(structure) == pytest.approx(40.0)
    assert wall_area(structure) == pytest.approx(2 * 8 * 3 + 2 * (5 * 3 + 5))
    for slope in structure.slopes:
        assert sorted(edge.kind.value for edge in slope.edges) == ["eaves", "ridge", "verge", "verge"]
        assert all(edge.wall is not None for edge in slope.edges if edge.kind is not EdgeKind.RIDGE)


def test_a_roof_with_thickness_overhangs_too():
    roof = hull([(x, y, z + h) for x in (-0.5, 6.5) for y, z in ((-0.5, 3.0), (4.5, 4.0)) for h in (0.0, 0.2)])
    body = hull(
        [(x, y, 0.0) for x in (0, 6) for y in (0, 4)] + [(x, y, z) for x in (0, 6) for y, z in ((0, 3.1), (4, 3.9))]
    )
    structure = made(mesh_of_solid(union(body, roof)))
    assert plan_area(structure) == pytest.approx(24.0, rel=1e-3)
    assert slope_area(structure) == pytest.approx(7.0 * math.hypot(5.0, 1.0), rel=1e-3)


@pytest.mark.parametrize("thick", [0.25, 0.35])
def test_a_parapet_with_thickness_raises_the_walls(thick):
    mesh = mesh_of_solid(block(0, 0, 8, 5, 4) - block(thick, thick, 8 - thick, 5 - thick, 5, base=3.4))
    structure = made(mesh)
    assert len(structure.walls) == 4 and wall_area(structure) == pytest.approx(26 * 4)
    assert kinds(structure, 0) == ["parapet"] * 4
    assert slope_area(structure) == pytest.approx(40.0)
    assert structure.slopes[0].place(np.zeros((1, 2)))[0, 2] == pytest.approx(3.4)


def test_a_parapet_without_thickness_raises_the_walls():
    plan = [(0.0, 0.0), (8.0, 0.0), (8.0, 5.0), (0.0, 5.0)]
    walls = prism_rings(plan, 0.0, 4.0, lid=False)
    structure = made(mesh_of(*walls, [(x, y, 3.4) for x, y in plan]))
    assert wall_area(structure) == pytest.approx(26 * 4)
    assert kinds(structure, 0) == ["parapet"] * 4


def test_a_slot_under_the_building_is_refused_with_its_faces():
    with pytest.raises(KitError, match=r"open air under part of the building.*solid.obj, face"):
        structure_from_mesh(mesh_of_solid(block(0, 0, 8, 5, 5) - block(3, -1, 5, 6, 2.5, base=-1)), smallest_face_m=0.5)


def test_a_mesh_without_walls_or_roof_is_refused():
    with pytest.raises(KitError, match="the mesh is flat"):
        structure_from_mesh(mesh_of([(0, 0, 0), (4, 0, 0), (4, 4, 0), (0, 4, 0)]), smallest_face_m=0.5)
    foot, top = [(0, 0, 0), (4, 0, 0), (4, 4, 0), (0, 4, 0)], (2, 2, 3)
    sides = [[one, other, top] for one, other in zip(foot, foot[1:] + foot[:1], strict=True)]
    with pytest.raises(KitError, match="no upright walls"):
        structure_from_mesh(mesh_of(foot[::-1], *sides), smallest_face_m=0.5)
