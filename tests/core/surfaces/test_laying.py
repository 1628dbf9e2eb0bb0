import numpy as np
import pytest

from halfbat.errors import KitError
from halfbat.surfaces.bonds import get_bond
from halfbat.surfaces.coursing import set_courses
from halfbat.surfaces.formats import get_format
from halfbat.surfaces.laying import End, fits_unbroken, lay_wall
from halfbat.surfaces.pieces import Kind
from halfbat.units import parse_scale

UK, FULL = get_format("uk_metric"), parse_scale("1:1")
S, H, Q = Kind.STRETCHER, Kind.HEADER, Kind.QUEEN_CLOSER


def lay(length_mm, key="stretcher", phase=0, height_mm=900.0, brick=UK, scale=FULL, **more):
    bond = get_bond(key)
    return lay_wall(length_mm, set_courses(height_mm, bond, brick, scale), bond, brick, scale, phase, **more)


def kinds(laying, course):
    return [Kind(kind) for kind in laying.patterns[laying.course_pattern[course]].kinds]


def test_stretcher_and_header_swap_with_every_course_and_with_the_phase():
    first, second = lay(890), lay(890, phase=1)
    assert kinds(first, 0) == kinds(second, 1) == [S] * 4
    assert kinds(first, 1) == kinds(second, 0) == [H, S, S, S, H]
    assert kinds(first, 2) == kinds(first, 0)


def test_closer_stands_next_to_the_quoin_header():
    assert kinds(lay(890, "english"), 1) == [H, Q, H, H, H, H, H, Q, H]


def test_bounds_are_centres_half_a_joint_outside_the_wall():
    laying = lay(890)
    np.testing.assert_allclose(laying.patterns[0].bounds_mm, [-5, 220, 445, 670, 895], atol=1e-9)
    assert laying.perpend_change_m == pytest.approx(0)


def test_perpends_are_opened_evenly():
    laying = lay(8970)
    assert not laying.broken
    assert laying.perpend_change_m == pytest.approx(8980 / 9000 * 0.225 - 0.225)
    widths = np.diff(laying.patterns[0].bounds_mm)
    np.testing.assert_allclose(widths, widths[0])


def test_opposite_ends_make_half_a_brick_more_fit():
    assert lay(1002.5).broken
    laying = lay(1002.5, end_phase=1)
    assert not laying.broken
    assert kinds(laying, 0) == [S, S, S, S, H]
    assert kinds(laying, 1) == [H, S, S, S, S]


def test_broken_bond_is_told_with_the_length_that_would_fit():
    laying = lay(1002.5, where="wall A")
    (finding,) = laying.findings
    assert finding.code == "broken-bond"
    assert finding.part == "wall A"
    assert "890.0 mm" in finding.remedy


def test_half_bats_stand_at_stopped_ends_and_jambs():
    laying = lay(890, ends=(End.STOPPED, End.JAMB))
    assert kinds(laying, 1) == [Kind.HALF_BAT, S, S, S, Kind.HALF_BAT]
    assert kinds(lay(890, "english", ends=(End.STOPPED, End.JAMB)), 1)[:2] == [H, Q]


def test_inner_corner_butts_with_a_joint_and_runs_through_by_turns():
    laying = lay(900, ends=(End.QUOIN, End.RETURN))
    butting, through = laying.patterns
    assert butting.bounds_mm[-1] == pytest.approx(895)
    assert through.bounds_mm[-1] == pytest.approx(905)
    np.testing.assert_allclose(butting.bounds_mm[:-1], [-5, 220, 445, 670], atol=1e-9)
    left = lay(900, ends=(End.RETURN, End.QUOIN))
    assert left.patterns[0].bounds_mm[0] == pytest.approx(5)
    assert left.patterns[1].bounds_mm[0] == pytest.approx(-5)


@pytest.mark.parametrize("key", ["stretcher", "english", "flemish", "header"])
def test_short_walls_are_bonded_without_slivers(key):
    for length in (215, 300, 327.5, 440, 500):
        laying = lay(length, key)
        for pattern in laying.patterns:
            narrow = np.diff(pattern.bounds_mm) < 110
            assert np.all(pattern.kinds[narrow] == Kind.QUEEN_CLOSER)
        first, second = (laying.patterns[pattern].bounds_mm[1:-1] for pattern in laying.course_pattern[:2])
        if len(first) and len(second):
            assert np.abs(first[:, None] - second).min() > 40


def test_one_brick_pier_is_a_stretcher_over_two_headers():
    laying = lay(215)
    assert kinds(laying, 0) == [S]
    assert kinds(laying, 1) == [H, H]
    assert not laying.broken


def test_stack_bond_has_no_lap():
    laying = lay(890, "stack")
    assert len(laying.patterns) == 1
    assert kinds(lay(890, "stack", phase=1), 0) == [H, S, S, S, H]


def test_rat_trap_has_no_closers():
    laying = lay(2300, "rat_trap")
    assert all(Q not in pattern.kinds for pattern in laying.patterns)


def test_fits_unbroken_agrees_with_laying():
    bond = get_bond("flemish")
    for length in np.linspace(900, 9000, 60):
        for phases in ((0, 0), (0, 1)):
            change = fits_unbroken(length, bond, UK, FULL, phases)
            laying = lay(length, "flemish", end_phase=phases[1])
            assert laying.broken == (change is None)
            if change is not None:
                assert change == pytest.approx(laying.perpend_change_m)


@pytest.mark.parametrize("length", [0, -1, float("nan")])
def test_no_length_is_refused(length):
    with pytest.raises(KitError, match="wall A"):
        lay(length, where="wall A")


def test_scale_makes_everything_smaller_by_one_factor():
    small = lay(890 / 76.2, scale=parse_scale("1:76.2"), height_mm=900 / 76.2)
    for one, other in zip(small.patterns, lay(890).patterns, strict=True):
        np.testing.assert_allclose(one.bounds_mm * 76.2, other.bounds_mm)
