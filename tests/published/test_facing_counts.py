"""Facing bricks to the square metre of every bond, laid on a wall, and the BIA factors.

Counts are exact geometry at 225 x 75 mm (one header is one facing brick, no waste, no quoins). Handbooks print rounded
or older figures: 60 stretcher and 120 one-brick wall; 86, 77, 72 and 67 (a local guide's English, Flemish, English and
Flemish garden wall); 89, 79 and 74 (from memory).
"""

from dataclasses import replace
from fractions import Fraction
from math import floor, lcm

import numpy as np
import pytest

from halfbat.surfaces.bonds import Bond, get_bond
from halfbat.surfaces.coursing import set_courses
from halfbat.surfaces.formats import get_format
from halfbat.surfaces.laying import lay_wall
from halfbat.surfaces.quantities import facing_per_m2
from halfbat.units import parse_scale

UK, SCALE = get_format("uk_metric"), parse_scale("1:148")
STRETCHER = 1 / (0.225 * 0.075)

#: Bond, stretcher courses, published count, source of the face pattern.
PUBLISHED = [
    ("stretcher", None, 59.26, "bricklaying glossary"),
    ("stack", None, 59.26, "trade page on bond patterns"),
    ("header", None, 118.52, "quantity notes"),
    ("english", None, 88.89, "bricklaying glossary; 19th-century textbook"),
    ("english_cross", None, 88.89, "building construction e-course"),
    ("dutch", None, 88.89, "building construction e-course; US texts call it English cross"),
    ("flemish", None, 79.01, "Modern Buildings vol. 1"),
    ("english_garden_wall", 3, 74.07, "construction textbook page"),
    ("english_garden_wall", 5, 69.14, "masonry handbook (Scottish bond)"),
    ("common", 5, 69.14, "construction textbook; header course every 4th to 7th"),
    ("flemish_garden_wall", None, 67.72, "construction textbook page (Sussex bond)"),
    ("monk", None, 71.11, "question page on monk bond"),
    ("rat_trap", None, 59.26, "architectural glossary: module 300 x 112.5 for a header and a stretcher"),
]


@pytest.mark.parametrize(("key", "courses", "per_m2", "source"), PUBLISHED)
def test_field_of_the_bond(key, courses, per_m2, source):
    assert get_bond(key, courses).facing_per_m2(UK) == pytest.approx(per_m2, abs=0.005), source


@pytest.mark.parametrize(("key", "courses", "per_m2", "source"), PUBLISHED)
@pytest.mark.parametrize("phase", [0, 1])
def test_laid_wall_of_a_hundred_square_metres(key, courses, per_m2, source, phase):
    bond = get_bond(key, courses)
    # Whole cycles of every bond high.
    coursing = set_courses(SCALE.to_mm(60 * bond.gauge_m(UK)), bond, UK, SCALE)
    laying = lay_wall(SCALE.to_mm(39.9), coursing, bond, UK, SCALE, phase)
    assert not laying.broken
    # Away from the quoins, over whole repeats of the bond: the published counts are for the field.
    modules = bond.modules(UK)
    repeat = lcm(
        *(modules.total(face.period) for row in bond.courses for face in (row.stretcher_face, row.header_face))
    )
    opened = 1 + laying.perpend_change_m / UK.stretcher_module_m
    width_mm = repeat * floor(30 / (repeat * modules.unit_m)) * SCALE.to_mm(modules.unit_m) * opened
    start_mm = SCALE.to_mm(3.0)
    perpends = [laying.patterns[pattern].bounds_mm - start_mm for pattern in laying.course_pattern]
    units = sum(int(np.count_nonzero((bounds >= 0) & (bounds < width_mm))) for bounds in perpends)
    area_m2 = width_mm / opened * laying.height_mm / SCALE.mm_per_m**2
    assert area_m2 > 100
    assert units / area_m2 == pytest.approx(per_m2, abs=0.01), source
    # With its quoins the whole wall takes a little more.
    assert facing_per_m2(laying, SCALE) == pytest.approx(per_m2, rel=0.015), source


@pytest.mark.parametrize("courses", [1, 2, 3, 4, 5, 6, 7])
def test_stretcher_courses_to_one_header_course(courses):
    # 59.26 (n + 2) / (n + 1), arithmetic
    expected = STRETCHER * (courses + 2) / (courses + 1)
    assert get_bond("english_garden_wall", courses).facing_per_m2(UK) == pytest.approx(expected)


def rows(*bonds: Bond) -> Bond:
    """Put the rows of several bonds over each other."""
    return replace(bonds[0], rows=tuple(row for bond in bonds for row in bond.courses), stretcher_courses=0)


@pytest.mark.parametrize(
    ("bond", "added"),
    # BIA Technical Note 10, correction factors to a running bond face count; the table is from memory, each factor
    # was derived again by arithmetic.
    [
        (get_bond("common", 4), Fraction(1, 5)),  # full headers every 5th course
        (get_bond("common", 5), Fraction(1, 6)),  # every 6th
        (get_bond("common", 6), Fraction(1, 7)),  # every 7th
        (get_bond("english"), Fraction(1, 2)),
        (get_bond("english_cross"), Fraction(1, 2)),
        (get_bond("flemish"), Fraction(1, 3)),
        (rows(*[get_bond("stretcher")] * 5, get_bond("flemish")), Fraction(1, 18)),  # Flemish headers every 6th
        (rows(get_bond("stretcher"), get_bond("flemish")), Fraction(1, 6)),  # Flemish cross
        (get_bond("monk"), Fraction(1, 5)),  # double-stretcher garden wall
        (get_bond("flemish_garden_wall"), Fraction(1, 7)),  # triple-stretcher garden wall
    ],
    ids=lambda value: getattr(value, "key", str(value)),
)
def test_bia_correction_factors(bond, added):
    assert bond.facing_per_m2(UK) / STRETCHER - 1 == pytest.approx(float(added))


def test_rat_trap_saves_a_quarter_of_the_bricks_of_a_solid_wall():
    # Architectural glossary; arithmetic: a one-brick wall in rat-trap bond is two leaves less the shared headers.
    # In each 300 x 112.5 of face stand two stretchers (front and back) and one header through.
    rat_trap = 3 / (0.3 * 0.1125)
    solid = 1 / (0.1125 * 0.075)
    assert 1 - rat_trap / solid == pytest.approx(0.25)
    assert get_bond("rat_trap").facing_per_m2(UK) * 3 / 2 == pytest.approx(rat_trap)


def test_imperial_flemish_and_english_to_the_square_yard():
    # Modern Buildings vol. 1: 64 facing bricks to the square yard in Flemish bond against 72 in English.
    # At 9 x 3 in courses that is exact: 1.5 and 4/3 bricks on 27 square inches, 1296 square inches to the yard.
    imperial = get_format("uk_imperial")
    yard_m2 = 0.9144**2
    assert get_bond("english").facing_per_m2(imperial) * yard_m2 == pytest.approx(72)
    assert get_bond("flemish").facing_per_m2(imperial) * yard_m2 == pytest.approx(64)
