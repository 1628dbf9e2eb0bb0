import numpy as np
import pytest

from halfbat.solids.crossings import Segments, part_crossings


def segments(*rows):
    x0, y0, x1, y1 = np.array(rows, dtype=np.int64).reshape(-1, 4).T
    return Segments(x0, y0, x1, y1, np.arange(len(x0), dtype=np.int64))


def stretches(parted):
    """All stretches as (side, low end, high end)."""
    columns = (parted.origin, parted.x0, parted.y0, parted.x1, parted.y1)
    return sorted(zip(*(column.tolist() for column in columns), strict=True))


def crossing_pairs(s):
    """Pairs of segments that pass right through each other, by comparing all with all in Python's own integers."""
    rows = np.stack([s.x0, s.y0, s.x1, s.y1], axis=1).tolist()

    def beside(line, x, y):
        return (line[2] - line[0]) * (y - line[1]) - (line[3] - line[1]) * (x - line[0])

    found = []
    for i, a in enumerate(rows):
        for j, b in enumerate(rows[:i]):
            if beside(a, *b[:2]) * beside(a, *b[2:]) < 0 and beside(b, *a[:2]) * beside(b, *a[2:]) < 0:
                found.append((j, i))
    return found


def test_two_leaning_sides_meet_in_one_point():
    parted = part_crossings(segments((0, 0, 10, 10), (10, 0, 0, 10)))
    assert stretches(parted) == [(0, 0, 0, 5, 5), (0, 5, 5, 10, 10), (1, 5, 5, 0, 10), (1, 10, 0, 5, 5)]


def test_an_upright_side_stays_on_its_line():
    parted = part_crossings(segments((0, 0, 10, 7), (3, 0, 3, 9)))
    assert stretches(parted) == [(0, 0, 0, 3, 2), (0, 3, 2, 10, 7), (1, 3, 0, 3, 2), (1, 3, 2, 3, 9)]


def test_sides_that_touch_are_left_alone():
    touching = segments((0, 0, 10, 10), (10, 10, 20, 30), (5, 5, 5, 9), (0, 3, 0, 9))
    parted = part_crossings(touching)
    assert len(crossing_pairs(parted)) == 0
    assert len(parted.origin) == 5  # the first side carries the foot of the third as a point of its own


def test_upright_sides_alone_are_returned_as_they_are():
    uprights = segments((0, 0, 0, 10), (0, 5, 0, 20), (7, 1, 7, 3))
    assert part_crossings(uprights) is not None
    assert stretches(part_crossings(uprights)) == stretches(uprights)


def test_nearly_level_side_becomes_steps_through_what_it_crosses():
    uprights = [(x, -50, x, 50) for x in range(10_000, 100_000, 10_000)]
    parted = part_crossings(segments((0, 0, 100_000, 3), *uprights))
    assert not crossing_pairs(parted)
    own = [row for row in stretches(parted) if row[0] == 0]
    assert {y for row in own for y in (row[2], row[4])} == {0, 1, 2, 3}
    assert any(row[2] == row[4] for row in own)
    assert own[0][1:3] == (0, 0)


def test_nothing():
    assert part_crossings(segments()).origin.size == 0


@pytest.mark.parametrize("spread", [3, 30, 1000, 3 * 10**7])
def test_random_sides_cross_no_more_and_keep_their_ends(spread):
    rng = np.random.default_rng(spread)
    ends = rng.integers(-spread, spread + 1, (60, 4))
    ends = ends[ends[:, 1] != ends[:, 3]]
    turned = ends[:, 1] > ends[:, 3]
    ends[turned] = ends[turned][:, [2, 3, 0, 1]]
    before = segments(*ends)
    parted = part_crossings(before)
    assert not crossing_pairs(parted)
    for side in range(len(ends)):
        rows = [row[1:] for row in stretches(parted) if row[0] == side]
        loose = {row[:2] for row in rows} ^ {row[2:] for row in rows}
        assert loose == {tuple(ends[side, :2].tolist()), tuple(ends[side, 2:].tolist())}
        line = ends[side, 2:] - ends[side, :2]
        for row in rows:
            for x, y in (row[:2], row[2:]):
                off = abs(int(line[0]) * (y - int(ends[side, 1])) - int(line[1]) * (x - int(ends[side, 0])))
                assert off <= 2.0 * np.hypot(*line)


def test_narrow_fans_of_long_sides_come_to_an_end():
    rows = [(5_333_330 - k, 5_333_320 + 3 * k, 5_333_320 + k % 5, 5_666_400 + 7 * k) for k in range(12)]
    parted = part_crossings(segments(*rows))
    assert not crossing_pairs(parted)
