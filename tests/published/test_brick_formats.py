"""Brick formats against published sizes, coursing and counts. The source of each figure stands beside it."""

import pytest

from halfbat.surfaces.bonds import get_bond
from halfbat.surfaces.coursing import set_courses
from halfbat.surfaces.formats import get_format
from halfbat.surfaces.laying import lay_wall
from halfbat.surfaces.quantities import facing_per_m2
from halfbat.units import parse_scale

FULL = parse_scale("1:1")
INCH = 25.4
SQUARE_FOOT_M2 = 0.3048**2


@pytest.mark.parametrize(
    ("key", "size_mm"),
    [
        ("uk_metric", (215, 102.5, 65)),  # BS 3921:1985 work size; BS EN 771-1 practice
        ("uk_imperial", (219.1, 104.8, 66.7)),  # BS 3921:1965 / BS 657, from memory
        ("us_modular", (7.625 * INCH, 3.625 * INCH, 2.25 * INCH)),  # BIA Technical Notes 10 and 10B
        ("us_standard", (8 * INCH, 3.625 * INCH, 2.25 * INCH)),  # BIA Technical Notes 10 and 10B
        ("us_norman", (11.625 * INCH, 3.625 * INCH, 2.25 * INCH)),  # BIA Technical Notes 10 and 10B
        ("german_nf", (240, 115, 71)),  # DIN 105
        ("german_df", (240, 115, 52)),  # DIN 105
        ("german_2df", (240, 115, 113)),  # DIN 105
        ("dutch_waal", (210, 100, 50)),  # Dutch practice, as sold
        ("dutch_waaldik", (210, 100, 65)),  # Dutch practice, as sold
        ("australian", (230, 110, 76)),  # AS/NZS 4455.1
    ],
)
def test_work_sizes(key, size_mm):
    brick = get_format(key)
    assert [brick.length_m * 1000, brick.width_m * 1000, brick.height_m * 1000] == pytest.approx(size_mm, abs=0.05)


@pytest.mark.parametrize(
    ("key", "courses", "height_mm"),
    [
        ("uk_metric", 4, 300),  # bricklaying glossary: gauge 4 courses to 300
        ("uk_imperial", 4, 12 * INCH),  # bricklaying glossary: 4 courses to 12 in at the least
        ("us_modular", 3, 8 * INCH),  # BIA 10B: 3 courses to 8 in
        ("us_engineer_modular", 5, 16 * INCH),  # BIA 10B
        ("us_closure_modular", 1, 4 * INCH),  # BIA 10B
        ("us_roman", 2, 4 * INCH),  # BIA 10B
        ("us_standard", 3, 8 * INCH),  # BIA 10B
        ("german_df", 16, 1000),  # DIN 4172: 16 courses to the metre
        ("german_nf", 12, 1000),  # DIN 4172
        ("german_2df", 8, 1000),  # DIN 4172
        ("australian", 7, 602),  # 86 mm courses; "7 courses = 600" is the rule of thumb, from memory
    ],
)
def test_coursing(key, courses, height_mm):
    coursing = set_courses(height_mm, get_bond("stretcher"), get_format(key), FULL)
    assert coursing.courses == courses
    assert coursing.findings == ()


@pytest.mark.parametrize(
    ("key", "module_mm"),
    [
        ("uk_metric", (225, 112.5)),  # BS 3921:1985 coordinating size
        ("uk_imperial", (9 * INCH, 4.5 * INCH)),  # 9 x 4 1/2 x 3 in format, from memory
        ("us_modular", (8 * INCH, 4 * INCH)),  # BIA 10B nominal size
        ("german_nf", (250, 125)),  # DIN 4172 octametre
        ("australian", (240, 120)),  # AS/NZS 4455.1 with 10 mm joints
    ],
)
def test_coordinating_sizes(key, module_mm):
    brick = get_format(key)
    assert (brick.stretcher_module_m * 1000, brick.header_module_m * 1000) == pytest.approx(module_mm)


def test_two_widths_and_a_joint_make_a_length():
    # UK rule, BS 3921; brickwork encyclopedia articles
    brick = get_format("uk_metric")
    assert 2 * brick.width_m + brick.joint_m == pytest.approx(brick.length_m)


def test_us_modular_bed_joint_follows_from_the_coursing():
    # 5/12 in = (8 - 3 x 2 1/4) / 3, arithmetic on BIA 10B
    assert get_format("us_modular").bed_joint_m / 0.0254 == pytest.approx(5 / 12)


def test_german_bed_joints():
    # DIN 105 with DIN 4172: 10.5 (DF) and 12.3 (NF)
    assert get_format("german_df").bed_joint_m * 1000 == pytest.approx(10.5)
    assert get_format("german_nf").bed_joint_m * 1000 == pytest.approx(12.3, abs=0.05)


@pytest.mark.parametrize(
    ("key", "per_m2"),
    [
        ("uk_metric", 59.26),  # 1 / (0.225 x 0.075); handbooks print 60
        ("german_df", 64),  # DIN 4172 modules
        ("german_nf", 48),  # DIN 4172 modules
        ("german_2df", 32),  # DIN 4172 modules
        ("dutch_waal", 72.7),  # Dutch practice at 62.5 mm courses; the course height is from memory
        ("dutch_waaldik", 60.6),  # Dutch practice at 75 mm courses; from memory
        ("australian", 48.45),  # 240 x 86 module, AS/NZS 4455.1
    ],
)
def test_stretchers_to_the_square_metre(key, per_m2):
    assert count(key) == pytest.approx(per_m2, rel=0.005)


@pytest.mark.parametrize(
    ("key", "per_square_foot"),
    [
        ("us_modular", 6.75),  # "675 to 100 square feet", estimating page; BIA 10
        ("us_engineer_modular", 5.625),  # BIA 10
        ("us_closure_modular", 4.5),  # BIA 10
        ("us_roman", 6.0),  # BIA 10
        ("us_norman", 4.5),  # BIA 10
        ("us_engineer_norman", 3.75),  # BIA 10
        ("us_utility", 3.0),  # BIA 10
        ("us_standard", 6.45),  # BIA 10
        ("us_engineer_standard", 5.37),  # BIA 10
        ("us_closure_standard", 4.30),  # BIA 10
    ],
)
def test_stretchers_to_the_square_foot(key, per_square_foot):
    # The headers at the quoins, counted whole, make up to half a part in a hundred.
    assert count(key) * SQUARE_FOOT_M2 == pytest.approx(per_square_foot, rel=0.006)


def count(key):
    """Lay about 140 m2 in stretcher bond and count."""
    brick, bond = get_format(key), get_bond("stretcher")
    # Bricks three times as long as wide stand in third bond, which is whole with a header at one end.
    third = bond.modules(brick).ratio == 3
    length_m = round(40 / brick.stretcher_module_m) * brick.stretcher_module_m - brick.joint_m
    length_mm = (length_m + (brick.header_module_m if third else 0)) * 1000
    coursing = set_courses(round(3.5 / brick.gauge_m) * brick.gauge_m * 1000, bond, brick, FULL)
    laying = lay_wall(length_mm, coursing, bond, brick, FULL, end_phase=1 if third else 0)
    assert not laying.broken
    return facing_per_m2(laying, FULL)
