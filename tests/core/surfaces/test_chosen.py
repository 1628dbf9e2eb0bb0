from dataclasses import replace

import pytest

from halfbat.errors import KitError
from halfbat.settings import BrickSettings
from halfbat.surfaces.bonds import get_bond
from halfbat.surfaces.chosen import chosen_bond, chosen_format, length_in_bricks_m


def test_published_and_custom_formats():
    assert chosen_format(BrickSettings(format="german_nf")).length_m == pytest.approx(0.240)
    custom = chosen_format(BrickSettings(format="custom", custom_length_mm=228.6, custom_gauge_mm=76.2))
    assert (custom.length_m, custom.width_m, custom.gauge_m) == pytest.approx((0.2286, 0.1025, 0.0762))


def test_a_custom_brick_that_is_none():
    with pytest.raises(KitError, match="wider than it is long"):
        chosen_format(BrickSettings(format="custom", custom_length_mm=100.0, custom_width_mm=200.0))


def test_the_number_of_stretcher_courses_reaches_the_bond():
    three = BrickSettings(bond="english_garden_wall", stretcher_courses=3)
    assert (chosen_bond(three), chosen_bond(replace(three, stretcher_courses=5))) == (
        get_bond("english_garden_wall", 3),
        get_bond("english_garden_wall", 5),
    )
    assert chosen_bond(three) != chosen_bond(replace(three, stretcher_courses=5))
    assert chosen_bond(BrickSettings()).key == "stretcher"


def test_lengths_in_courses_and_bricks_of_the_chosen_kind():
    assert length_in_bricks_m("55 courses", BrickSettings()) == pytest.approx(4.125)
    assert length_in_bricks_m("44 bricks", BrickSettings(format="german_df")) == pytest.approx(11.0)
    # Bricks on edge: a course is a brick's width and a joint high.
    assert length_in_bricks_m("4 courses", BrickSettings(bond="rat_trap")) == pytest.approx(0.45)
