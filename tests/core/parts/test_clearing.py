import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from halfbat.parts.clearing import area_of, boxes_within, clipped, hull, lower_side, without

SQUARE = np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]])
places = st.tuples(st.integers(-20, 20), st.integers(-20, 20)).map(lambda p: (p[0] / 2, p[1] / 2))


def test_a_ring_clipped_by_a_line():
    kept = clipped(SQUARE, 4.0 - SQUARE[:, 0])
    assert area_of(kept) == pytest.approx(40.0)
    assert kept[:, 0].max() == pytest.approx(4.0)
    assert len(clipped(SQUARE, -1.0 - SQUARE[:, 0])) == 0


@given(st.lists(places, min_size=3, max_size=12, unique=True))
@settings(max_examples=60, deadline=None)
def test_hulls(points):
    theirs = shapely.MultiPoint(points).convex_hull
    if theirs.area < 1e-9:
        return
    ring = hull(np.array(points))
    assert shapely.Polygon(ring).symmetric_difference(theirs).area < 1e-9
    assert area_of(ring) > 0


def test_the_lower_side_runs_from_left_to_right():
    np.testing.assert_allclose(lower_side(np.array([[4.0, 1], [0, 0], [2, 3], [2, -1]])), [[0, 0], [2, -1], [4, 1]])


@st.composite
def taken(draw):
    """Convex rings that reach over the sides of the square or not."""
    found = []
    for _ in range(draw(st.integers(1, 3))):
        x, y = draw(st.floats(-2, 11)), draw(st.floats(-2, 11))
        wide, high, turn = draw(st.floats(0.5, 8)), draw(st.floats(0.5, 8)), draw(st.floats(0, 1.5))
        ring = np.array([[0, 0], [wide, 0], [wide, high], [0, high]])
        found.append(ring @ [[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]] + [x, y])
    return found


@given(taken())
@settings(max_examples=60, deadline=None)
def test_what_is_left_is_the_largest_piece(rings):
    lines = [shapely.LinearRing(ring) for ring in (SQUARE, *rings)]
    corners = [(i, shapely.Point(p)) for i, ring in enumerate((SQUARE, *rings)) for p in ring]
    # What is nearer than the tolerance becomes one, and two pieces may then be one or one two.
    assume(all(line.distance(p) > 0.01 for j, line in enumerate(lines) for i, p in corners if i != j))
    left, edges = without(SQUARE, rings)
    whole = shapely.Polygon(SQUARE).difference(shapely.unary_union([shapely.Polygon(ring) for ring in rings]))
    pieces = sorted(getattr(whole, "geoms", [whole]), key=lambda piece: piece.area)
    if not pieces or pieces[-1].area < 0.05:
        return
    # A hole that touches the side in one place is a notch, and no hole.
    assert area_of(left) < max(shapely.Polygon(piece.exterior).area for piece in pieces) + 0.05
    assert area_of(left) > max(piece.area for piece in pieces) - 0.05
    assert len(edges) == len(left)
    for edge, a, b in zip(edges, left, np.roll(left, -1, axis=0), strict=True):
        if edge >= 0:
            line = shapely.LineString([SQUARE[edge], SQUARE[(edge + 1) % 4]])
            assert max(line.distance(shapely.Point(p)) for p in (a, b)) < 5e-3


def test_edges_keep_their_names():
    left, edges = without(SQUARE, [np.array([[6.0, -1.0], [11.0, -1.0], [11.0, 3.0], [6.0, 3.0]])])
    assert area_of(left) == pytest.approx(88.0)
    assert sorted(edges) == [-1, -1, 0, 1, 2, 3]


def test_nothing_left():
    left, edges = without(SQUARE, [SQUARE * 3 - 5])
    assert len(left) == 0 and edges == []


def test_boxes_part_where_the_pieces_do():
    # A U: above 4 its wings stand apart.
    outline = np.array([[0.0, 0.0], [10, 0], [10, 10], [7, 10], [7, 4], [3, 4], [3, 10], [0, 10]])
    left, right = boxes_within(outline, np.array([[-1.0, 5.0], [11.0, 11.0]]))
    np.testing.assert_allclose([left, right], [[[-1, 5], [5, 11]], [[5, 5], [11, 11]]])
    (whole,) = boxes_within(outline, np.array([[-1.0, 2.0], [11.0, 11.0]]))
    np.testing.assert_allclose(whole, [[-1, 2], [11, 11]])


def test_a_ring_that_crosses_itself_keeps_its_largest_loop():
    left, _ = without(np.array([[0.0, 0.0], [10, 0], [10, 10], [4, -1], [0, 10]]), [])
    assert 0 < area_of(left) < 60
    assert len(left) >= 3
