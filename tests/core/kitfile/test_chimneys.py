from pathlib import Path

import pytest

from halfbat.errors import KitError
from halfbat.kitfile import kit_file_from_text, write_kit_file
from halfbat.settings import ChimneyRequest

HEAD = "[building]\nbox = [9, 5, 3]\n[[chimney]]\n"


def read(text):
    return kit_file_from_text(HEAD + text, "x.toml", Path())


def test_what_is_left_out_keeps_its_default():
    (chimney,) = read('wall = "b"\nat = 2.4\nwidth = "3 bricks"\n').settings.chimneys
    assert chimney == ChimneyRequest("B", "2.4 m", width="3 bricks")


def test_what_is_written_reads_back_the_same():
    kit_file = read('wall = "B"\nat = "8ft"\nbehind = "1 m"\npots = 0\n')
    again = kit_file_from_text(write_kit_file(kit_file), "x.toml", Path())
    assert again.settings.chimneys == kit_file.settings.chimneys


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('wall = "B"\n', "'at' is missing"),
        ('wall = "B"\nat = "2 m"\npots = 9\n', "pots"),
        ('wall = "B"\nat = "2 m"\ncolour = "red"\n', "no key 'colour'"),
        ('at = "2 m"\n', "the wall is missing"),
    ],
)
def test_refusals(text, says):
    with pytest.raises(KitError) as caught:
        read(text)
    assert says in str(caught.value)
