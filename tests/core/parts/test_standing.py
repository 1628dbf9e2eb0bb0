import numpy as np
import pytest

from halfbat.parts.clearing import area_of
from halfbat.parts.standing import columns, height_of, standing, within

#: A gable 10 wide with eaves at 4 and its apex at 7, and a notch over its foot.
GABLE = np.array([[0.0, 0.0], [6, 0], [6, 1], [8, 1], [8, 0], [10, 0], [10, 4], [5, 7], [0, 4]])


def test_columns_are_the_ring():
    pieces = columns(GABLE)
    areas = [(u1 - u0) * (sum(high) - sum(low)) / 2 for u0, u1, low, high in pieces]
    assert sum(areas) == pytest.approx(area_of(GABLE))
    assert [piece[:2] for piece in pieces] == [(0, 5), (5, 6), (6, 8), (8, 10)]


def test_a_hole_in_a_column_makes_two():
    ring = np.array([[0.0, 0.0], [4, 0], [4, 1], [1, 1], [1, 2], [4, 2], [4, 3], [0, 3]])
    assert [piece[:2] for piece in columns(ring)] == [(0, 1), (1, 4), (1, 4)]


def test_blocks_stand_where_the_wall_does():
    along, outward = np.array([0.0, 1.0]), np.array([1.0, 0.0])
    blocks = standing(GABLE, np.array([20.0, 30.0, 5.0]), along, outward, 1.2, 3, (1.0, 0.0))
    assert [block.wall for block in blocks] == [3] * 4
    first = blocks[0]
    np.testing.assert_allclose(first.ring_mm, [[20, 30], [20, 35], [18.8, 35], [18.8, 31.2]])
    assert height_of(first.top, np.array([[20.0, 35.0]]))[0] == pytest.approx(12.0)
    assert height_of(first.foot, np.array([[19.0, 33.0]]))[0] == pytest.approx(5.0)
    assert height_of(blocks[2].foot, np.array([[20.0, 37.0]]))[0] == pytest.approx(6.0)
    np.testing.assert_allclose(blocks[1].grown(0.1), [[20.1, 34.9], [20.1, 36.1], [18.7, 36.1], [18.7, 34.9]])


def test_what_two_rings_share():
    one = np.array([[0.0, 0.0], [4, 0], [4, 4], [0, 4]])
    assert area_of(within(one, one + np.array([1.0, 3.0]))) == pytest.approx(3.0)
    assert area_of(within(one, one + np.array([5.0, 0.0]))) == 0.0
