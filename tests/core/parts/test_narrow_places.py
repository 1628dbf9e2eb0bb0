"""What of a figure is too narrow, judged by polygons set in and out again by another library."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from halfbat.building.rings import ring_area
from halfbat.parts.narrow_places import in_one_piece, narrow_places

LEAST = 0.84
SQUARE = [(0, 0), (20, 0), (20, 10), (0, 10)]
#: Two rooms with a bar of 0.5 between them.
DUMBBELL = [(0, 0), (5, 0), (5, 2), (8, 2), (8, 0), (13, 0), (13, 5), (8, 5), (8, 2.5), (5, 2.5), (5, 5), (0, 5)]


def ring(places):
    return np.array(places, dtype=float)


def left(rings, narrow):
    whole = shapely.Polygon(rings[0], rings[1:])
    return whole - shapely.union_all([shapely.Polygon(one) for one in narrow if ring_area(one) > 0])


def test_walls_wide_enough_are_left_alone():
    hole = ring([(1.2, 1.2), (1.2, 8.8), (18.8, 8.8), (18.8, 1.2)])
    assert narrow_places([ring(SQUARE)], LEAST) == []
    assert narrow_places([ring(SQUARE), hole], LEAST) == []


def test_a_wall_that_runs_out_thin_beside_a_hole_ends_where_it_is_as_wide_as_a_wall():
    hole = ring([(1.2, 1.2), (1.2, 9.5), (18.8, 8.8), (18.8, 1.2)])
    (thin,) = narrow_places([ring(SQUARE), hole], LEAST)
    # The wall above the hole is 0.5 wide at one end, 1.2 at the other, and 0.84 between.
    assert thin[:, 0].max() == pytest.approx(1.2 + 17.6 * (LEAST - 0.5) / 0.7, abs=0.7)
    rest = left([ring(SQUARE), hole], [thin])
    assert rest.geom_type == "Polygon" and rest.buffer(-LEAST / 2).geom_type == "Polygon"


def test_a_bar_between_two_rooms_goes_but_not_from_what_must_stay_in_one():
    (bar,) = narrow_places([ring(DUMBBELL)], LEAST)
    assert shapely.Polygon(bar).area == pytest.approx(1.5, rel=0.1)
    assert in_one_piece([ring(DUMBBELL)], LEAST) == []


def test_a_small_piece_that_hung_on_by_something_narrow_goes_with_it():
    flag = [
        (0, 0),
        (20, 0),
        (20, 10),
        (0, 10),
        (0, 6),
        (-2, 6),
        (-2, 7),
        (-3, 7),
        (-3, 5),
        (-2, 5),
        (-2, 5.6),
        (0, 5.6),
    ]
    rest = left([ring(flag)], in_one_piece([ring(flag)], LEAST))
    assert rest.geom_type == "Polygon"
    assert rest.area == pytest.approx(200, abs=0.1)


def test_a_sharp_tip_goes_a_blunt_one_stays():
    (tip,) = narrow_places([ring([(0, 0), (20, 0), (0, 3)])], LEAST)
    # 3 in 20: as wide as a wall 0.84 / 0.15 before the tip.
    assert tip[:, 0].min() == pytest.approx(20 - LEAST / 0.15, abs=0.2)
    assert narrow_places([ring([(0, 0), (10, 0), (0, 13)])], LEAST) != []
    assert narrow_places([ring([(0, 0), (10, 0), (0, 10)])], LEAST) != []
    assert narrow_places([ring([(0, 0), (10, 0), (5, 8.5)])], LEAST) == []


@given(st.lists(st.floats(0.3, 4.0), min_size=3, max_size=7), st.floats(0, 90))
def test_of_any_comb_what_is_left_holds_and_nothing_wide_is_lost(widths, turn):
    low, high = [], []
    for k, wide in enumerate(widths):
        low += [(2.0 * k, 0.0), (2.0 * k + 2.0, 0.0)]
        high += [(2.0 * k, wide), (2.0 * k + 2.0, wide)]
    plan = shapely.affinity.rotate(shapely.Polygon([*low, *high[::-1]]).buffer(0), turn)
    comb = ring(shapely.geometry.polygon.orient(plan).exterior.coords[:-1])
    rest = left([comb], narrow_places([comb], LEAST))
    wide = plan.buffer(-1.03 * LEAST / 2).buffer(LEAST / 2)
    # Square corners and bays of a disc's size apart, as in the checks.
    lost = wide.difference(rest)
    assert max((one.area for one in getattr(lost, "geoms", [lost])), default=0) < LEAST**2 / 3
    opened = rest.buffer(-0.97 * LEAST / 2).buffer(0.97 * LEAST / 2, join_style="mitre", mitre_limit=3)
    assert rest.difference(opened.buffer(0.05)).area < LEAST**2 / 4
