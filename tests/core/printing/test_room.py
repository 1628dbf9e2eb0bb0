from types import SimpleNamespace

import numpy as np
import pytest

from halfbat.parts.part import Part
from halfbat.printing.room import longest_turned_mm, room_findings
from halfbat.solids.figure import Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.relief import Relief
from kit_help import settings_with


def part(kind, x, y, process="resin"):
    base = Figure((Layer.rectangles([[-x / 2, -y / 2, x / 2, y / 2]], 0),))
    solid = plate(Relief.flat(base, [1.0]), Relief.flat(base, [0.0]))
    return Part("X1", "Part", kind, process, solid, np.eye(4))


@pytest.mark.parametrize(
    ("kind", "x", "y", "fits"),
    [
        ("skin", 115, 65, True),
        ("skin", 60, 100, False),
        ("skin", 116, 20, False),
        ("ridge", 3, 100, True),
        ("ridge", 100, 3, True),
        ("ridge", 3, 116, False),
        ("roof skin", 60, 100, True),
        ("roof skin", 70, 100, False),
    ],
)
def test_only_what_may_be_turned_is(kind, x, y, fits):
    # The resin printer's room is 115 x 65.
    assert (room_findings(part(kind, x, y), settings_with()) == ()) is fits


def test_nothing_is_turned_where_pixels_are_not_square():
    settings = settings_with(resin__pixel_y_mm=0.04)
    assert len(room_findings(part("ridge", 3, 100), settings)) == 1
    assert longest_turned_mm(settings.resin) == 115.0
    assert longest_turned_mm(settings_with(resin__usable_x_mm=50.0).resin) == 65.0


def test_bought_parts_need_no_room():
    assert room_findings(SimpleNamespace(process="bought"), settings_with()) == ()
