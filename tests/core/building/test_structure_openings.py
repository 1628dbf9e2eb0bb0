"""Openings of structures: open holes, recesses, doorways and panes drawn flush."""

import numpy as np
import pytest

from halfbat.building import Mesh
from halfbat.building.erect import structure_from_mesh
from halfbat.building.rings import ring_area
from roof_solids import block, gabled, joined_meshes, mesh_of_solid, union
from sample_meshes import mesh_of, prism_rings
from structure_help import assert_sound, wall_area

PLAN = [(0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0)]
WINDOW = [(1.0, 1.0), (2.0, 1.0), (2.0, 2.2), (1.0, 2.2)]


def made(mesh):
    structure = structure_from_mesh(mesh, smallest_face_m=0.5)
    assert_sound(structure)
    return structure


def keyhole(outer, inner):
    """An upright front face at y = 0 with a hole, as one ring with a bridge walked there and back."""
    ring = [*outer, outer[0], *inner, inner[0]]
    return [(x, 0.0, z) for x, z in ring]


def front_with(hole, *more):
    """A box whose front has a hole."""
    outer = [(0.0, 0.0), (6.0, 0.0), (6.0, 3.0), (0.0, 3.0)]
    rest = prism_rings(PLAN)[1:]
    return mesh_of(keyhole(outer, hole[::-1]), *rest, *more)


def only_opening(structure):
    found = [(wall, opening) for wall in structure.walls for opening in wall.openings]
    assert len(found) == 1
    return found[0]


def assert_window(structure, depth):
    wall, opening = only_opening(structure)
    assert wall.letter == "A" and ring_area(opening.ring_m) == pytest.approx(1.2)
    assert opening.ring_m.min(axis=0).tolist() == pytest.approx([1.0, 1.0])
    assert opening.depth_m == (None if depth is None else pytest.approx(depth))
    assert wall_area(structure) == pytest.approx(20 * 3)


def test_an_open_hole_has_no_depth():
    assert_window(made(front_with(WINDOW)), None)


def test_a_pane_drawn_flush_has_no_depth_to_speak_of():
    assert_window(made(front_with(WINDOW, [(x, 0.0, z) for x, z in WINDOW])), 0.0)


@pytest.mark.parametrize("depth", [0.06, 0.215, 0.45])
def test_a_recessed_window_has_its_depth(depth):
    assert_window(made(mesh_of_solid(block(0, 0, 6, 4, 3) - block(1, -1, 2, depth, 2.2, base=1.0))), depth)


def test_a_recess_deeper_than_any_reveal_is_refused_or_kept_as_a_niche():
    solid = block(0, 0, 6, 4, 3) - block(1, -1, 2, 1.5, 2.2, base=1.0)
    with pytest.raises(Exception, match="open air"):
        made(mesh_of_solid(solid))


def test_a_recessed_doorway_reaches_the_foot():
    structure = made(mesh_of_solid(block(0, 0, 6, 4, 3) - block(2, -1, 3, 0.2, 2.1, base=-1.0)))
    _wall, opening = only_opening(structure)
    assert opening.ring_m.min(axis=0).tolist() == pytest.approx([2.0, 0.0])
    assert opening.ring_m.max(axis=0).tolist() == pytest.approx([3.0, 2.1])
    assert opening.depth_m == pytest.approx(0.2)
    assert len(structure.walls) == 4 and wall_area(structure) == pytest.approx(60.0)


def test_an_open_doorway():
    front = [(0, 0, 0), (2, 0, 0), (2, 0, 2), (3, 0, 2), (3, 0, 0), (6, 0, 0), (6, 0, 3), (0, 0, 3)]
    structure = made(mesh_of(front, *prism_rings(PLAN)[1:]))
    _wall, opening = only_opening(structure)
    assert opening.depth_m is None and ring_area(opening.ring_m) == pytest.approx(2.0)
    assert wall_area(structure) == pytest.approx(60.0)


def test_a_window_in_a_gable_and_one_above_a_lean_to():
    house = gabled(0, 0, 8, 5, 4, 2) - block(-1, 2, 0.1, 3, 5.0, base=4.2) - block(3, -1, 4, 0.1, 3.9, base=2.9)
    shed = block(2, -2, 6, 0, 2.5)
    structure = made(mesh_of_solid(union(house, shed)))
    found = {wall.letter: wall.openings for wall in structure.walls if wall.openings}
    assert len(found) == 2 and all(opening.depth_m == pytest.approx(0.1) for some in found.values() for opening in some)
    assert len(structure.masses) == 2


def test_where_a_part_joins_is_no_opening():
    low = block(2, -3, 4, 0, 2.0)
    structure = made(mesh_of_solid(union(block(0, 0, 6, 4, 3), low)))
    assert not any(wall.openings for wall in structure.walls)
    # Joined over a hole, as a bay that does not reach the ground would be, is no opening either.
    stack = joined_meshes(mesh_of_solid(union(block(0, 0, 6, 4, 3), block(2, -0.4, 4, 0.2, 4.0))))
    assert not any(wall.openings for wall in made(stack).walls)


def test_openings_are_told_from_left_to_right():
    solid = block(0, 0, 6, 4, 3)
    for x in (4.0, 0.6, 2.2):
        solid = solid - block(x, -1, x + 0.8, 0.1, 2.2, base=1.0)
    structure = made(mesh_of_solid(solid))
    lefts = [opening.ring_m[:, 0].min() for opening in structure.walls[0].openings]
    assert lefts == pytest.approx([0.6, 2.2, 4.0])


def test_the_mesh_is_left_as_it_was():
    mesh = mesh_of_solid(block(0, 0, 6, 4, 3) - block(1, -1, 2, 0.1, 2.2, base=1.0))
    before = Mesh(mesh.vertices.copy(), mesh.faces, mesh.source)
    made(mesh)
    assert np.array_equal(mesh.vertices, before.vertices)
