from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfbat.parts.cover_segments import SHORTEST_MM, Segment, part_of, segments
from halfbat.surfaces.dressing import Proud


def test_a_plain_wall_gives_one_segment():
    assert segments((), 0.0, 20.0) == (Segment(0.0, 20.0, 0.0),)


def test_over_a_plinth_a_cover_is_a_piece_of_its_own():
    assert segments((Proud(0.0, 3.0, 0.4),), 0.0, 20.0) == (Segment(0.0, 3.0, 0.4), Segment(3.0, 20.0, 0.0))


def test_over_a_string_course_a_cover_is_hollow():
    (one,) = segments((Proud(10.0, 11.0, 0.3),), 0.0, 20.0)
    assert one == Segment(0.0, 20.0, 0.0, (Proud(10.0, 11.0, 0.3),))
    assert segments((Proud(10.0, 12.5, 0.3),), 0.0, 20.0)[1] == Segment(10.0, 12.5, 0.3)


def test_a_low_plinth_is_hollowed_out_of_the_end():
    (one,) = segments((Proud(0.0, 0.5, 0.3),), 0.0, 20.0)
    assert one.hollows == (Proud(0.0, 0.5, 0.3),)


def test_on_a_pier_the_whole_cover_stands_out():
    assert segments((Proud(0.0, 20.0, 0.7),), 0.0, 20.0) == (Segment(0.0, 20.0, 0.7),)


def test_a_short_stretch_that_lies_back_is_bridged():
    found = segments((Proud(0.0, 10.0, 0.7), Proud(10.5, 20.0, 0.7)), 0.0, 20.0)
    assert found == (Segment(0.0, 20.0, 0.7),)


def test_levels_count_from_the_foot_of_the_cover():
    found = segments((Proud(0.0, 5.0, 0.4),), 2.0, 12.0)
    assert found == (Segment(0.0, 3.0, 0.4), Segment(3.0, 10.0, 0.0))


def test_a_piece_keeps_its_share_of_hollows():
    whole = Segment(2.0, 20.0, 0.1, (Proud(3.0, 5.0, 0.3),))
    assert part_of(whole, 6.0, 9.0) == Segment(6.0, 9.0, 0.1, (Proud(0.0, 1.0, 0.3),))
    assert part_of(whole, 10.0, 20.0).hollows == ()


STRETCH = st.tuples(st.floats(0.05, 4.0), st.sampled_from([0.0, 0.1, 0.3, 0.6]))


@given(st.lists(STRETCH, max_size=8), st.floats(5.0, 30.0))
def test_segments_fill_the_cover_and_lie_on_nothing_that_stands_out_further(stretches, top):
    proud, at = [], 0.0
    for long, out in stretches:
        if out:
            proud.append(Proud(at, at + long, out))
        at += long
    found = segments(proud, 0.0, top)
    assert found[0].low_mm == 0.0 and found[-1].high_mm == pytest.approx(top, abs=1e-3)
    for below, above in pairwise(found):
        assert below.high_mm == above.low_mm and below.base_mm != above.base_mm
    assert len(found) == 1 or min(own.high_mm - own.low_mm for own in found) >= SHORTEST_MM - 1e-9
    for one in proud:
        for own in found:
            low, high = max(one.low_mm, own.low_mm), min(one.high_mm, own.high_mm)
            if high - low > 0.01 and one.out_mm > own.base_mm:
                middle = (low + high) / 2 - own.low_mm
                over = [hollow.out_mm for hollow in own.hollows if hollow.low_mm < middle < hollow.high_mm]
                assert max(over) >= one.out_mm - own.base_mm - 1e-9
