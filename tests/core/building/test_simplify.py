import numpy as np
import pytest
import shapely

from halfbat.building.simplify import simplify_plan
from halfbat.errors import KitError


def sides(plan):
    return np.sort(np.linalg.norm(np.roll(plan, -1, axis=0) - plan, axis=1))


def test_nothing_short_nothing_changed():
    plan = np.array([(0, 0), (6, 0), (6, 4), (0, 4)], float)
    simple = simplify_plan(plan, 0.4)
    assert np.array_equal(simple.corners_m, plan)
    assert simple.dissolved == ()
    assert simple.deviation_m == 0


def test_a_jog_brings_both_sides_onto_one_line_and_keeps_the_area():
    plan = np.array([(0, 0), (6, 0), (6, 0.2), (8, 0.2), (8, 4), (0, 4)], float)
    simple = simplify_plan(plan, 0.4)
    assert np.allclose(sides(simple.corners_m), [3.95, 3.95, 8, 8])
    assert shapely.Polygon(simple.corners_m).area == pytest.approx(shapely.Polygon(plan).area)
    assert simple.deviation_m == pytest.approx(0.15)
    assert [edge.length_m for edge in simple.dissolved] == pytest.approx([0.2])
    assert simple.dissolved[0].at_m.tolist() == [6, 0.1]


def test_a_cut_corner_becomes_whole():
    plan = np.array([(0, 0), (5.8, 0), (6, 0.2), (6, 4), (0, 4)], float)
    simple = simplify_plan(plan, 0.4)
    assert np.allclose(sorted(simple.corners_m.tolist()), [(0, 0), (0, 4), (6, 0), (6, 4)])


@pytest.mark.parametrize("depth", [0.1, 0.3])
def test_a_pilaster_or_niche_goes_into_the_wall(depth):
    for way in (-depth, depth):
        plan = np.array([(0, 0), (3, 0), (3, way), (3.35, way), (3.35, 0), (6, 0), (6, 4), (0, 4)], float)
        simple = simplify_plan(plan, 0.4)
        assert len(simple.corners_m) == 4
        assert simple.deviation_m <= depth + 1e-9


def test_corners_on_a_straight_line_go_unasked():
    plan = np.array([(0, 0), (2, 0.004), (6, 0), (6, 4), (0, 4)], float)
    simple = simplify_plan(plan, 0.4)
    assert len(simple.corners_m) == 4
    assert simple.straightened == 1


@pytest.mark.parametrize("reach", [9.0, 3.0])
def test_a_long_fin_or_slot_is_refused(reach):
    plan = np.array([(0, 0), (6, 0), (6, 2), (reach, 2), (reach, 2.2), (6, 2.2), (6, 4), (0, 4)], float)
    with pytest.raises(KitError, match="narrower than the smallest face"):
        simplify_plan(plan, 0.4)


@pytest.mark.parametrize("size", [(0.3, 0.3), (5, 0.3)])
def test_a_plan_too_small_is_refused(size):
    length, width = size
    with pytest.raises(KitError, match="scale"):
        simplify_plan(np.array([(0, 0), (length, 0), (length, width), (0, width)], float), 0.4)


@pytest.mark.parametrize("corners", [12, 64, 200, 720])
def test_a_round_plan_stays_round(corners):
    angles = np.linspace(0, 2 * np.pi, corners, endpoint=False)
    simple = simplify_plan(3 * np.stack([np.cos(angles), np.sin(angles)], axis=1), 0.4)
    assert sides(simple.corners_m)[0] >= 0.4
    assert simple.deviation_m < 0.1
