"""Openings reach up to the edge of a skin where nothing over them would hold."""

from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfbat.parts.thin_heads import thin_heads

LEAST = 0.8
FACE = np.array([(0, 0), (40, 0), (40, 30), (0, 30)], dtype=float)


def opening(left, low, right, high):
    return SimpleNamespace(outline=np.array([(left, low), (right, low), (right, high), (left, high)], dtype=float))


def test_a_thin_strip_goes_over_the_whole_width():
    ((ring,), lost) = thin_heads([opening(5, 10, 12, 29.8), opening(20, 10, 27, 25)], FACE, LEAST)
    assert (ring[:, 0].min(), ring[:, 0].max()) == (5, 12) and ring[:, 1].max() > 30
    assert lost == pytest.approx(7 * 0.2, rel=0.01)


def test_a_strip_that_holds_at_both_ends_stays_and_so_does_an_opening_beyond_the_edge():
    assert thin_heads([opening(5, 10, 12, 29.5), opening(20, 10, 27, 31)], FACE, LEAST) == ([], 0.0)


@given(st.floats(0.0, 0.39), st.floats(0.05, 3.0))
def test_under_a_rake_it_goes_as_far_as_it_is_thin(thin, rise):
    face = np.array([(0, 0), (40, 0), (40, 20 + 40 * rise), (0, 20)], dtype=float)
    head = 20 + 10 * rise - thin
    ((ring,), lost) = thin_heads([opening(10, 2, 20, head)], face, LEAST)
    assert ring[:, 0].min() == 10
    wide = min(10.0, (LEAST - thin) / rise)
    assert np.ptp(ring[:, 0]) == pytest.approx(wide, abs=0.2)
    assert 0 < lost <= wide * LEAST
