import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from halfbat.errors import KitError
from halfbat.parts.outlines import area_mm2, chamfered, keeps_sides, require_room, set_back, stepped_back

RECTANGLE = np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 6.0], [0.0, 6.0]])
L_PLAN = np.array([[0.0, 0.0], [8.0, 0.0], [8.0, 3.0], [4.0, 3.0], [4.0, 6.0], [0.0, 6.0]])


def test_every_side_moves_by_its_own_distance():
    moved = set_back(RECTANGLE, [1.0, 2.0, 0.5, 0.25])
    np.testing.assert_allclose(moved, [[0.25, 1], [8, 1], [8, 5.5], [0.25, 5.5]])


def test_an_inner_corner_moves_into_the_body():
    np.testing.assert_allclose(set_back(L_PLAN, 1.0), [[1, 1], [7, 1], [7, 2], [3, 2], [3, 5], [1, 5]])


def test_straight_corners_stay_on_the_moved_side():
    plan = np.insert(RECTANGLE, 1, [4.0, 0.0], axis=0)
    np.testing.assert_allclose(set_back(plan, 1.0)[:3], [[1, 1], [4, 1], [9, 1]])


def test_an_outline_set_back_by_more_than_there_is_vanishes():
    # Both pairs of sides turn over here; a plain mitred ring would be a rectangle again.
    assert area_mm2(set_back(RECTANGLE, 6.0)) == 0
    assert area_mm2(set_back(RECTANGLE, 3.5)) == 0


def test_a_narrow_wing_vanishes_and_the_rest_stays():
    plan = np.array([[0, 0], [20, 0], [20, 1.5], [8, 1.5], [8, 12], [0, 12]], dtype=float)
    assert area_mm2(set_back(plan, 1.0)) == pytest.approx(6 * 10, abs=1e-3)


@st.composite
def plans(draw):
    count = draw(st.integers(3, 9))
    radii = draw(st.lists(st.floats(4, 20), min_size=count, max_size=count))
    angles = np.sort(draw(st.lists(st.floats(0, 2 * np.pi), min_size=count, max_size=count)))
    plan = np.stack([np.cos(angles), np.sin(angles)], axis=1) * np.array(radii)[:, None]
    outline = shapely.Polygon(plan)
    assume(outline.is_valid and outline.exterior.is_ccw and outline.area > 10)
    sides = np.roll(plan, -1, axis=0) - plan
    heading = np.degrees(np.arctan2(sides[:, 1], sides[:, 0]))
    turns = (np.roll(heading, -1) - heading + 180) % 360 - 180
    assume(np.linalg.norm(sides, axis=1).min() > 0.5 and np.abs(turns).max() < 150)
    return plan


@settings(max_examples=60, deadline=None)
@given(plans(), st.floats(0.05, 8.0))
def test_random_plans_against_shapely(plan, distance):
    # Offsetting inward outright, shapely lets what is small vanish too early.
    outline = shapely.Polygon(plan)
    judge = outline.difference(outline.exterior.buffer(distance, join_style="mitre", mitre_limit=1000))
    # Areas are those of rings rounded to 0.001 mm along all their sides, there and back where nothing plain is left.
    assert area_mm2(set_back(plan, distance)) == pytest.approx(judge.area, abs=0.02 + 0.001 * outline.length)


def test_chamfers():
    cut = chamfered(RECTANGLE, 0.5)
    assert len(cut) == 8
    assert shapely.Polygon(cut).area == pytest.approx(60 - 4 * 0.125)
    assert len(chamfered(L_PLAN, 0.5)) == 11
    assert chamfered(RECTANGLE, 0.0) is RECTANGLE
    # A side shorter than three chamfers keeps its corners.
    assert len(chamfered(RECTANGLE, 2.5)) == 4


def test_keeps_sides():
    assert keeps_sides(RECTANGLE, set_back(RECTANGLE, 2.0), 1.9)
    assert not keeps_sides(RECTANGLE, set_back(RECTANGLE, 2.0), 2.1)
    assert not keeps_sides(RECTANGLE, set_back(RECTANGLE, 3.5), 0.0)


def test_room():
    require_room(set_back(RECTANGLE, 2.0), RECTANGLE, "a shell", "choose a larger scale")
    with pytest.raises(KitError, match="too small for a shell at this scale"):
        require_room(set_back(RECTANGLE, 2.95), RECTANGLE, "a shell", "choose a larger scale")


def test_at_a_flat_inner_corner_a_side_set_back_by_less_stops():
    # The second side turns 6 degrees outward and keeps 1.2 more; drawn out, the first would run on behind its face.
    plan = np.array([[0.0, 0.0], [10.0, 0.0], [20.0, -1.0], [20.0, 10.0], [0.0, 10.0]])
    ring, origin = stepped_back(plan, [0.1, 1.3, 1.0, 1.0, 1.0])
    assert origin.tolist() == [0, 1, 1, 2, 3, 4]
    face = np.array([10.0, -1.0]) / np.hypot(10, 1)
    inward = np.array([-face[1], face[0]])
    over = [p for p in ring if (p - plan[1]) @ face > 0.01 and p[1] < 5]
    assert min(float((p - plan[1]) @ inward) for p in over) == pytest.approx(1.3)


def test_an_area_is_the_same_however_far_from_the_origin() -> None:
    square = np.array([[0.0, 0.0], [40.0, 0.0], [40.0, 30.0], [0.0, 30.0]])
    hole = np.array([[10.0, 10.0], [10.0, 20.0], [20.0, 20.0], [20.0, 10.0]])
    for off in (0.0, 5e3, -4e6):
        assert area_mm2(square + off, hole + off) == pytest.approx(1100.0)
