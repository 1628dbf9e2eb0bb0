from dataclasses import replace

import pytest

from halfbat.errors import KitError
from halfbat.settings import OpeningRequest, Settings, check_settings, parse_panes, settings_of
from halfbat.surfaces.opening_specs import ARCHES

DOOR = OpeningRequest("A", "1.2 m", "910 mm", "28 courses")


def test_every_field_is_a_setting_with_its_help():
    records = settings_of(OpeningRequest)
    assert [record.key for record in records] == list(OpeningRequest.__slots__)
    assert all(record.label and record.help.endswith((".", ")")) for record in records)
    heads = next(record.choices for record in records if record.key == "head")
    assert set(ARCHES) < set(heads)


def test_openings_made_in_code_are_checked():
    check_settings(Settings(openings=(DOOR,)))
    with pytest.raises(KitError, match=r"'arch' is not known here \(opening 2 head\)"):
        check_settings(Settings(openings=(DOOR, replace(DOOR, head="arch"))))
    with pytest.raises(KitError, match="5 is out of range"):
        check_settings(Settings(openings=(replace(DOOR, rings=5),)))


@pytest.mark.parametrize(("text", "panes"), [("2x3", (2, 3)), (" 1 X 12 ", (1, 12)), ("4×2", (4, 2))])
def test_panes(text, panes):
    assert parse_panes(text, "") == panes


@pytest.mark.parametrize("text", ["", "2", "0x1", "13x1", "axb", "2x3x4"])
def test_panes_that_are_none(text):
    with pytest.raises(KitError, match="is not a number of panes"):
        parse_panes(text, "")
