from dataclasses import FrozenInstanceError, replace

import pytest

from halfbat.errors import KitError
from halfbat.settings import Settings, check_settings, iter_settings, value_of, with_value


def test_defaults_are_allowed_and_are_what_the_records_say():
    check_settings(Settings())
    for group, record in iter_settings(Settings):
        assert value_of(Settings(), group, record.key) == record.default


def test_with_value_changes_one_value_and_leaves_the_settings_alone():
    before = Settings()
    after = with_value(before, "brick", "bond", "english")
    assert (before.brick.bond, after.brick.bond) == ("stretcher", "english")
    assert replace(after, brick=before.brick) == before


@pytest.mark.parametrize(
    ("group", "key", "value"),
    [
        ("brick", "bond", "herringbone"),
        ("skin", "glue_gap_mm", -0.1),
        ("resin", "pixel_x_mm", 0),
        ("kit", "scale", "1:0"),
        ("kit", "name", "../x"),
    ],
)
def test_values_that_are_not_allowed(group, key, value):
    with pytest.raises(KitError, match=f"{group}.{key}"):
        with_value(Settings(), group, key, value)
    groups = {group: replace(getattr(Settings(), group), **{key: value})}
    with pytest.raises(KitError, match=f"{group}.{key}"):
        check_settings(replace(Settings(), **groups))


def test_settings_are_frozen():
    with pytest.raises(FrozenInstanceError):
        Settings().brick.bond = "english"
