import numpy as np
import pytest
from shapely import Polygon, box

from halfbat.parts.rooms import STEPS, largest_room


def ring(*points):
    return np.array(points, dtype=float)


RECTANGLE = ring((0, 0), (10, 0), (10, 6), (0, 6))
L_PLAN = ring((0, 0), (12, 0), (12, 3), (4, 3), (4, 6), (0, 6))


def area(room):
    return (room.high[0] - room.low[0]) * (room.high[1] - room.low[1])


def test_a_rectangle_is_its_own_room():
    room = largest_room([RECTANGLE])
    assert (room.low, room.high, room.mirrored) == ((0, 0), (10, 6), False)
    assert largest_room([RECTANGLE], mirrored=True).mirrored


def test_the_larger_wing_is_found_and_holes_are_kept_free():
    room = largest_room([L_PLAN])
    assert area(room) == pytest.approx(36, abs=12 * 6 / STEPS * 2)
    hole = ring((1, 1), (1, 2), (11, 2), (11, 1))
    room = largest_room([L_PLAN, hole])
    assert Polygon(L_PLAN, [hole]).buffer(0.1).contains(box(*room.low, *room.high))


def test_a_turned_square_holds_half_its_area():
    room = largest_room([ring((0, -5), (5, 0), (0, 5), (-5, 0))])
    assert area(room) == pytest.approx(25, rel=0.05)


def test_where_two_outlines_overlap():
    room = largest_room([RECTANGLE, np.add(RECTANGLE, (6.0, 2.0))], within=2)
    assert (room.low, room.high) == (pytest.approx((6, 2), abs=0.2), pytest.approx((10, 6), abs=0.2))


def test_nothing_inside_is_no_room():
    assert largest_room([RECTANGLE[::-1]]) is None
    assert largest_room([RECTANGLE, np.add(RECTANGLE, (20.0, 0.0))], within=2) is None


def test_it_does_not_reach_over_an_upright_or_level_side():
    # Sides that lie between the lines of an even grid.
    wide = ring((0, 0), (50, 0), (50, 60), (0, 60))
    hole = ring((21.873, 0), (21.873, 33.123), (47, 33.123), (47, 0))
    room = largest_room([wide, hole], (np.array([2.0, 30.0]), np.array([48.0, 58.0])), 2.0)
    assert room.low[1] == pytest.approx(33.123) or room.high[0] == pytest.approx(21.873)
    assert Polygon(wide).buffer(-2 + 1e-6).difference(Polygon(hole)).buffer(1e-6).contains(box(*room.low, *room.high))


@pytest.mark.parametrize("pitch_deg", [20.0, 32.0, 45.0, 60.0])
@pytest.mark.parametrize("wide", [12.0, 30.0, 78.0])
def test_its_corners_keep_the_margin_from_slanting_sides_and_from_a_point_below(wide, pitch_deg):
    rise = float(np.tan(np.radians(pitch_deg))) * wide / 2
    chevron = ring((0, 0), (wide / 2, rise), (wide, 0), (wide, 9), (wide / 2, rise + 9), (0, 9))
    gable = ring((0, 0), (wide, 0), (wide, 3), (wide / 2, rise + 3), (0, 3))
    for outline in (chevron, gable):
        room = largest_room([outline], margin_mm=2.0)
        assert room is not None
        # Between two lines of the grid a point may reach a hair nearer than the margin.
        assert Polygon(outline).exterior.distance(box(*room.low, *room.high)) >= 2.0 - 0.06
        assert Polygon(outline).contains(box(*room.low, *room.high))
