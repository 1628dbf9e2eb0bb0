from pathlib import Path

import pytest

from halfbat.errors import KitError
from halfbat.kitfile import kit_file_from_text, write_kit_file
from halfbat.settings import RoofLightRequest

HEAD = "[building]\nbox = [9, 5, 3]\n[[roof_light]]\n"


def read(text):
    return kit_file_from_text(HEAD + text, "x.toml", Path())


def test_what_is_left_out_keeps_its_default():
    (light,) = read('slope = "b"\nat = 2.4\nup = "5 courses"\n').settings.roof_lights
    assert light == RoofLightRequest("B", "2.4 m", up="5 courses")


def test_what_is_written_reads_back_the_same():
    kit_file = read('slope = "B"\nat = "8ft"\nstyle = "modern"\ncount = 3\nspacing = "5ft"\npanes = "2x2"\n')
    again = kit_file_from_text(write_kit_file(kit_file), "x.toml", Path())
    assert again.settings.roof_lights == kit_file.settings.roof_lights


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('slope = "B"\n', "'at' is missing"),
        ('slope = "B"\nat = "2 m"\ncount = 0\n', "count"),
        ('slope = "B"\nat = "2 m"\nstyle = "dome"\n', "'dome' is not known here"),
        ('slope = "B"\nat = "2 m"\npanes = "99x1"\n', "number of panes"),
        ('slope = "B"\nat = "2 m"\ncolour = "red"\n', "no key 'colour'"),
        ('at = "2 m"\n', "the slope is missing"),
    ],
)
def test_refusals(text, says):
    with pytest.raises(KitError) as caught:
        read(text)
    assert says in str(caught.value)
