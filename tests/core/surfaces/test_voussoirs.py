from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfbat.surfaces.voussoirs import gauged_count, header_count, made_up
from opening_samples import masonry

WALLS = {scale: masonry(scale=scale) for scale in ("1:148", "1:76.2", "1:43.5")}


@given(st.sampled_from(sorted(WALLS)), st.floats(0.1, 0.45), st.integers(0, 1))
def test_bricks_of_a_voussoir_fill_it_and_none_is_long_or_thin(scale, depth_m, turn):
    wall = WALLS[scale]
    depth = wall.mm(depth_m)
    bricks = made_up(depth, wall, turn)
    assert bricks[0][0] == 0.0 and bricks[-1][1] == pytest.approx(depth)
    for (_, high), (low, _) in pairwise(bricks):
        assert low - high == pytest.approx(wall.joint_mm)
    sizes = [high - low for low, high in bricks]
    assert max(sizes) <= wall.mm(0.215) * 1.07
    assert min(sizes) >= min(depth, 2 * wall.least_mm) - 1e-9


def test_cross_joints_break_from_one_voussoir_to_the_next():
    wall = WALLS["1:76.2"]
    for depth_m in (0.29, 0.3275, 0.365, 0.44):
        even, odd = (made_up(wall.mm(depth_m), wall, turn) for turn in (0, 1))
        assert {round(high, 3) for _, high in even[:-1]}.isdisjoint({round(high, 3) for _, high in odd[:-1]})


@given(st.sampled_from(sorted(WALLS)), st.floats(1.0, 60.0), st.floats(1.0, 2.0))
def test_counts_are_odd_and_leave_room_for_every_joint(scale, inner, wider):
    wall = WALLS[scale]
    count = gauged_count(inner * wider, inner, wall)
    assert count % 2 == 1 and count >= 3
    assert count == 3 or inner / count >= wall.joint_mm + wall.least_mm - 1e-9
    headers = header_count(inner, wall)
    assert headers == 3 or inner / headers >= wall.joint_mm + wall.least_mm - 1e-9
