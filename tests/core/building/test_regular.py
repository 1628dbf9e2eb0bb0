"""Lines of a plan that are nearly one line become one."""

import numpy as np

from halfbat.building.regular import regular_segments


def ring(*corners):
    corners = np.array(corners, dtype=float)
    return corners, np.roll(corners, -1, axis=0)


def test_a_jog_within_the_play_goes():
    starts, ends = regular_segments(*ring((0, 0), (5, 0), (5, 0.03), (8, 0.03), (8, 4), (0, 4)), 0.05)
    assert np.allclose(starts[2], (5, 0)) and np.allclose(ends[2], (8, 0))
    lengths = np.hypot(*(ends - starts).T)
    assert np.isclose(lengths.min(), 0.0)


def test_a_jog_beyond_the_play_stays():
    starts, ends = regular_segments(*ring((0, 0), (5, 0), (5, 0.2), (8, 0.2), (8, 4), (0, 4)), 0.05)
    assert np.allclose(starts[3], (8, 0.2)) and np.allclose(ends[1], (5, 0.2))


def test_corners_of_a_plan_without_jogs_stay():
    plan = [(0, 0), (6, 1), (7, 5), (2, 6)]
    starts, _ = regular_segments(*ring(*plan), 0.05)
    assert np.allclose(starts, plan)


def test_a_corner_stays_square_when_its_side_moves():
    plan = [(0, 0), (10, 0), (10, 4), (14, 4), (14, 8), (10.03, 8), (10.03, 12), (0, 12)]
    starts, _ = regular_segments(*ring(*plan), 0.05)
    assert np.allclose(starts[5:7, 0], 10.0) and np.allclose(starts[5:7, 1], (8, 12))


def test_lines_far_apart_are_in_line_by_chance():
    starts = np.array([(0.0, 0.0), (20.0, 0.03)])
    ends = np.array([(5.0, 0.0), (24.0, 0.03)])
    moved, _ = regular_segments(starts, ends, 0.05)
    assert np.allclose(moved, starts)
