import numpy as np
import pytest

from covered_kits import house, kit_of_box
from halfbat.parts.masses import SEAT_MM, MassStack, PlanRing, RoofSlope
from halfbat.parts.wall_profile import UNDER_ROOF_MM, proud_stretches, under_roof_mm, wall_span_mm
from halfbat.settings import FeatureRequest, FinishRequest
from halfbat.surfaces.dressing import Proud
from roof_solids import gabled, mesh_of_solid


def facing_of(**values):
    """Wall A of a box of 8 x 5 x 3 m at 1:100."""
    return kit_of_box(**values).plan.walls[0].facing


def test_a_plain_wall_has_nothing_proud():
    assert proud_stretches(facing_of(), (10.0, 12.0)) == ()


def test_only_what_stands_there_counts():
    facing = facing_of(features=(FeatureRequest("A", "pier", at="2 m", width="1 m"),))
    (one,) = proud_stretches(facing, (24.0, 26.0))
    assert one == Proud(0.0, pytest.approx(30.0), pytest.approx(1.1, abs=0.06))
    assert proud_stretches(facing, (40.0, 42.0)) == ()


def test_what_stands_out_further_counts_where_both_are():
    features = (
        FeatureRequest("A", "plinth", height="8 courses", top="square"),
        FeatureRequest("A", "pier", at="2 m", width="1 m", bottom="8 courses", height="4 courses"),
    )
    low, high = proud_stretches(facing_of(features=features), (24.0, 26.0))
    assert low.out_mm < high.out_mm and low.low_mm == 0.0 and low.high_mm == pytest.approx(high.low_mm)


def test_a_finish_is_one_stretch():
    facing = facing_of(finishes=(FinishRequest("A", "random rubble", bottom="0", top="1.5 m"),))
    (one,) = proud_stretches(facing, (24.0, 24.5))
    assert one.low_mm == pytest.approx(0.0, abs=0.3) and one.high_mm == pytest.approx(15.0, abs=1.0)


def test_a_gable_goes_to_its_rake():
    kit = house(mesh_of_solid(gabled(0, 0, 8, 5, 2.4, 1.5)))
    facing = next(wall.facing for wall in kit.plan.walls if wall.facing.outward[0] < -0.9)
    low, at_one = wall_span_mm(facing, (10.0, 10.0))
    _, at_two = wall_span_mm(facing, (20.0, 20.0))
    assert low == 0.0 and at_two - at_one == pytest.approx(10 * 1.5 / 2.5, abs=0.05)
    # Between two places the lower end counts, across the apex too.
    assert wall_span_mm(facing, (10.0, 20.0))[1] == pytest.approx(at_one)
    assert wall_span_mm(facing, (10.0, 45.0))[1] == pytest.approx(wall_span_mm(facing, (45.0, 45.0))[1])


def roofed(facing, fall, reach=4.0, level=32.0):
    """A mass whose roof reaches out over wall A and falls outward, its underside so high over the wall's foot."""
    ring = np.array([[-10.0, -reach], [90.0, -reach], [90.0, 25.0], [-10.0, 25.0]])
    slope = RoofSlope(ring, (level + float(facing.foot_mm[2]), 0.0, fall), 0.0)
    plan = PlanRing(ring, np.zeros(4), np.ones(4, dtype=bool), np.ones(4, dtype=bool))
    return MassStack((plan,), (slope,), 0.0, level)


def test_eaves_leave_less_room_the_further_something_stands_out():
    facing = facing_of()
    mass = roofed(facing, 0.5, level=30.0)
    top, reach = under_roof_mm(facing, [mass], (20.0, 21.0), 30.0, 1.0)
    assert reach == pytest.approx(4.0, abs=0.01)
    assert 30.0 - 0.5 - UNDER_ROOF_MM <= top < 30.0 - 0.3
    assert under_roof_mm(facing, [mass], (20.0, 21.0), 30.0, np.inf)[0] == pytest.approx(
        28.0 - UNDER_ROOF_MM - SEAT_MM, abs=0.01
    )


def test_a_verge_is_no_eaves_and_a_lower_roof_is_not_over_the_wall():
    facing = facing_of()
    assert under_roof_mm(facing, [roofed(facing, 0.0, level=30.0)], (20.0, 21.0), 30.0, 1.0)[1] == 0.0
    assert under_roof_mm(facing, [roofed(facing, 0.5, level=20.0)], (20.0, 21.0), 30.0, 1.0) == (30.0, 0.0)
    assert under_roof_mm(facing, [], (20.0, 21.0), 30.0, 1.0) == (30.0, 0.0)
