"""What is narrower than a wall may be is left out of an outline, and nothing else is."""

from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from halfbat.parts.sturdy import SPARE, sturdy, without_strips

WALL_MM = 0.8
BLOCK = [(0.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.0, 6.0)]
STRIP_ABOVE = [(0.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.3, 6.0), (0.3, 9.0), (0.0, 9.0)]
STRIP_BESIDE = [(0.0, 0.0), (5.0, 0.0), (5.0, 8.0), (30.0, 8.0), (30.0, 8.5), (0.0, 8.5)]
TWO_ROOMS = [
    (0, 0),
    (9, 0),
    (9, 4.8),
    (12, 4.8),
    (12, 0),
    (20, 0),
    (20, 9),
    (12, 9),
    (12, 5.2),
    (9, 5.2),
    (9, 9),
    (0, 9),
]


def left(outline):
    ring, edges = sturdy(np.array(outline, dtype=float), WALL_MM)
    return [tuple(corner) for corner in np.round(ring, 6).tolist()], edges


def test_a_plain_outline_is_left_alone():
    assert left(BLOCK) == (BLOCK, [0, 1, 2, 3])


@pytest.mark.parametrize(
    ("outline", "wanted", "edges"),
    [
        (STRIP_ABOVE, [(0.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.0, 6.0)], [0, 1, 2, 5]),
        (STRIP_BESIDE, [(0.0, 0.0), (5.0, 0.0), (5.0, 8.5), (0.0, 8.5)], [0, 1, 4, 5]),
    ],
)
def test_a_strip_is_left_out_and_edges_keep_their_names(outline, wanted, edges):
    assert left(outline) == (wanted, edges)


def test_two_large_parts_that_hang_together_stay():
    assert left(TWO_ROOMS)[1] == list(range(len(TWO_ROOMS)))


def test_a_sharp_tip_is_cut_square_where_it_is_as_wide_as_a_wall():
    ring, edges = left([(0, 0), (20, 0), (0, 4)])
    cut = edges.index(-1)
    a, b = np.array(ring[cut]), np.array(ring[(cut + 1) % len(ring)])
    assert np.hypot(*(b - a)) == pytest.approx(SPARE * WALL_MM, abs=1e-5)
    along_both = [np.hypot(*(end - (20, 0))) for end in (a, b)]
    assert along_both[0] == pytest.approx(along_both[1], abs=1e-5)
    assert left([(0, 0), (20, 0), (0, 17)])[1] == [0, 1, 2]


@given(
    st.lists(st.tuples(st.floats(0.2, 4.0), st.floats(0.2, 6.0)), min_size=2, max_size=7),
    st.floats(0.0, 6.28),
)
def test_steps_of_any_width_keep_what_a_disc_reaches(steps, turn):
    """A skyline turned by any angle: shapely's opening is never cut into, and no strip is left."""
    places = np.cumsum([0.0, *(wide for wide, _ in steps)])
    tops = [(x, high) for (a, b), (_, high) in zip(pairwise(places), steps, strict=True) for x in (a, b)]
    corners = [(places[0], -2.0), (places[-1], -2.0), *tops[::-1]]
    ring = np.array([here for before, here in zip([corners[-1], *corners], corners, strict=False) if before != here])
    cos, sin = np.cos(turn), np.sin(turn)
    ring = ring @ np.array([[cos, sin], [-sin, cos]])
    kept, edges = without_strips(ring, WALL_MM)
    whole, rest = shapely.Polygon(ring), shapely.Polygon(kept)
    assert rest.is_valid and len(kept) == len(edges)
    opened = whole.buffer(-SPARE * WALL_MM / 2).buffer(SPARE * WALL_MM / 2)
    parts = sorted(getattr(opened, "geoms", [opened]), key=lambda part: part.area)
    assert rest.difference(whole).area < 1e-6
    # A disc bulges a little into the foot of what is narrower than it.
    assert parts[-1].difference(rest.buffer(SPARE * WALL_MM / 2)).area < 1e-6
    if len(parts) == 1 and edges != list(range(len(ring))):
        assert rest.difference(opened.buffer(0.2 * WALL_MM + 0.01)).area < 1e-6
