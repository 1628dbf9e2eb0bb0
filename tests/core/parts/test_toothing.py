import numpy as np
import pytest

from halfbat.parts.toothing import LEAST_TOOTH_MM, course_breaks, line_middle, teeth_fit, toothed_lines
from halfbat.surfaces import BONDS, Lattice, get_bond, get_format, lay_wall, set_courses
from halfbat.units import parse_scale

PIXELS = Lattice(0.0, 0.05)
BOND_KEYS = [bond if isinstance(bond, str) else bond.key for bond in BONDS]


def laid(bond_key="stretcher", scale_text="1:76", length_m=8.0, height_m=3.0, top="adjust gauge"):
    scale, bond, brick = parse_scale(scale_text), get_bond(bond_key, stretcher_courses=3), get_format("uk_metric")
    courses = set_courses(scale.to_mm(height_m), bond, brick, scale, top)
    return lay_wall(scale.to_mm(length_m), courses, bond, brick, scale), scale.to_mm(brick.stretcher_module_m)


@pytest.mark.parametrize("scale", ["1:43", "1:76"])
@pytest.mark.parametrize("bond", BOND_KEYS)
def test_every_bond_has_teeth_that_follow_its_joints(bond, scale):
    laying, module = laid(bond, scale)
    lines = toothed_lines(laying, module, PIXELS, PIXELS)
    assert lines
    for line in lines:
        up = line[1:, 1] > line[:-1, 1]
        assert np.array_equal(up, np.arange(len(up)) % 2 == 0)
        assert line[0, 1] == 0
        assert line[-1, 1] == laying.height_mm
        steps = np.diff(line[:, 0])[1::2]
        assert (np.abs(steps) >= LEAST_TOOTH_MM - 1e-9).all()
        assert (steps[1:] * steps[:-1] < 0).all()
        assert np.allclose(line[1:-1:2, 1], course_breaks(laying, PIXELS)[: len(steps)])
        for course, u in enumerate(line[::2, 0]):
            perpends = laying.patterns[laying.course_pattern[course]].bounds_mm
            assert np.abs(perpends - u).min() <= 0.025 + 1e-9


def test_stretcher_bond_has_teeth_of_half_a_brick():
    laying, module = laid()
    for line in toothed_lines(laying, module, PIXELS, PIXELS):
        assert np.ptp(line[:, 0]) == pytest.approx(module / 2, abs=0.1)


def test_a_tooth_stands_at_almost_every_perpend():
    laying, module = laid(length_m=20.0)
    middles = np.array([line_middle(line) for line in toothed_lines(laying, module, PIXELS, PIXELS)])
    assert (np.diff(middles) >= 0).all()
    assert np.diff(middles).max() < module


@pytest.mark.parametrize(("scale", "fits"), [("1:148", False), ("1:100", False), ("1:90", True), ("1:76", True)])
def test_courses_under_a_tooth_are_not_toothed(scale, fits):
    # One course of 75 mm is 0.83 mm at 1:90 and 0.75 mm at 1:100.
    laying, module = laid(scale_text=scale)
    assert teeth_fit(laying) is fits
    assert bool(toothed_lines(laying, module, PIXELS, PIXELS)) is fits


def test_a_cut_course_too_low_for_a_tooth_goes_with_the_one_under_it():
    laying, module = laid(height_m=3.045, top="cut course")
    whole, _ = laid(height_m=3.0, top="cut course")
    assert laying.courses == whole.courses + 1
    for line in toothed_lines(laying, module, PIXELS, PIXELS):
        assert line[-1, 1] == laying.height_mm
        assert line[-1, 1] - line[-2, 1] > laying.gauge_mm


def test_a_single_course_has_no_teeth():
    laying, module = laid(height_m=0.075)
    assert not teeth_fit(laying)
    assert toothed_lines(laying, module, PIXELS, PIXELS) == []


def test_corners_lie_on_the_pixels():
    laying, module = laid("flemish")
    lattice = Lattice(0.013, 0.034)
    for line in toothed_lines(laying, module, lattice, lattice):
        inner = line[1:-1]
        steps = (inner - 0.013) / 0.034
        assert np.allclose(steps, np.round(steps), atol=1e-6)
