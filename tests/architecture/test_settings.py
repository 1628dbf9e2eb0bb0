"""Every setting is written once: one record, one key in the kit file, and choices that the core really has."""

from dataclasses import fields
from pathlib import Path

import pytest

from halfbat.kitfile import kit_file_from_text
from halfbat.printing.processes import PRESETS
from halfbat.settings import Settings, group_classes, iter_settings, settings_of, value_of
from halfbat.surfaces.bonds import BONDS
from halfbat.surfaces.formats import FORMATS

RECORDS = list(iter_settings(Settings))
IDS = [f"{group}.{record.key}" for group, record in RECORDS]


def toml(value):
    if isinstance(value, bool):
        return str(value).lower()
    return f'"{value}"' if isinstance(value, str) else repr(value)


@pytest.mark.parametrize(("group", "record"), RECORDS, ids=IDS)
def test_every_setting_has_one_kit_file_key(group, record):
    text = f"[{group}]\n{record.key} = {toml(record.default)}\n[building]\nbox = [9, 5, 3]\n"
    settings = kit_file_from_text(text, "x.toml", Path()).settings
    assert value_of(settings, group, record.key) == record.default


def test_every_field_of_a_group_is_a_setting():
    for group_class in group_classes(Settings).values():
        assert [record.key for record in settings_of(group_class)] == [item.name for item in fields(group_class)]
    assert {item.name for item in fields(Settings)} - set(group_classes(Settings)) == {
        "seams",
        "no_seams",
        "downpipes",
        "cable_runs",
        "openings",
        "features",
        "finishes",
    }


@pytest.mark.parametrize(("group", "record"), RECORDS, ids=IDS)
def test_a_record_says_all_an_interface_needs(group, record):
    assert record.label and record.label[0].isupper()
    assert record.help.endswith((".", ")")) and len(record.help) < 200
    if record.kind in ("int", "float"):
        assert record.minimum <= record.default <= record.maximum
    if record.kind == "choice":
        assert record.default in record.choices
        assert len(record.choice_labels) == len(record.choices) == len(set(record.choices))
    ending = record.key.rpartition("_")[2]
    assert record.unit == (ending if ending in ("mm", "px", "m") else "")
    if record.unit == "mm":
        assert "mm" in record.help


def choices(group, key):
    return next(record.choices for owner, record in RECORDS if (owner, record.key) == (group, key))


def test_choices_are_what_there_is():
    assert choices("brick", "format") == (*(brick.key for brick in FORMATS), "custom")
    assert set(choices("brick", "bond")) == {bond.key for bond in BONDS}
    assert {*choices("resin", "preset"), *choices("filament", "preset")} == {process.preset for process in PRESETS}
