"""Every setting is written once: one record, one key in the kit file, and choices that the core really has."""

import re
from dataclasses import fields
from pathlib import Path

import pytest

from halfbat.kitfile import kit_file_from_text
from halfbat.printing.processes import PRESETS
from halfbat.settings import Settings, group_classes, iter_settings, list_classes, settings_of, value_of
from halfbat.settings.features import FEATURE_LENGTHS, FINISH_LENGTHS
from halfbat.surfaces.bonds import BONDS
from halfbat.surfaces.formats import FORMATS

RECORDS = list(iter_settings(Settings))
OPENING_LENGTHS = ("at", "width", "height", "sill_height", "rise")
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
        "chimneys",
        "roof_lights",
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


@pytest.mark.parametrize(("group", "record"), RECORDS, ids=IDS)
def test_a_number_says_what_is_usual(group, record):
    if record.kind in ("int", "float"):
        assert re.search(r"\bUsual|\busual|\b0 (takes|goes|is)\b|\bbest\b", record.help), record.help


LENGTH_LISTS = [
    pytest.param(name, record, id=f"{name}.{record.key}")
    for name, request_class in list_classes(Settings).items()
    for record in settings_of(request_class)
    if record.key in {*FEATURE_LENGTHS, *FINISH_LENGTHS, *OPENING_LENGTHS}
    and (name, record.key) not in {("features", "top"), ("features", "size")}
]


@pytest.mark.parametrize(("name", "record"), LENGTH_LISTS)
def test_a_length_of_a_request_shows_how_it_is_written(name, record):
    assert re.search(r"\d (m|mm|in|courses|bricks)\b|\dft\b", record.help), record.help


def choices(group, key):
    return next(record.choices for owner, record in RECORDS if (owner, record.key) == (group, key))


def test_choices_are_what_there_is():
    assert choices("brick", "format") == (*(brick.key for brick in FORMATS), "custom")
    assert set(choices("brick", "bond")) == {bond.key for bond in BONDS}
    assert {*choices("resin", "preset"), *choices("filament", "preset")} == {process.preset for process in PRESETS}
