from hypothesis import given
from hypothesis import strategies as st

from halfbat.printing.packing import Skyline

SIDES = st.floats(0.5, 60.0)


def test_one_beside_the_other_then_above():
    plate = Skyline.empty(10.0, 10.0)
    places = []
    for size in ((6, 4), (4, 2), (4, 2), (10, 6)):
        x, y, plate = plate.place(*size)
        places.append((x, y))
    assert places == [(0, 0), (6, 0), (6, 2), (0, 4)]
    assert plate.place(1, 1) is None


def test_what_is_too_large_finds_no_place():
    plate = Skyline.empty(10.0, 10.0)
    assert plate.place(10.1, 1) is None
    assert plate.place(1, 10.1) is None
    assert plate.place(10.0, 10.0)[:2] == (0.0, 0.0)


@given(st.lists(st.tuples(SIDES, SIDES), max_size=30))
def test_nothing_overlaps_or_leaves_the_plate(sizes):
    plate, placed = Skyline.empty(100.0, 80.0), []
    for wide, high in sizes:
        found = plate.place(wide, high)
        if found is None:
            continue
        x, y, plate = found
        assert -1e-6 <= x <= 100 - wide + 1e-5 and -1e-6 <= y <= 80 - high + 1e-5
        for x0, y0, x1, y1 in placed:
            assert x >= x1 - 1e-5 or x + wide <= x0 + 1e-5 or y >= y1 - 1e-5 or y + high <= y0 + 1e-5
        placed.append((x, y, x + wide, y + high))
