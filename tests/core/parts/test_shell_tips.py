"""Walls and lips that end aslant end as thick as a wall, and leave no crumbs; judged by shapely."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from halfbat.parts.remains import lies_in, outlines_of, without_crumbs
from halfbat.parts.shell_tips import wall_tips
from halfbat.parts.sturdy import SPARE, sturdy

WALL_MM = 0.84
SQUARE = np.array([(0, 0), (20, 0), (20, 20), (0, 20)], dtype=float)
HOLLOW = np.array([(2, 2), (18, 2), (18, 18), (2, 18)], dtype=float)


def slanting(width):
    """A band that is cut off at a slope of one in four."""
    return [np.array([(0, 0), (width, 0), (width, 12), (0, 12 + 4 * width)], dtype=float)]


def test_a_whole_wall_has_no_tips():
    assert wall_tips([[SQUARE]], [[HOLLOW]], [30.0], WALL_MM) == []


def test_the_tip_of_a_wall_that_ends_aslant_is_found_as_wide_as_a_wall():
    ((below, (tip,)),) = wall_tips([slanting(1.7)], [], [30.0], WALL_MM)
    assert below is None
    np.testing.assert_allclose(tip[1], (0, 12 + 4 * 1.7), atol=1e-6)
    assert np.hypot(*(tip[2] - tip[0])) == pytest.approx(SPARE * WALL_MM)


def test_a_tip_against_another_mass_stays_as_high_as_that_and_goes_above():
    beside = [np.array([(-9, 0), (0.05, 0), (0.05, 40), (-9, 40)], dtype=float)]
    assert wall_tips([slanting(1.7), beside], [], [30.0, 30.0], WALL_MM) == []
    ((below, tips),) = wall_tips([slanting(1.7), beside], [], [30.0, 12.0], WALL_MM)
    assert below == 1 and len(tips) == 1


def test_crumbs_are_left_out_and_strips_of_a_larger_piece_stay():
    cut = np.array([(-1, 10), (-1, 12), (21, 12), (21, 10)], dtype=float)
    thin = np.array([(-1, 12.5), (-1, 25), (21, 25), (21, 12.5)], dtype=float)
    left = without_crumbs([SQUARE, cut, thin], [], WALL_MM)
    assert len(left) == 4 and lies_in(left, np.array([(10.0, 5.0), (10.0, 12.2)])).tolist() == [True, False]
    assert len(without_crumbs([SQUARE, cut], [], WALL_MM)) == 2
    # What the hollow leaves counts, not what it is cut out of.
    assert len(without_crumbs([SQUARE, cut], [np.array([(-1, 12.3), (21, 12.3), (21, 25), (-1, 25)])], WALL_MM)) == 3


TENTHS = st.integers(0, 200)


@given(st.lists(st.tuples(TENTHS, TENTHS, st.integers(20, 90), st.integers(20, 90)), min_size=1, max_size=4))
def test_outlines_have_the_area_of_what_is_left(boxes):
    rings = [np.array([(x, y), (x, y + h), (x + w, y + h), (x + w, y)]) / 10 for x, y, w, h in boxes]
    left = outlines_of([[SQUARE, *rings]])
    whole = shapely.Polygon(SQUARE).difference(shapely.union_all([shapely.Polygon(ring) for ring in rings]))
    area = sum(shapely.Polygon(ring).area * (1 if shapely.LinearRing(ring).is_ccw else -1) for ring in left)
    assert area == pytest.approx(whole.area, abs=0.1)


@given(st.floats(0.1, 0.7), st.floats(2, 5), st.floats(20, 60))
def test_a_wedge_with_a_blunt_end_is_cut_where_it_is_as_wide_as_a_wall(thin, thick, length):
    wedge = np.array([(0, 0), (length, 0), (length, thick), (0, thin)], dtype=float)
    kept, _ = sturdy(wedge, WALL_MM)
    piece = shapely.Polygon(kept)
    assert piece.difference(shapely.Polygon(wedge)).area < 1e-6
    wanted = length * (SPARE * WALL_MM - thin) / (thick - thin)
    assert piece.bounds[0] == pytest.approx(wanted, rel=0.02, abs=0.1)
