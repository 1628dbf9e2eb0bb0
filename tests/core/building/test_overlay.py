"""Lines in a plane cut it into faces."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from halfbat.building.overlay import overlay


def closed(*rings):
    rings = [np.array(ring, dtype=float) for ring in rings]
    return np.concatenate(rings), np.concatenate([np.roll(ring, -1, axis=0) for ring in rings])


def areas(cut):
    return sorted(cut.areas[1:].tolist())


def square(x, y, size):
    return [(x, y), (x + size, y), (x + size, y + size), (x, y + size)]


def test_two_squares_that_cross_make_three_faces():
    assert areas(overlay(*closed(square(0, 0, 2), square(1, 1, 2)), 0.01)) == pytest.approx([1.0, 3.0, 3.0])


def test_a_hole_is_taken_off_the_face_round_it():
    cut = overlay(*closed(square(0, 0, 4), square(1, 1, 1)), 0.01)
    assert areas(cut) == pytest.approx([1.0, 15.0])
    around = cut.spots[1 + int(np.argmax(cut.areas[1:]))]
    assert not (1 < around[0] < 2 and 1 < around[1] < 2)


def test_lines_that_end_in_the_open_bound_nothing():
    starts, ends = closed(square(0, 0, 2))
    starts, ends = np.vstack([starts, [[1, 0], [5, 5]]]), np.vstack([ends, [[1, 1], [6, 6]]])
    cut = overlay(starts, ends, 0.01)
    assert areas(cut) == pytest.approx([4.0])
    assert set(cut.beside.ravel().tolist()) == {0, 1}


def test_a_line_over_part_of_another_is_one():
    starts, ends = closed(square(0, 0, 2), [(2, 0.5), (3, 0.5), (3, 1.5), (2, 1.5)])
    cut = overlay(starts, ends, 0.01)
    assert areas(cut) == pytest.approx([1.0, 4.0])
    assert np.count_nonzero((cut.beside > 0).all(axis=1)) == 1


def test_points_within_the_tolerance_are_one():
    cut = overlay(*closed(square(0, 0, 2), square(2.004, 0, 2)), 0.01)
    assert len(cut.areas) == 3 and cut.areas[1:].sum() == pytest.approx(8.0, abs=0.05)


def test_nothing_makes_one_face():
    cut = overlay(np.zeros((0, 2)), np.zeros((0, 2)), 0.01)
    assert cut.areas.tolist() == [np.inf]


corner = st.tuples(st.integers(0, 20), st.integers(0, 20))
boxes = st.lists(st.tuples(corner, st.integers(1, 9), st.integers(1, 9)), min_size=1, max_size=6)


@given(boxes, st.integers(0, 359))
@settings(max_examples=40, deadline=None)
def test_faces_are_those_of_another_library(found, turn):
    angle = np.radians(turn)
    around = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
    rings = [np.array([(x, y), (x + w, y), (x + w, y + h), (x, y + h)], dtype=float) @ around for (x, y), w, h in found]
    cut = overlay(*closed(*rings), 0.001)
    lines = shapely.unary_union([shapely.set_precision(shapely.LinearRing(ring), 1e-6) for ring in rings])
    theirs = sorted(face.area for face in shapely.polygonize(lines.geoms if hasattr(lines, "geoms") else [lines]).geoms)
    assert areas(cut) == pytest.approx([area for area in theirs if area > 1e-3], abs=1e-3)
    for spot, area in zip(cut.spots[1:], cut.areas[1:], strict=True):
        assert area > 0.0 and np.isfinite(spot).all()
