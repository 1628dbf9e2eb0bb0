"""Buildings on ground that is not level, and air under them."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfbat.building.erect import structure_from_mesh
from halfbat.errors import KitError
from halfbat.findings import Severity
from roof_solids import block, gabled, joined_meshes, mesh_of_solid
from sample_meshes import mesh_of
from structure_help import assert_sound, wall_area


def carried(structure):
    return [finding for finding in structure.findings if finding.code == "feet-carried-down"]


def test_a_part_on_higher_ground_has_its_walls_carried_down_and_told():
    low, high = gabled(0, 0, 8, 5, 3, 2), block(8, 0, 12, 5, 6.0, base=1.0)
    structure = structure_from_mesh(joined_meshes(*map(mesh_of_solid, (low, high))), smallest_face_m=0.5)
    level = mesh_of_solid(block(8, 0, 12, 5, 6.0))
    as_level = structure_from_mesh(joined_meshes(mesh_of_solid(low), level), smallest_face_m=0.5)
    assert_sound(structure)
    assert wall_area(structure) == pytest.approx(wall_area(as_level))
    (told,) = carried(structure)
    assert told.severity is Severity.WARNING and "up to 1.00 m above its lowest foot" in told.text
    assert "face" in told.text and not carried(as_level)


@given(st.floats(0.35, 1.45), st.floats(3.0, 9.0), st.booleans())
def test_a_foot_in_steps_is_the_building_on_level_ground(step, top, turned):
    """One closed solid, its bottom at two heights; however little of it is over the higher one."""
    whole = block(0, 0, 9, 4, top)
    stepped = whole - block(5, -1, 10, 5, step, base=-1)
    turn = 23.0 if turned else 0.0
    structure = structure_from_mesh(mesh_of_solid(stepped, turn_deg=turn), smallest_face_m=0.3)
    assert_sound(structure)
    assert wall_area(structure) == pytest.approx(26 * top)
    assert len(carried(structure)) == 1


def test_a_foot_that_follows_sloping_ground_is_carried_down():
    # Ground that rises by 1.2 m over 9 m.
    plan = [(0.0, 0.0), (9.0, 0.0), (9.0, 4.0), (0.0, 4.0)]
    foot = [(x, y, 1.2 * x / 9.0) for x, y in plan]
    top = [(x, y, 5.0) for x, y in plan]
    sides = [[foot[i], foot[(i + 1) % 4], top[(i + 1) % 4], top[i]] for i in range(4)]
    structure = structure_from_mesh(mesh_of(foot[::-1], top, *sides), smallest_face_m=0.3)
    assert_sound(structure)
    assert wall_area(structure) == pytest.approx(26 * 5.0) and len(carried(structure)) == 1


def test_room_to_pass_under_a_part_is_an_overhang():
    parts = (block(0, 0, 8, 5, 6), block(8, 0, 12, 5, 6.0, base=1.6))
    with pytest.raises(KitError, match=r"open air under part of the building.*face"):
        structure_from_mesh(joined_meshes(*map(mesh_of_solid, parts)), smallest_face_m=0.5)


@given(st.floats(1.6, 9.0), st.booleans())
def test_the_refusal_says_how_far_the_ground_has_to_rise_and_that_is_enough(base, turned):
    parts = block(0, 0, 8, 5, 6), block(8, 0, 12, 5, base + 5.0, base=base)
    mesh = joined_meshes(*(mesh_of_solid(part, turn_deg=23.0 if turned else 0.0) for part in parts))
    with pytest.raises(KitError) as told:
        structure_from_mesh(mesh, smallest_face_m=0.5)
    (named,) = re.findall(r"shell\.ground_rise_m to ([0-9]+\.[0-9])", str(told.value))
    assert base <= float(named) + 1e-6 < base + 0.1 + 1e-3
    structure = structure_from_mesh(mesh, smallest_face_m=0.5, rise_m=float(named))
    assert_sound(structure)
    level = joined_meshes(
        *(mesh_of_solid(block(*at), turn_deg=0.0) for at in ((0, 0, 8, 5, 6), (8, 0, 12, 5, base + 5)))
    )
    assert wall_area(structure) == pytest.approx(wall_area(structure_from_mesh(level, smallest_face_m=0.5)))
    assert len(carried(structure)) == 1
