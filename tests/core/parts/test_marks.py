from itertools import product

import numpy as np
import pytest
from shapely import Polygon, box, unary_union
from shapely.affinity import scale as scaled

from halfbat.parts.glyphs import text_strokes
from halfbat.parts.marks import LEFT_UNDER_MM, Room, fitted_mark
from halfbat.settings import FilamentProcess, ResinProcess

RESIN, FILAMENT = ResinProcess(), FilamentProcess()
WIDE = Room((-30.0, -10.0), (30.0, 10.0))


def fitted(room=WIDE, number="WA2", height=2.2, process=RESIN, on_plate=True, thickness=1.5):
    return fitted_mark(number, room, height, process, on_plate=on_plate, thickness_mm=thickness)


def drawn(mark):
    return unary_union([Polygon(ring) for ring in mark.rings_mm])


def test_on_the_plate_there_are_wide_strokes_where_there_is_room():
    mark = fitted()
    assert (mark.stroke_mm, mark.height_mm, mark.depth_mm) == (0.6, 5.0, pytest.approx(0.3))
    mark = fitted(Room((0, 0), (20, 4)))
    assert (mark.stroke_mm, mark.height_mm) == (0.3, 2.2)
    assert fitted(on_plate=False).height_mm == 2.2


def test_on_the_plate_of_a_filament_printer_strokes_are_twice_as_wide_as_elsewhere():
    mark = fitted(process=FILAMENT, number="F1", height=3.5, thickness=3.5)
    assert (mark.stroke_mm, mark.height_mm) == (1.0, 7.0)
    assert fitted(process=FILAMENT, number="F1", height=3.5, thickness=3.5, on_plate=False).stroke_mm == 0.5


def test_the_mark_stays_in_its_room_and_in_its_middle():
    for room in (WIDE, Room((3, 4), (15, 8)), Room((0, 0), (4, 20))):
        for mirrored in (False, True):
            shape = drawn(fitted(Room(room.low, room.high, mirrored)))
            assert box(*room.low, *room.high).buffer(1e-9).contains(shape)
            np.testing.assert_allclose(
                np.add(shape.bounds[:2], shape.bounds[2:]) / 2, np.add(room.low, room.high) / 2, atol=1e-9
            )


@pytest.mark.parametrize(("room", "text"), [(((0, 0), (12, 6)), "\u2191WA2"), (((0, 0), (7, 3)), "WA2")])
def test_there_is_an_arrow_where_it_has_room_and_the_text_is_mirrored_on_a_back(room, text):
    plain, mirrored = fitted(Room(*room)), fitted(Room(*room, mirrored=True))
    strokes = unary_union([Polygon(ring) for ring in text_strokes(text, plain.height_mm, plain.stroke_mm)])
    assert drawn(plain).area == pytest.approx(strokes.area)
    seen_from_behind = scaled(drawn(mirrored), xfact=-1, origin=((room[0][0] + room[1][0]) / 2, 0))
    assert seen_from_behind.symmetric_difference(drawn(plain)).area == pytest.approx(0, abs=1e-9)
    assert all(Polygon(ring).exterior.is_ccw for mark in (plain, mirrored) for ring in mark.rings_mm)


def test_in_a_narrow_room_the_number_is_turned_to_read_upward():
    mark = fitted(Room((0, 0), (3, 12)))
    lying = drawn(fitted(Room((0, 0), (7, 3))))
    standing = drawn(mark)
    assert standing.bounds[2] - standing.bounds[0] < standing.bounds[3] - standing.bounds[1]
    assert standing.area == pytest.approx(lying.area, rel=1e-6)


def test_what_has_no_room_or_no_thickness_has_no_mark():
    assert fitted(Room((0, 0), (2, 2))) is None
    assert fitted(Room((0, 0), (-3, 12))) is None
    assert fitted(thickness=LEFT_UNDER_MM + 0.25) is None
    assert fitted(thickness=LEFT_UNDER_MM + 0.3) is not None


@pytest.mark.parametrize("layer", [0.03, 0.05, 0.11])
def test_depth_is_whole_layers_and_at_least_the_least(layer):
    mark = fitted(process=ResinProcess(layer_mm=layer))
    layers = mark.depth_mm / layer
    assert layers == pytest.approx(round(layers))
    assert mark.depth_mm >= RESIN.min_mark_depth_mm


def test_filament():
    mark = fitted(process=FILAMENT, height=3.5, on_plate=False)
    assert (mark.stroke_mm, mark.height_mm, mark.depth_mm) == (0.5, 3.5, pytest.approx(0.6))


@pytest.mark.parametrize(("stroke", "gap"), list(product((0.2, 0.3, 0.5), (0.2, 0.45))))
def test_strokes_and_the_walls_between_them_keep_the_limits(stroke, gap):
    mark = fitted(process=ResinProcess(min_stroke_mm=stroke, min_gap_mm=gap), on_plate=False, number="WB8669")
    shape = drawn(mark)
    assert mark.stroke_mm >= stroke
    # Nothing of the shape is thinner than a stroke, and closing gaps under the limit closes none.
    assert shape.buffer(-stroke / 2 + 1e-3).buffer(stroke / 2 + 1e-3).area >= shape.area * 0.97
    closed = shape.buffer(gap / 2 - 0.01, join_style="mitre").buffer(-gap / 2 + 0.01, join_style="mitre")
    assert len(getattr(closed, "geoms", [closed])) == len(getattr(shape, "geoms", [shape]))
