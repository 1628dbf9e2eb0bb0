from dataclasses import replace

import numpy as np
import pytest

from gabled_plans import structure_of
from halfbat.building.erect import structure_from_mesh
from halfbat.building.overhangs import Overhang, reach_beyond_wall_m, with_overhangs
from halfbat.building.structure import EdgeKind
from roof_solids import gabled, mesh_of_solid
from structure_help import assert_sound

PITCH = np.arctan(0.6)


def reaches(structure, kind):
    return [
        reach_beyond_wall_m(structure, slope, place)
        for slope in structure.slopes
        for place, edge in enumerate(slope.edges)
        if edge.kind is kind
    ]


def corners(structure):
    return np.concatenate([slope.place(slope.outline_m) for slope in structure.slopes])


def test_a_gable_reaches_beyond_its_eaves_and_verges():
    flush = structure_of("gable")
    drawn = with_overhangs(flush, Overhang(0.3, 0.1))
    assert_sound(drawn)
    assert reaches(flush, EdgeKind.EAVES) == pytest.approx([0.0, 0.0], abs=1e-9)
    assert reaches(drawn, EdgeKind.EAVES) == pytest.approx([0.3, 0.3])
    assert reaches(drawn, EdgeKind.VERGE) == pytest.approx([0.1] * 4)
    low, high = corners(drawn).min(axis=0), corners(drawn).max(axis=0)
    np.testing.assert_allclose(low, [-0.1, -0.3, 2.4 - 0.3 * np.tan(PITCH)], atol=1e-9)
    np.testing.assert_allclose(high, [8.1, 5.3, 3.9], atol=1e-9)
    # Still the same planes.
    for before, after in zip(flush.slopes, drawn.slopes, strict=True):
        assert float((after.origin_m - before.origin_m) @ before.normal) == pytest.approx(0.0, abs=1e-9)
        assert [edge.kind for edge in after.edges] == [edge.kind for edge in before.edges]


def test_hips_go_on_down_to_eaves_at_one_height():
    drawn = with_overhangs(structure_of("hip"), Overhang(0.25, 0.1))
    assert_sound(drawn)
    low = corners(drawn)[:, 2]
    assert low.min() == pytest.approx(2.4 - 0.25 * np.tan(np.radians(35)))
    # Every corner is shared by two slopes, so the hips still meet.
    places, count = np.unique(np.round(corners(drawn), 6), axis=0, return_counts=True)
    assert len(places) == 6 and set(count.tolist()) == {2, 3}


def test_none_asked_for_leaves_the_structure_as_it_is():
    assert with_overhangs(structure_of("gable"), Overhang(0.0, 0.0)) is structure_of("gable")


def test_what_overhangs_in_the_mesh_stays():
    drawn = with_overhangs(structure_of("gable"), Overhang(0.3, 0.1))
    again = with_overhangs(drawn, Overhang(0.5, 0.4))
    np.testing.assert_allclose(corners(again), corners(drawn))


def test_eaves_close_over_a_lower_roof_stay_and_it_is_told():
    solid = gabled(0, 0, 8, 5, 2.4, 1.5) + gabled(2, 5, 6, 9, 2.2, 0.9, along_x=False)
    flush = structure_from_mesh(mesh_of_solid(solid), smallest_face_m=0.5)
    drawn = with_overhangs(flush, Overhang(0.3, 0.1, 0.4))
    assert_sound(replace(drawn, findings=()))
    assert "overhang-stopped" in {finding.code for finding in drawn.findings}
