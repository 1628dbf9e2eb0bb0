"""Brickwork dimension tables, UK metric.

Source: a trade body's technical information sheet "Brickwork Dimensions" (CO is n x 225; CO + 10 an opening, CO - 10 a
pier or an outside length, CO a panel from an outer to an inner corner). Rows for 8, 10 and 20 bricks are arithmetic.
"""

import numpy as np
import pytest

from halfbat.surfaces.bonds import get_bond
from halfbat.surfaces.coursing import set_courses
from halfbat.surfaces.formats import get_format
from halfbat.surfaces.laying import End, lay_wall
from halfbat.surfaces.pieces import Kind
from halfbat.surfaces.rectangles import Lattice, rectangles
from halfbat.units import parse_scale

UK, STRETCHER, FULL = get_format("uk_metric"), get_bond("stretcher"), parse_scale("1:1")
NO_LATTICE = Lattice(0.0, 0.0)
COURSES = set_courses(300, STRETCHER, UK, FULL)

#: Bricks, CO + 10, CO, CO - 10, millimetres.
TABLE = [
    (0.5, 122.5, 112.5, 102.5),
    (1, 235, 225, 215),
    (1.5, 347.5, 337.5, 327.5),
    (2, 460, 450, 440),
    (2.5, 572.5, 562.5, 552.5),
    (3, 685, 675, 665),
    (4, 910, 900, 890),
    (5.5, 1247.5, 1237.5, 1227.5),
    (6, 1360, 1350, 1340),
    (8, 1810, 1800, 1790),
    (10, 2260, 2250, 2240),
    (20, 4510, 4500, 4490),
    (34, 7660, 7650, 7640),
    (38.5, 8672.5, 8662.5, 8652.5),
    (71.5, 16097.5, 16087.5, 16077.5),
]


def lay(length_mm, bricks, ends):
    """Lay a stretch; one of half bricks ends as it does not begin."""
    end_phase = 0 if bricks == int(bricks) else 1
    return lay_wall(length_mm, COURSES, STRETCHER, UK, FULL, 0, end_phase=end_phase, ends=ends)


@pytest.mark.parametrize(("bricks", "opening", "panel", "pier"), TABLE)
def test_outside_lengths_are_whole_bricks(bricks, opening, panel, pier):
    laying = lay(pier, bricks, (End.QUOIN, End.QUOIN))
    assert laying.perpend_change_m == pytest.approx(0, abs=1e-12)
    assert laying.broken == (bricks == 0.5)
    stretchers = np.count_nonzero(laying.patterns[0].kinds == Kind.STRETCHER)
    assert stretchers == int(bricks)


@pytest.mark.parametrize(("bricks", "opening", "panel", "pier"), TABLE)
def test_panels_from_an_outer_to_an_inner_corner_are_whole_bricks(bricks, opening, panel, pier):
    laying = lay(panel, bricks, (End.QUOIN, End.RETURN))
    assert laying.perpend_change_m == pytest.approx(0, abs=1e-12)
    assert laying.broken == (bricks == 0.5)


@pytest.mark.parametrize(("bricks", "opening", "panel", "pier"), [row for row in TABLE if row[0] % 1 == 0])
def test_bricks_left_out_make_the_opening(bricks, opening, panel, pier):
    laying = lay((bricks + 4) * 225 - 10, bricks, (End.QUOIN, End.QUOIN))
    found = rectangles(laying, 10.0, 10.0, NO_LATTICE, NO_LATTICE)
    first = found.course == 0
    # Two bricks each side stay: from the second one's right edge to the left edge of the one after the gap.
    assert found.u0[first][2 + int(bricks)] - found.u1[first][1] == pytest.approx(opening)


@pytest.mark.parametrize(
    ("courses", "height_mm"),
    # The same sheet; 4 = 300 also in a bricklaying glossary.
    [(4, 300), (8, 600), (12, 900), (14, 1050), (16, 1200), (24, 1800), (28, 2100), (32, 2400), (36, 2700)],
)
def test_courses_to_heights(courses, height_mm):
    coursing = set_courses(height_mm, STRETCHER, UK, FULL)
    assert coursing.courses == courses
    assert coursing.findings == ()
    # Brick to brick, n courses are one joint less.
    laying = lay_wall(890, coursing, STRETCHER, UK, FULL)
    found = rectangles(laying, 10.0, 10.0, NO_LATTICE, NO_LATTICE)
    assert found.v1.max() - found.v0.min() == pytest.approx(75 * courses - 10)


def test_thirteen_courses_are_not_a_metre():
    # Site rule "13 courses to the metre" is 2.5 % out; 13.33 is exact.
    coursing = set_courses(1000, STRETCHER, UK, FULL)
    assert coursing.courses == 13
    assert coursing.gauge_mm == pytest.approx(1000 / 13)


def test_german_outside_lengths():
    # DIN 4172: outside n x 125 - 10, such as 0.99
    german = get_format("german_nf")
    laying = lay_wall(990, set_courses(1000, STRETCHER, german, FULL), STRETCHER, german, FULL)
    assert not laying.broken
    assert laying.perpend_change_m == pytest.approx(0, abs=1e-12)
