import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfbat.sites.spots import REACH_M, Spot, spot_at_point, spot_on_ray
from site_samples import box_sites

SITES = box_sites()


def test_a_point_before_a_wall_is_brought_onto_it():
    assert spot_at_point(SITES, [3.0, -0.4, 1.2]) == Spot("A", 3.0, 1.2)
    assert spot_at_point(SITES, [8.3, 2.0, 9.0]) is None
    found = spot_at_point(SITES, [8.3, 2.0, 4.0])
    assert (found.wall, found.along_m, found.up_m) == ("B", 2.0, 3.0)


def test_a_thing_stays_on_its_wall_until_another_is_much_nearer():
    assert spot_at_point(SITES, [7.0, 2.0, 1.0]).wall == "B"
    assert spot_at_point(SITES, [7.0, 2.0, 1.0], held="A").wall == "A"
    assert spot_at_point(SITES, [7.9, 2.0, 1.0], held="A").wall == "B"
    assert spot_at_point(SITES, [9.5, 0.0, 1.0], held="A").wall == "A"


def test_over_the_corner_is_the_next_wall():
    assert spot_at_point(SITES, [8.02, 0.6, 1.0], held="A").wall == "B"


def test_far_from_every_wall_is_on_none():
    assert spot_at_point(SITES, [4.0, -REACH_M - 0.01, 1.0]) is None
    assert spot_at_point(SITES, [4.0, -3.9 * REACH_M, 1.0], held="A").wall == "A"
    assert spot_at_point(SITES, [4.0, -4.1 * REACH_M, 1.0], held="A") is None


def test_sight_meets_the_first_wall_from_outside_only():
    found = spot_on_ray(SITES, [4.0, -10.0, 1.5], [0.0, 2.0, 0.0])
    assert (found.wall, found.along_m, found.up_m) == ("A", 4.0, 1.5)
    assert spot_on_ray(SITES, [4.0, 2.0, 1.5], [0.0, 1.0, 0.0]) is None
    assert spot_on_ray(SITES, [4.0, -10.0, 3.5], [0.0, 1.0, 0.0]) is None
    assert spot_on_ray(SITES, [4.0, -10.0, 1.5], [0.0, -1.0, 0.0]) is None


@given(st.floats(-20, 28), st.floats(-20, 25), st.floats(0.1, 12), st.floats(0.05, 7.95), st.floats(0.05, 2.95))
def test_a_ray_at_a_place_on_the_wall_in_front_meets_it(x, y, z, along, up):
    eye, place = np.array([x, y, z]), np.array([along, 0.0, up])
    found = spot_on_ray(SITES, eye, place - eye)
    if y < -0.01:
        assert found.wall == "A"
        assert (found.along_m, found.up_m) == (pytest.approx(along, abs=1e-6), pytest.approx(up, abs=1e-6))
    elif y >= 0:
        assert found is None or found.wall != "A"
