"""Parapets, party walls and slivers in the plan of a building."""

import numpy as np
import pytest
from hypothesis import Phase, example, given, settings
from hypothesis import strategies as st

from halfbat.building.erect import structure_from_mesh
from halfbat.building.structure import EdgeKind
from modelled_houses import HOUSES, house_mesh
from roof_solids import block, gabled, hull, mesh_of_solid

SMALLEST_M = 0.32


def structure_of(solid, smallest_m=SMALLEST_M):
    return structure_from_mesh(mesh_of_solid(solid), smallest_face_m=smallest_m)


def raked(x, thick, top, eaves, deep=7.0):
    """A wall under two slopes, in the plane across a ridge along x."""
    outline = ((0, 0), (deep, 0), (0, eaves), (deep, eaves), (deep / 2, top))
    return hull([(x + d, y, z) for d in (0, thick) for y, z in outline])


def test_steps_of_a_parapet_make_one_wall_with_steps():
    structure = structure_from_mesh(house_mesh("stepped parapets"), smallest_face_m=SMALLEST_M)
    assert len(structure.masses) == 1 and len(structure.slopes) == 2 and len(structure.walls) == 4
    gables = [wall for wall in structure.walls if abs(wall.along[0]) < 0.01]
    for wall in gables:
        tops = np.unique(np.round(wall.outline_m[:, 1], 3))
        np.testing.assert_allclose(tops, [0.0, 3.4, 3.9, 4.5])
        # Upright and level edges only: the top across the ridge stays level though two slopes lie behind it.
        steps = np.roll(wall.outline_m, -1, axis=0) - wall.outline_m
        assert (np.abs(steps).min(axis=1) < 1e-6).all()
    kinds = {edge.kind for slope in structure.slopes for edge in slope.edges}
    assert kinds == {EdgeKind.EAVES, EdgeKind.PARAPET, EdgeKind.RIDGE}


@settings(max_examples=12, phases=(Phase.explicit, Phase.generate))
@given(st.floats(0.12, 0.31), st.floats(0.0, 0.7), st.floats(0.2, 0.8))
@example(0.25, 0.0, 0.5)
def test_a_thin_party_wall_stands_on_the_higher_roof_and_faces_the_lower(thick, step, above):
    low, high = gabled(0, 0, 5, 7, 5.0, 2.4), gabled(5 + thick, 0, 10, 7, 5.0 + step, 2.4)
    wall = raked(5.0, thick, 7.4 + step + above, 5.0 + step + above)
    structure = structure_of(low + wall + high)
    assert len(structure.masses) == 2
    (party,) = [face for face in structure.walls if face.outline_m[:, 1].min() > 1.0]
    if step > 0.02:
        assert party.start_m[0] == pytest.approx(5.0, abs=0.02)
    # As high over the lower roof as it was modelled.
    assert party.outline_m[:, 1].max() - 7.4 == pytest.approx(step + above, abs=0.01)
    kinds = [edge.kind for slope in structure.slopes for edge in slope.edges]
    assert kinds.count(EdgeKind.ABUTMENT) == 2 <= kinds.count(EdgeKind.PARAPET)
    assert any(found.code == "parapet-dissolved" for found in structure.findings)


def test_a_party_wall_with_room_for_skins_on_both_sides_stays():
    solid = gabled(0, 0, 5, 7, 5.0, 2.4) + raked(5.0, 0.4, 8.0, 5.6) + gabled(5.4, 0, 10, 7, 5.0, 2.4)
    assert len(structure_of(solid).masses) == 3
    assert len(structure_of(solid, 0.6).masses) == 2


def test_a_chimney_breast_is_no_parapet():
    solid = gabled(0, 0, 8, 5, 3.0, 2.0) + block(-0.5, 2.0, 0.0, 3.0, 6.0)
    structure = structure_of(solid)
    assert not any(found.code == "parapet-dissolved" for found in structure.findings)


def test_facets_of_a_small_pyramid_stay_though_nothing_rises_beside_them():
    structure = structure_of(HOUSES["octagonal bay"]())
    assert len(structure.slopes) == 10
    bay = [slope for slope in structure.slopes if abs(slope.pitch_deg - 41.71) < 0.1]
    assert len(bay) == 8
    # All round its top the facets meet at hips, and in valleys with the main roof.
    assert all(EdgeKind.TOP not in {edge.kind for edge in slope.edges} for slope in bay)
    hips = [edge for slope in bay for edge in slope.edges if edge.kind is EdgeKind.HIP]
    assert len(hips) == 16


def test_a_flat_patch_raised_a_little_is_a_roof_light():
    solid = gabled(0, 0, 8, 6, 3.0, 2.0) + hull(
        [(x, y, 3.0 + y / 1.5 + d) for x in (3.0, 3.8) for y in (1.0, 2.0) for d in (-0.3, 0.1)]
    )
    structure = structure_of(solid)
    assert len(structure.slopes) == 2
    assert any(found.code == "patch-dissolved" for found in structure.findings)


def test_a_jog_between_a_wing_and_a_hall_of_one_line_does_not_turn_their_walls():
    structure = structure_of(HOUSES["L of unequal hips"](), 0.36)
    headings = np.array([wall.along for wall in structure.walls])
    assert np.abs(headings).max(axis=1) == pytest.approx(1.0, abs=1e-6)
    # The jog of 0.2 m stays as a wall too short for a skin.
    assert min(wall.length_m for wall in structure.walls) == pytest.approx(0.2)
