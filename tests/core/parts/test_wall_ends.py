from dataclasses import replace

import numpy as np
import pytest

from halfbat.building.structure import FaceOfWall, WallCorner
from halfbat.parts.wall_ends import free_end, wall_ends
from halfbat.parts.wall_face import LEAST_FLAT_BACK_MM
from halfbat.settings import ResinProcess
from halfbat.surfaces.joints import snapped_joints
from halfbat.units import parse_scale
from kit_help import settings_with

OBLONG = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]]


def wall(index, start, end, low=0.0, high=3.0):
    start, end = np.array(start, dtype=np.float64), np.array(end, dtype=np.float64)
    outline = np.array(OBLONG) * [np.hypot(*(end - start)), high - low] + [0.0, low]
    return FaceOfWall(index, "ABCDE"[index], start, end, 0.0, outline, (), 0, None, None)


JOINTS = snapped_joints(parse_scale("1:100"), ResinProcess(), width_mm=10.0, depth_mm=8.0, course_mm=0.75)
#: Faces towards -y.
LONG = wall(0, (0, 0), (10, 0))


def ended(own, at_start, *others):
    walls = {one.index: (one, 1.2) for one in (LONG, own, *others)}
    return free_end(own, at_start, walls, 0.1, parse_scale("1:100"))


def test_an_end_by_itself_keeps_the_gap():
    assert ended(wall(1, (20, 20), (30, 20)), True).reach_mm == pytest.approx(0.1)


def test_a_wall_that_comes_from_behind_stops_at_the_skin():
    assert ended(wall(1, (4, 0), (4, 5)), True).reach_mm == pytest.approx(1.2 + 0.1)
    assert ended(wall(1, (4, 5), (4, 0)), False).reach_mm == pytest.approx(1.2 + 0.1)
    # Its other end is free.
    assert ended(wall(1, (4, 0), (4, 5)), False).reach_mm == pytest.approx(0.1)


def test_at_an_angle_it_stops_earlier():
    # At 45 degrees the face meets the other skin at 1.2 / sin 45; what lies behind it does so nearer, or further on.
    assert ended(wall(1, (4, 0), (9, 5)), True).reach_mm == pytest.approx(1.2 * np.sqrt(2) + 0.1, abs=0.02)
    assert ended(wall(1, (9, 5), (4, 0)), False).reach_mm == pytest.approx(1.2 * np.sqrt(2) + 1.2 + 0.1, abs=0.02)


def test_a_wall_against_the_face_keeps_the_gap_only():
    assert ended(wall(1, (4, 0), (4, -5)), True).reach_mm == pytest.approx(0.1)


def test_a_wall_above_the_other_is_free():
    assert ended(wall(1, (4, 0), (4, 5), 3.0, 5.0), True).reach_mm == pytest.approx(0.1)


def test_of_two_that_end_at_one_place_the_higher_keeps_its_end():
    low, high = wall(1, (0, 5), (0, 0), 0.0, 2.0), wall(1, (0, 5), (0, 0), 0.0, 4.0)
    assert ended(low, False).reach_mm == pytest.approx(1.3)
    assert ended(high, False).reach_mm == pytest.approx(0.1)


def test_a_wall_whose_end_stands_a_little_off_the_face_stops_at_the_skin_too():
    # 0.05 m in front of the face and behind it: 0.5 mm at 1:100.
    assert ended(wall(1, (4, -0.05), (4, 5)), True).reach_mm == pytest.approx(0.5 + 1.2 + 0.1)
    assert ended(wall(1, (4, 0.05), (4, 5)), True).reach_mm == pytest.approx(-0.5 + 1.2 + 0.1)


@pytest.mark.parametrize("corner, expected", [(45.0, 1.2), (90.0, 0.0), (135.0, 0.0), (225.0, 1.2), (270.0, 0.0)])
def test_beside_a_bare_wall_a_skin_stays_behind_the_bare_face(corner, expected):
    own = replace(wall(1, (20, 20), (30, 20)), right=WallCorner(corner, 7, 0.0, 3.0, True))
    assert ended(own, False).reach_mm == pytest.approx(0.1 + expected)


@pytest.mark.parametrize("length", [0.2, 0.3, 5.0])
def test_a_short_wall_keeps_clear_too_though_more_than_half_of_it_is_taken(length):
    far = np.array((4, 0)) + length / np.sqrt(2)
    assert ended(wall(1, (4, 0), far), True).reach_mm == pytest.approx(1.2 * np.sqrt(2) + 0.1, abs=0.02)


def test_a_wall_too_short_to_keep_clear_of_both_its_neighbours_does_not_stand_in_them():
    # It comes from behind between two others, 2 mm apart: what is left of it is nothing, and it stays bare.
    own, beyond = wall(1, (4, 0), (4, 0.2)), wall(2, (10, 0.2), (0, 0.2))
    ends = wall_ends([LONG, own, beyond], [1.2] * 3, JOINTS, settings_with(), parse_scale("1:100"))
    left, right = ends[1]
    assert min(left.reach_mm, right.reach_mm) > 1.25
    assert left.reach_mm + right.reach_mm > 2.0 - LEAST_FLAT_BACK_MM
