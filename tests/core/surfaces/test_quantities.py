import pytest

from halfbat.surfaces.bonds import get_bond
from halfbat.surfaces.coursing import set_courses
from halfbat.surfaces.formats import get_format
from halfbat.surfaces.laying import lay_wall
from halfbat.surfaces.pieces import Kind
from halfbat.surfaces.quantities import count_units, facing_per_m2
from halfbat.units import parse_scale

UK, SCALE = get_format("uk_metric"), parse_scale("1:148")


def lay(key, length_mm, height_mm):
    bond = get_bond(key)
    height = SCALE.to_mm(height_mm / 1000)
    return lay_wall(SCALE.to_mm(length_mm / 1000), set_courses(height, bond, UK, SCALE), bond, UK, SCALE)


def test_units_are_counted_by_kind():
    # Five courses of four stretchers, five of six and a half headers' worth with two closers each.
    assert count_units(lay("english", 890, 750)) == {Kind.STRETCHER: 20, Kind.HEADER: 35, Kind.QUEEN_CLOSER: 10}


def test_facing_counts_every_unit_on_the_full_size_area():
    assert facing_per_m2(lay("english", 890, 750), SCALE) == pytest.approx(65 / (0.89 * 0.75))
