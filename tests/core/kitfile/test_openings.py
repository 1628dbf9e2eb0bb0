from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfbat.errors import KitError
from halfbat.kitfile import KitFile, kit_file_from_text, write_kit_file
from halfbat.settings import OpeningRequest, Settings, settings_of

BOX = "[building]\nbox = [9, 5, 3]\n"
LENGTHS = st.sampled_from(["1.2 m", "12'6\"", "4.5 bricks", "16 courses", "910 mm"])


def read(text):
    return kit_file_from_text(BOX + text, "lodge.toml", Path()).settings.openings


def values(record):
    if record.kind == "choice":
        return st.sampled_from(record.choices)
    if record.kind == "bool":
        return st.booleans()
    if record.kind == "int":
        return st.integers(int(record.minimum), int(record.maximum))
    return st.sampled_from(["1x1", "3x4"]) if record.key == "panes" else LENGTHS


@st.composite
def any_request(draw):
    drawn = {record.key: draw(values(record)) for record in settings_of(OpeningRequest)}
    return OpeningRequest(**{**drawn, "wall": draw(st.sampled_from(["A", "C", "AA"]))})


@given(st.lists(any_request(), max_size=3))
def test_openings_read_back_as_written(requests):
    kit_file = KitFile(Settings(openings=tuple(requests)), box_m=(9.0, 5.0, 3.0))
    assert kit_file_from_text(write_kit_file(kit_file), "x.toml", Path()) == kit_file


def test_the_shortest_opening():
    (door,) = read('[[opening]]\nwall = "b"\nat = 1.5\nwidth = "3ft"\nheight = "28 courses"\n')
    assert door == OpeningRequest("B", "1.5 m", "3ft", "28 courses")
    text = write_kit_file(KitFile(Settings(openings=(door,)), box_m=(9.0, 5.0, 3.0)))
    assert text.endswith('[[opening]]\nwall = "B"\nat = "1.5 m"\nwidth = "3ft"\nheight = "28 courses"\n')


NEEDED = '[[opening]]\nwall = "A"\nat = 1\nwidth = 1\nheight = 2\n'


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[opening]\nwall = 'A'\n", "'opening' must be a list of tables (lodge.toml): write [[opening]]"),
        ("[[openings]]\n", "there is no table [openings] (lodge.toml): did you mean 'opening'?"),
        ("[[opening]]\nat = 1\n", "the wall is missing or not a letter (lodge.toml, [[opening]] 1 wall)"),
        ("[[opening]]\nwall = 'A'\nat = 1\nwidth = 1\n", "'height' is missing or not a length"),
        (NEEDED + "haed = 'lintel'\n", "there is no key 'haed' (lodge.toml, [[opening]] 1): did you mean 'head'?"),
        (NEEDED + "head = 'segmntal arch'\n", "(lodge.toml, [[opening]] 1 head): did you mean 'segmental arch'?"),
        (NEEDED + NEEDED + "rings = 5\n", "5 is out of range (lodge.toml, [[opening]] 2 rings)"),
        (NEEDED + "rings = 1.5\n", "(lodge.toml, [[opening]] 1 rings): give a whole number from 1 to 4"),
        (NEEDED + "camber = 'yes'\n", "(lodge.toml, [[opening]] 1 camber): give true or false"),
        (NEEDED + "panes = '2'\n", "'2' is not a number of panes (lodge.toml, [[opening]] 1 panes)"),
        (NEEDED + "rise = 'high'\n", "'high' is not a length (lodge.toml, [[opening]] 1 rise)"),
        (NEEDED + "sill_height = -1\n", "is negative (lodge.toml, [[opening]] 1 sill_height)"),
    ],
)
def test_what_is_wrong_is_said_in_one_sentence(text, says):
    with pytest.raises(KitError) as refusal:
        read(text)
    assert says in str(refusal.value)
    assert "\n" not in str(refusal.value)
