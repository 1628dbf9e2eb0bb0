"""Lintels, soldier courses and sills against published rules."""

import pytest

from halfbat.surfaces.lintels import bearing_m, seat_m
from halfbat.surfaces.openings import opening_units
from halfbat.surfaces.sills import PROJECTION_M
from opening_samples import masonry, spec

WALL = masonry(6.74, 3.6)


@pytest.mark.parametrize(("span_m", "least_m"), [(0.6, 0.1), (1.2, 0.1), (1.21, 0.15), (2.4, 0.15)])
def test_bearing(span_m, least_m):
    # NHBC Standards 6.1.12, table 5: 100 mm up to a span of 1.2 m, 150 mm beyond (simple lintels).
    assert bearing_m(span_m) == least_m
    assert seat_m(span_m, 0.1125, 0.010) >= least_m
    (lintel,) = opening_units(spec(WALL, width=span_m), WALL).units
    overall = (lintel.ring[:, 0].max() - lintel.ring[:, 0].min()) * 76.2 / 1000
    assert (overall - span_m) / 2 >= least_m - 1e-4


def test_lintels_are_whole_courses_high():
    (lintel,) = opening_units(spec(WALL), WALL).units
    high = lintel.ring[:, 1].max() - lintel.ring[:, 1].min()
    assert (high + WALL.joint_v_mm) / WALL.gauge_mm == pytest.approx(2, abs=0.04)


def test_a_soldier_course_is_a_brick_high_which_is_three_courses():
    # 215 = 225 less a joint: bricklaying glossary; geometry. 910 = 12 x 75 + 10.
    soldiers = opening_units(spec(WALL, head="soldier course"), WALL).units
    assert len(soldiers) == 12
    high = soldiers[0].ring[:, 1].max() - soldiers[0].ring[:, 1].min()
    assert (high + WALL.joint_v_mm) * 76.2 == pytest.approx(225, abs=4)


def test_bricks_on_edge_go_three_to_a_brick_length():
    # Bricklaying book: 75 pitch.
    made = spec(WALL, width=9 * 0.075 + 0.010, sill="brick on edge")
    assert sum(unit.kind == "sill brick" for unit in opening_units(made, WALL).units) == 9


def test_projection_of_sills():
    # 40 to 50 mm: UK article on sills.
    assert 0.040 <= PROJECTION_M <= 0.050
