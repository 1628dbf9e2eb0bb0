from math import inf, nan

import pytest

from halfbat.errors import KitError
from halfbat.settings.brickwork import FORMAT_CHOICES
from halfbat.surfaces.formats import FORMATS, custom_format, get_format


def test_every_choice_of_the_settings_exists():
    for key in FORMAT_CHOICES:
        assert key == "custom" or get_format(key).key == key


def test_keys_are_unique():
    assert len({brick.key for brick in FORMATS}) == len(FORMATS)


@pytest.mark.parametrize("brick", FORMATS, ids=lambda brick: brick.key)
def test_sizes_make_a_brick(brick):
    assert brick.length_m > brick.width_m > brick.joint_m > 0
    assert 0 < brick.height_m < brick.gauge_m
    assert 0.008 < brick.bed_joint_m < 0.0135


def test_unknown_format_is_refused_with_the_names_of_all():
    with pytest.raises(KitError, match=r"uk_metric, .*australian"):
        get_format("engineering")


def test_custom_format_takes_any_sensible_sizes():
    brick = custom_format(0.2, 0.095, 0.06, 0.01, 0.07)
    assert brick.stretcher_module_m == pytest.approx(0.21)
    assert brick.header_module_m == pytest.approx(0.105)


@pytest.mark.parametrize(
    "sizes",
    [
        (0.0, 0.1, 0.06, 0.01, 0.07),
        (-0.2, 0.1, 0.06, 0.01, 0.07),
        (nan, 0.1, 0.06, 0.01, 0.07),
        (inf, 0.1, 0.06, 0.01, 0.07),
        (0.1, 0.2, 0.06, 0.01, 0.07),
        (0.2, 0.1, 0.06, -0.01, 0.07),
        (0.2, 0.1, 0.06, 0.11, 0.07),
        (0.2, 0.1, 0.06, 0.01, 0.05),
    ],
)
def test_custom_format_refuses_what_is_no_brick(sizes):
    with pytest.raises(KitError):
        custom_format(*sizes)
