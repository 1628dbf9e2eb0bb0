import numpy as np
import pytest

from halfbat.solids.stacked import Slice, stacked
from solids_help import assert_printable_solid


def square(half):
    return np.array([[-half, -half], [half, -half], [half, half], [-half, half]], dtype=np.float64)


def test_slices_that_step_out_and_in():
    solid = stacked(1.0, [Slice(square(2), 2.0), Slice(square(3), 4.0), Slice(square(1), 5.0)])
    assert_printable_solid(solid, volume_mm3=16 + 2 * 36 + 4, bounds_mm=[[-3, -3, 1], [3, 3, 5]])


def test_holes_in_the_last_slice():
    holes = tuple(square(0.5) + np.array([at, 0.0]) for at in (-1.5, 1.5))
    solid = stacked(0.0, [Slice(square(4), 1.0), Slice(square(3), 2.0, holes)])
    assert_printable_solid(solid, volume_mm3=64 + 36 - 2)


def test_one_slice_is_a_prism():
    assert stacked(0.0, [Slice(square(1), 3.0)]).volume_mm3 == pytest.approx(12.0)
