from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfbat.settings import OpeningRequest, SeamRequest
from halfbat.sites.lengths import told_length
from halfbat.sites.moving import bend_m, moved
from halfbat.sites.spots import Spot
from site_samples import box_sites

SITES = box_sites()
DOOR = OpeningRequest("A", "1 m", "910 mm", "2 m")


def test_an_opening_goes_where_its_middle_is_put():
    there = moved(SITES, DOOR, Spot("C", 4.0, 0.3), snap=False)
    assert (there.wall, there.at, there.sill_height) == ("C", "3.545 m", "0.3 m")
    assert replace(there, wall="A", at="1 m", sill_height="0") == DOOR


def test_an_opening_snaps_to_bricks_and_courses():
    site = SITES.wall("A")
    there = moved(SITES, DOOR, Spot("A", 4.03, 0.32))
    left, joint = SITES.length_m(there.at), site.masonry.brick.joint_m
    edges = np.concatenate([site.perpends_m + joint / 2, site.perpends_m - joint / 2 - 0.91])
    assert np.abs(edges - left).min() < 0.0006
    assert abs(left + 0.455 - 4.03) < 0.06
    assert there.sill_height == "0.3 m"


def test_a_seam_snaps_to_a_perpend():
    there = moved(SITES, SeamRequest("B", "1 m", "toothed"), Spot("D", 2.5, 1.0))
    assert (there.wall, there.hide) == ("D", "toothed")
    assert np.abs(SITES.wall("D").perpends_m - SITES.length_m(there.at)).min() < 0.0006
    assert moved(SITES, there, Spot("D", 2.51, 0.0), snap=False).at == "2.51 m"


@given(st.sampled_from("ABCD"), st.floats(0, 8), st.floats(0, 3), st.booleans())
def test_what_was_moved_stays_on_the_wall_and_moving_it_there_again_changes_nothing(letter, along, up, snap):
    site = SITES.wall(letter)
    spot = Spot(letter, min(along, site.wall.length_m), up)
    there = moved(SITES, DOOR, spot, snap=snap)
    left, sill = SITES.length_m(there.at), SITES.length_m(there.sill_height)
    assert 0.1 < left < site.wall.length_m - 0.91 - 0.1 and -1e-9 <= sill <= 1.0 + 1e-6
    assert moved(SITES, there, Spot(letter, left + 0.455, sill), snap=snap) == there


@pytest.mark.parametrize(
    ("metres", "before", "after"),
    [
        (1.2, "1.2 m", "1.2 m"),
        (1.2003, "1.2 m", "1.2 m"),
        (1.5, "1.2 m", "1.5 m"),
        (1.5, "1200 mm", "1500 mm"),
        (0.9, "6 courses", "12 courses"),
        (0.075, "6 courses", "1 course"),
        (0.91, "6 courses", "0.91 m"),
        (0.3375, "3 bricks", "1.5 bricks"),
        (3.048, "4ft 6in", "10 ft"),
        (1.5, "0", "1.5 m"),
        (1.5, "no length", "1.5 m"),
    ],
)
def test_lengths_stay_written_as_they_were(metres, before, after):
    assert told_length(SITES, metres, before) == after


@pytest.mark.parametrize(
    ("line", "stands_at"),
    [
        ([[0, 0], [0, 3]], None),
        ([[0, 0], [0, 1], [0, 3]], None),
        ([[0.5, 0], [0.5, 3]], 0.5),
        ([[0, 0], [0, 1], [0.6, 1], [0.6, 3]], 0.4),
        ([[0, 0], [1, 3]], 0.5),
        ([[0, 1], [1, 1]], 0.5),
    ],
)
def test_a_bent_run_stands_where_most_of_it_stands(line, stands_at):
    assert bend_m(line) == (None if stands_at is None else pytest.approx(stands_at))
