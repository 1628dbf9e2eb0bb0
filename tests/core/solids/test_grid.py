import numpy as np
import pytest

from halfbat.solids.grid import CORNER_STEP, PER_MM, ranges, to_grid, to_mm


def test_lengths_are_rounded_to_thousandths():
    assert to_grid([0.0, 1.0004, -1.0006, 12.3456]).tolist() == [0, 10000, -10010, 123460]
    assert CORNER_STEP * 1000 == PER_MM


def test_rounding_twice_is_rounding_once():
    values = np.random.default_rng(0).uniform(-1000.0, 1000.0, 1000)
    once = to_grid(values)
    np.testing.assert_array_equal(to_grid(to_mm(once)), once)
    assert np.abs(to_mm(once) - values).max() <= 0.5e-3 + 1e-9


def test_two_grid_points_stay_apart_in_an_stl():
    for place in (1e7 - 1, 5e6, 12345):
        one, two = to_mm(np.array([place, place + 1])).astype(np.float32)
        assert one != two


@pytest.mark.parametrize("value", [np.nan, np.inf, -np.inf, 1500.1, -1e300])
def test_what_cannot_be_counted_is_refused(value):
    with pytest.raises(ValueError, match="finite and within 1500 mm"):
        to_grid([0.0, value])


def test_shapes_are_kept_and_nothing_is_nothing():
    assert to_grid(np.zeros((3, 4, 2))).shape == (3, 4, 2)
    assert to_grid([]).size == 0


def test_ranges():
    assert ranges(np.array([5, 0, 9]), np.array([2, 0, 3])).tolist() == [5, 6, 9, 10, 11]
    assert ranges(np.array([5]), np.array([0])).size == 0
