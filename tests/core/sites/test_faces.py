import numpy as np
import pytest

from halfbat.settings import FinishRequest
from halfbat.sites.faces import bands_of, finishes_of
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
