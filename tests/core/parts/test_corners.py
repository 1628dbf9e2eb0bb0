"""Corners by hand-reckoned numbers, and drawn in plan and judged by shapely."""

from itertools import product
from math import cos, radians, sin, sqrt, tan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon, box, union
from shapely.affinity import rotate

from halfbat.parts.corners import NEARLY_STRAIGHT_DEG, End, Fits, corner_ends

FITS = Fits(land_mm=0.2, gap_mm=0.1, relief_mm=0.3)
GLUE = 0.12
FAR = 30.0


def ends(degrees, depths=(1.5, 1.5), fits=FITS):
    return corner_ends(degrees, depths, fits)


def section(end: End, depth: float, degrees: float | None = None) -> Polygon:
    """The end of a skin in plan: the corner is the origin, the first wall comes along x, its inside is above it."""
    points = [(end.face_mm, 0.0), *(end.profile_mm or ((end.face_mm, depth),)), (FAR, depth), (FAR, 0.0)]
    if degrees is None:
        return Polygon([(-u, d) for u, d in points])
    turn = radians(180 - degrees)
    along, inward = (cos(turn), sin(turn)), (-sin(turn), cos(turn))
    return Polygon([(u * along[0] + d * inward[0], u * along[1] + d * inward[1]) for u, d in points])


def shell(degrees: float, depths: tuple[float, float]) -> Polygon:
    """What lies behind both skins and their glue, near the corner."""
    first = box(-FAR, depths[0] + GLUE, FAR, FAR)
    second = rotate(box(-FAR, depths[1] + GLUE, FAR, FAR), 180 - degrees, origin=(0, 0))
    return (first.intersection(second) if degrees <= 180 else union(first, second)).intersection(box(-9, -9, 9, 9))


def test_right_angle_is_rebated():
    keeping, stopping = ends(90)
    # 0.1 mm square to the bisector less what the lip's own gap already takes: (0.1 - 0.1 / sqrt 2) * sqrt 2.
    over = 0.1 * sqrt(2) - 0.1
    assert (keeping.face_mm, keeping.slope) == (0.0, pytest.approx(0))
    np.testing.assert_allclose(
        keeping.profile_mm, [(0, 0.2), (0.2 + over, 0.2), (1.2 + over, 1.2), (1.8 + over, 1.5)], atol=1e-12
    )
    assert (stopping.face_mm, stopping.slope) == (pytest.approx(0.3), pytest.approx(0))
    np.testing.assert_allclose(stopping.profile_mm, [(0.3, 0.2), (1.3, 1.2), (1.9, 1.5)], atol=1e-12)


def test_sixty_degrees_is_rebated_with_a_leaning_lip():
    keeping, stopping = ends(60)
    assert keeping.face_mm == 0
    assert keeping.slope == pytest.approx(1 / sqrt(3))
    assert keeping.profile_mm[0] == pytest.approx((0.2 / sqrt(3), 0.2))
    assert stopping.face_mm == pytest.approx(0.3 * 2 / sqrt(3))
    assert stopping.slope == pytest.approx(1 / sqrt(3))
    # Along the bisector the inside moves by the cotangent of 30 degrees for each millimetre of depth.
    (u0, d0), (u1, d1) = stopping.profile_mm[-3:-1]
    assert (u1 - u0) / (d1 - d0) == pytest.approx(sqrt(3))


def test_blunt_corner_is_a_plain_mitre_taken_off_behind():
    end, other = ends(120)
    shift = 0.05 / sin(radians(60))
    assert end == other
    assert end.face_mm == pytest.approx(shift)
    assert end.slope == pytest.approx(1 / sqrt(3))
    np.testing.assert_allclose(
        end.profile_mm, [(1.2 / sqrt(3) + shift, 1.2), (1.5 / sqrt(3) + shift + 0.3, 1.5)], atol=1e-12
    )


@pytest.mark.parametrize("degrees", [180, 185, 209, 225, 239])
def test_ends_at_blunt_inner_corners_are_upright(degrees):
    for end in ends(degrees):
        # Wider square to the corner where that turns far, so that the gap is kept.
        face = 0.05 if degrees < 210 else 0.05 / cos(radians(degrees - 180) / 2)
        assert (end.face_mm, end.slope, end.profile_mm) == (pytest.approx(face), 0.0, ())


def test_the_back_of_a_thick_skin_is_taken_off_at_a_blunt_inner_corner():
    thin, thick = ends(225, (1.15, 1.8))
    assert thin.profile_mm == ()
    # It stays in front of the back of the thin one, at 45 degrees to its own.
    (start, deep), (stop, depth) = thick.profile_mm
    assert start == thick.face_mm and depth == 1.8
    assert (stop - start) == pytest.approx(depth - deep)
    assert deep == pytest.approx(1.15 * sqrt(2) + thick.face_mm)


def test_inner_right_angle_is_butted():
    runs_on, butts = ends(270, (1.15, 1.65))
    assert (runs_on.face_mm, runs_on.covered_mm) == (pytest.approx(-1.65), pytest.approx(1.65))
    assert (butts.face_mm, butts.slope, butts.profile_mm) == (pytest.approx(0.1), 0.0, ())
    # Round the other way the thinner skin is the second one, and runs on.
    assert ends(270, (1.65, 1.15)) == (butts, runs_on)


def test_inner_corner_of_an_equilateral_porch_is_butted_along_the_first_face():
    runs_on, butts = ends(240)
    # The run ends where both backs meet: depth * (1 - cos 60) / sin 60.
    assert runs_on.face_mm == pytest.approx(-1.5 * 0.5 / sqrt(0.75))
    assert butts.face_mm == pytest.approx(0.1 / sqrt(0.75))
    assert butts.slope == pytest.approx(1 / sqrt(3))
    assert butts.profile_mm == (pytest.approx((1.5 / sqrt(3) + 0.1 / sqrt(0.75), 1.5)),)


@pytest.mark.parametrize("degrees", [29, 20, 12])
@pytest.mark.parametrize("depths", [(1.5, 1.5), (1.2, 1.65)])
def test_at_corners_too_sharp_skins_end_where_their_backs_meet(degrees, depths):
    one, other = ends(degrees, depths)
    first, second = section(one, depths[0]), section(other, depths[1], degrees)
    assert first.distance(second) == pytest.approx(FITS.gap_mm, abs=0.02)
    # Any further on, one would stand in the other.
    longer = section(End(one.face_mm - 1.0), depths[0])
    assert longer.intersects(section(End(other.face_mm - 1.0), depths[1], degrees))


@pytest.mark.parametrize("degrees", [331, 345, 358])
def test_skins_in_a_slit_part_by_themselves(degrees):
    one, other = ends(degrees)
    assert not section(one, 1.5).intersects(section(other, 1.5, degrees))


ANGLES = (30, 40, 60, 75, 89, 90, 91, 108, 119, 120, 121, 135, 150, 170, 179, 179.9)
INNER = (180, 180.1, 190, 209, 210, 225, 239, 240, 250, 269, 270, 271, 300, 330)


@pytest.mark.parametrize(
    ("degrees", "depths"), list(product((*ANGLES, *INNER), [(1.15, 1.15), (1.15, 1.65), (1.65, 1.15), (3.0, 1.2)]))
)
def test_skins_keep_their_gap_and_clear_the_shell(degrees, depths):
    if abs(degrees - 180) < NEARLY_STRAIGHT_DEG:
        depths = (depths[0], depths[0])  # as the walls of a kit that meet nearly straight
    first, second = ends(degrees, depths)
    a, b = section(first, depths[0]), section(second, depths[1], degrees)
    assert a.is_valid and b.is_valid
    straight = 180 <= degrees < 210
    least = FITS.gap_mm * cos(radians((degrees - 180) / 2)) if straight else FITS.gap_mm
    assert a.distance(b) == pytest.approx(least, abs=1e-6)
    behind = shell(degrees, depths)
    assert min(a.distance(behind), b.distance(behind)) >= GLUE - 1e-6


@pytest.mark.parametrize(
    ("degrees", "gap", "land", "relief"), list(product((30, 45, 90, 140, 225), (0, 0.4), (0.15, 0.5), (0, 1)))
)
def test_every_choice_of_fits_keeps_its_gap(degrees, gap, land, relief):
    first, second = ends(degrees, (1.4, 1.4), Fits(land, gap, relief, wall_mm=0.8))
    assert section(first, 1.4).distance(section(second, 1.4, degrees)) == pytest.approx(gap, abs=1e-6)


def thickness(end: End, depth: float, in_mm: float) -> float:
    """Of the end of a skin, so far in from its outermost point."""
    body = section(end, depth)
    line = body.bounds[2] - in_mm
    return body.intersection(box(line - 1e-6, -1, line + 1e-6, 9)).area / 2e-6


@pytest.mark.parametrize("degrees", [*ANGLES, *INNER])
def test_no_edge_is_sharper_than_sixty_degrees_or_thinner_than_the_land(degrees):
    for end in ends(degrees):
        assert np.degrees(np.arctan2(1, end.slope)) >= 60 - 1e-9
        if 60 <= degrees < 120:
            assert end.profile_mm[0][1] == FITS.land_mm
        # Sixty degrees rise by 0.2 mm over 0.12 mm, more than the land.
        assert thickness(end, 1.5, 0.12) > FITS.land_mm - 1e-3


@given(st.floats(30, 120), st.floats(1.1, 3), st.floats(1.1, 3))
def test_no_stretch_at_an_outer_corner_is_thin_over_more_than_an_edge(degrees, one, other):
    # As the check of thin stretches has it: 1.5 mm.
    fits = Fits(0.2, 0.1, 0.3, wall_mm=0.8)
    for end, depth in zip(ends(degrees, (one, other), fits), (one, other), strict=True):
        assert thickness(end, depth, 1.5) >= 0.8 - 1e-3


@pytest.mark.parametrize("degrees", [30, 40, 59])
def test_the_arris_of_a_sharp_corner_is_blunted_no_further_than_the_land(degrees):
    keeping, _ = ends(degrees, fits=Fits(0.2, 0.1, 0.3, wall_mm=0.8))
    assert keeping.face_mm == pytest.approx(0.2 / tan(radians(degrees)))
    # Its lip is flush with the face of the other wall from there on, and as thick as the smallest wall.
    np.testing.assert_allclose(keeping.profile_mm[:2], [(d / tan(radians(degrees)), d) for d in (0.2, 0.8)])


def test_reach_and_outermost():
    keeping, stopping = ends(100)
    assert keeping.outermost_mm == pytest.approx(0.2 * cos(radians(100)) / sin(radians(100)))
    assert keeping.reach_mm == keeping.profile_mm[-1][0]
    assert stopping.outermost_mm == pytest.approx(min(stopping.face_mm, stopping.profile_mm[0][0]))
    assert End(-1.2).reach_mm == End(-1.2).outermost_mm == -1.2


@pytest.mark.parametrize("degrees", [0.0, 1e-9, 0.5, 359.5, 360.0])
def test_walls_that_fold_back_on_each_other_end_somewhere(degrees):
    assert all(np.isfinite(end.reach_mm) for end in ends(degrees))
