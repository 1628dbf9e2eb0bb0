import numpy as np
import pytest

from halfbat.settings import FinishRequest
from halfbat.sites.faces import bands_of, bared, finishes_of
from site_samples import box_sites

SITES = box_sites(base_m=0.5)


def face(letter, u0, v0, u1, v1):
    frame = SITES.wall(letter).frame()
    corners = np.array([[u0, 0, v0], [u1, 0, v0], [u1, 0, v1], [u0, 0, v1]], dtype=np.float64)
    return corners @ frame[:3, :3].T + frame[:3, 3]


def test_a_whole_wall_is_one_band():
    (band,) = bands_of(SITES, [face("B", 0, 0, 5, 3)])
    assert (band.wall, band.whole, band.to_top) == ("B", True, True)
    assert finishes_of(SITES, [band], "render") == [FinishRequest("B", "render")]


def test_faces_on_top_of_each_other_are_one_band_and_apart_they_are_two():
    low, next_, high = face("A", 0, 0, 8, 1), face("A", 0, 1, 8, 1.2), face("A", 0, 2, 8, 3)
    first, second = bands_of(SITES, [high, low, next_])
    assert (first.bottom_m, first.top_m, first.to_top) == (pytest.approx(0), pytest.approx(1.2), False)
    assert (second.bottom_m, second.top_m, second.to_top) == (pytest.approx(2), pytest.approx(3), True)
    assert finishes_of(SITES, [first, second], "ashlar") == [
        FinishRequest("A", "ashlar", top="1.2 m"),
        FinishRequest("A", "ashlar", bottom="2 m"),
    ]


def test_faces_side_by_side_make_up_the_length():
    left, right = face("A", 0, 0, 3, 1), face("A", 3, 0, 8, 1)
    assert [band.whole for band in bands_of(SITES, [left, right])] == [True]
    (part,) = bands_of(SITES, [right])
    assert not part.whole
    assert (part.start_m, part.end_m) == (pytest.approx(3), pytest.approx(8))


def test_floors_roofs_and_faces_behind_a_wall_are_in_none():
    floor = np.array([[0, 0, 0.5], [8, 0, 0.5], [8, 5, 0.5], [0, 5, 0.5]], dtype=np.float64)
    behind = face("A", 1, 0, 2, 1) + np.array([0, 0.5, 0])
    assert bands_of(SITES, [floor, behind]) == []


def test_bared_faces_take_their_height_out_of_the_finish_there():
    (middle,) = bands_of(SITES, [face("A", 0, 1, 8, 2)])
    render, other = FinishRequest("A", "render", seed=3), FinishRequest("B", "ashlar")
    assert bared(SITES, [render, other], [middle]) == (
        FinishRequest("A", "render", top="1 m", seed=3),
        FinishRequest("A", "render", bottom="2 m", seed=3),
        other,
    )
    (whole,) = bands_of(SITES, [face("A", 0, 0, 8, 3)])
    assert bared(SITES, [render, other], [whole]) == (other,)
    low, high = FinishRequest("A", "render", top="0.5 m"), FinishRequest("A", "render", bottom="1.5 m")
    assert bared(SITES, [low, high], [middle]) == (low, FinishRequest("A", "render", bottom="2 m"))


def test_one_bared_wall_leaves_a_finish_of_every_wall_on_the_others():
    (whole,) = bands_of(SITES, [face("B", 0, 0, 5, 3)])
    left = bared(SITES, [FinishRequest("all", "render")], [whole])
    assert [asked.wall for asked in left] == ["A", "C", "D"]
    assert bared(SITES, [FinishRequest("all", "render")], []) == (FinishRequest("all", "render"),)


def test_a_height_that_cannot_be_read_is_left_alone():
    (whole,) = bands_of(SITES, [face("A", 0, 0, 8, 3)])
    odd = FinishRequest("A", "render", top="high")
    assert bared(SITES, [odd], [whole]) == (odd,)
