import time

import numpy as np
import pytest

from halfbat.surfaces.bonds import BONDS, get_bond
from halfbat.surfaces.coursing import set_courses
from halfbat.surfaces.formats import get_format
from halfbat.surfaces.laying import End, lay_wall
from halfbat.surfaces.quantities import count_units
from halfbat.surfaces.rectangles import Lattice, rectangles
from halfbat.units import parse_scale

UK, SCALE = get_format("uk_metric"), parse_scale("1:148")
PIXELS = Lattice(0.0, 0.05)
JOINT = 0.15


def lay(key="english", length_m=5.39, height_m=3.0, **more):
    bond = get_bond(key)
    coursing = set_courses(SCALE.to_mm(height_m), bond, UK, SCALE)
    return lay_wall(SCALE.to_mm(length_m), coursing, bond, UK, SCALE, **more)


def faces(laying, **more):
    return rectangles(laying, JOINT, JOINT, PIXELS, PIXELS, **more)


@pytest.mark.parametrize("key", [bond.key for bond in BONDS])
def test_every_joint_is_the_same_whole_number_of_pixels(key):
    laying = lay(key)
    found = faces(laying)
    for course in range(laying.courses):
        row = found.course == course
        gaps = found.u0[row][1:] - found.u1[row][:-1]
        np.testing.assert_allclose(gaps, JOINT, atol=1e-9)
        edges = found.u1[row][:-1] / PIXELS.pitch_mm
        np.testing.assert_allclose(edges, np.round(edges), atol=1e-6)
        assert found.u0[row][0] == 0.0
        assert found.u1[row][-1] == laying.length_mm
    bottoms = [found.v0[found.course == course][0] for course in range(laying.courses)]
    tops = [found.v1[found.course == course][0] for course in range(laying.courses)]
    np.testing.assert_allclose(np.subtract(bottoms[1:], tops[:-1]), JOINT, atol=1e-9)
    assert tops[-1] == laying.height_mm
    assert bottoms[0] >= 0


def test_as_many_rectangles_as_units():
    laying = lay()
    found = faces(laying)
    assert len(found) == sum(count_units(laying).values()) == len(found.corners)
    assert np.bincount(found.kind).tolist()[:3] == [count_units(laying)[kind] for kind in sorted(count_units(laying))]


def test_joints_stand_within_half_a_pixel_of_their_place():
    laying = lay("stretcher")
    found = faces(laying)
    row = found.course == 0
    centres = (found.u1[row][:-1] + found.u0[row][1:]) / 2
    assert np.abs(centres - laying.patterns[0].bounds_mm[1:-1]).max() <= PIXELS.pitch_mm / 2 + 1e-9


def test_true_width_joints_without_a_lattice():
    laying = lay("stretcher", 0.89, 0.75)
    joint = SCALE.to_mm(0.010)
    found = rectangles(laying, joint, joint, Lattice(0, 0), Lattice(0, 0))
    stretchers = found.kind == 0
    np.testing.assert_allclose((found.u1 - found.u0)[stretchers], SCALE.to_mm(0.215))
    np.testing.assert_allclose(found.v1 - found.v0, SCALE.to_mm(0.065))
    assert found.v0[0] == pytest.approx(SCALE.to_mm(0.010))


def test_window_cuts_bricks_and_drops_slivers():
    laying = lay("stretcher")
    window = (3.0, 11.0, 2.0, 9.0)
    found = faces(laying, window=window, smallest_mm=0.2)
    assert found.u0.min() == 3.0
    assert found.u1.max() == 11.0
    assert found.v0.min() >= 2.0
    assert found.v1.max() <= 9.0
    assert (found.u1 - found.u0).min() >= 0.2 - 1e-6
    whole = faces(laying)
    assert 0 < len(found) < len(whole)


def test_two_windows_with_a_gap_hold_all_bricks_of_the_wall():
    laying = lay("flemish")
    half = laying.length_mm / 2
    left = faces(laying, window=(0, half, 0, laying.height_mm))
    right = faces(laying, window=(half, laying.length_mm, 0, laying.height_mm))
    whole = faces(laying)
    area = [float(((one.u1 - one.u0) * (one.v1 - one.v0)).sum()) for one in (left, right, whole)]
    assert area[0] + area[1] == pytest.approx(area[2])


def test_empty_window_gives_nothing():
    assert len(faces(lay(), window=(5, 5, 0, 1))) == 0


def test_inner_corner_shows_a_joint_in_every_second_course():
    laying = lay("stretcher", 5.4, ends=(End.QUOIN, End.RETURN))
    found = faces(laying)
    ends = [found.u1[found.course == course].max() for course in range(4)]
    assert ends[0] == ends[2] < laying.length_mm
    assert ends[1] == ends[3] == laying.length_mm


def test_ties_go_the_same_way_whatever_float_error():
    lattice = Lattice(0.0, 0.05)
    ties = np.array([0.025, 0.1 + 0.025, 0.3 - 0.025, 1e3 + 0.025])
    noisy = np.nextafter(ties, 0)
    np.testing.assert_array_equal(lattice.round(ties), lattice.round(noisy))


def test_hundred_thousand_bricks_take_well_under_a_tenth_of_a_second():
    laying = lay("english", 60, 22)
    begin = time.perf_counter()
    found = faces(laying)
    taken = time.perf_counter() - begin
    assert len(found) > 100_000
    # Measured at 5 ms on two slow cores; the rest is room for busy machines.
    assert taken < 0.1
