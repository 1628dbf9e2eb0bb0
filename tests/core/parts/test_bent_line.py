import numpy as np
import pytest

from halfbat.parts.bent_line import BentLine, apart_mm, from_box_mm, plain_points, rounded

STEP = BentLine(((10.0, 0.0), (10.0, 5.0), (18.0, 5.0), (18.0, 12.0)))


def test_it_is_measured_along_its_middle():
    assert STEP.length_mm == 20.0
    assert STEP.stations.tolist() == [0.0, 5.0, 13.0, 20.0]
    assert STEP.at(2.0) == (10.0, 2.0) and STEP.at(6.0) == (11.0, 5.0) and STEP.at(99.0) == (18.0, 12.0)
    assert STEP.bounds == (10.0, 0.0, 18.0, 12.0)


def test_bands_are_mitred():
    left = STEP.beside(1.0)
    np.testing.assert_allclose(left, [[9, 0], [9, 6], [17, 6], [17, 12]])
    first, second, _ = STEP.bands(-1.0, 1.0)
    np.testing.assert_allclose(first, [[11, 0], [11, 4], [9, 6], [9, 0]])
    np.testing.assert_allclose(second[0], first[1])
    assert STEP.zones(1.0) == [(4.0, 6.0), (12.0, 14.0)]
    assert STEP.beside_at(2.5, 1.0) == (9.0, pytest.approx(3.0))


def test_a_part_of_it_keeps_the_bends_between():
    assert STEP.part(2.0, 6.0).points == ((10.0, 2.0), (10.0, 5.0), (11.0, 5.0))
    assert STEP.part(5.0, 13.0).points == ((10.0, 5.0), (18.0, 5.0))
    assert STEP.part(0.0, 20.0005).points == STEP.points


def test_what_lies_under_it_is_told_by_lengths_along_it():
    # Across the first leg; along the second; beyond the end of the last.
    assert STEP.over((0.0, 2.0, 99.0, 3.0), 0.9) == [(2.0, 3.0)]
    (found,) = STEP.over((12.0, 4.5, 14.0, 4.8), 0.9)
    assert found == pytest.approx((7.0, 9.0))
    assert STEP.over((0.0, 12.5, 99.0, 13.0), 0.9) == []
    assert STEP.over((-np.inf, 7.0, np.inf, 8.0), 0.9) == [(15.0, 16.0)]
    slanted = BentLine(((0.0, 0.0), (10.0, 10.0)))
    ((low, high),) = slanted.over((-np.inf, 4.0, np.inf, 5.0), 1.0)
    # A level band 1 mm high under a strip 2 mm wide at 45 degrees.
    assert high - low == pytest.approx((1.0 + 2.0 * np.sqrt(0.5)) / np.sqrt(0.5))


def test_points_it_does_not_need_are_left_out():
    points = [(0, 0), (0, 0), (0, 2), (0, 5), (3, 5), (3, 5), (1, 5)]
    assert plain_points(points) == ((0, 0), (0, 5), (3, 5), (1, 5))


def test_bends_are_rounded_as_far_as_the_legs_leave_room():
    round_one = rounded(STEP.points, 1.5, 0.6)
    assert len(round_one.points) == 8 and round_one.points[0] == (10.0, 0.0) and round_one.points[-1] == (18.0, 12.0)
    # Chords touch a circle of the radius asked for, whose middle is 1.5 mm from both legs.
    middle = np.array([11.5, 3.5])
    for a, b in zip(round_one.array[1:3], round_one.array[2:4], strict=True):
        along = (b - a) / np.hypot(*(b - a))
        off = abs(along[0] * (middle - a)[1] - along[1] * (middle - a)[0])
        assert off == pytest.approx(1.5, abs=2e-3)
    turns = [
        float(np.degrees(np.arccos(a @ b)))
        for a, b in zip(round_one.directions, round_one.directions[1:], strict=False)
    ]
    assert turns == pytest.approx([30.0] * 6, abs=0.2)
    tight = [(0.0, 0.0), (0.0, 1.5), (5.0, 1.5)]
    assert rounded(tight, 1.5, 0.6).points == tuple(tight)


def test_distances():
    assert apart_mm(STEP.points, [(12.0, 0.0), (12.0, 4.0)]) == pytest.approx(1.0)
    assert apart_mm(STEP.points, [(0.0, 5.0), (99.0, 8.0)]) == 0.0
    assert from_box_mm(STEP.points, (11.0, 0.0, 12.0, 3.0)) == pytest.approx(1.0)
    assert from_box_mm(STEP.points, (9.0, -1.0, 30.0, 30.0)) == 0.0
    assert from_box_mm(STEP.points, (14.0, 4.0, 15.0, 9.0)) == 0.0
