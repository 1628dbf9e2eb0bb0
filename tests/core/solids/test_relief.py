import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from figure_samples import outline, ring, slab
from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.relief import CUT_BACK, Relief, raise_relief
from halfbat.solids.verify import faults
from solids_help import assert_printable_solid

SQUARE_MM2 = (2 * CUT_BACK / 10_000) ** 2
"""Area of the square that parts pieces which touch at a corner."""
BASE = outline(0, 0, 10, 10)
CORNERS = {
    "two bricks corner to corner": [ring(1, 1, 3, 3), ring(3, 3, 5, 5)],
    "two bricks corner to corner, the other way": [ring(3, 1, 5, 3), ring(1, 3, 3, 5)],
    "three bricks round a gap": [ring(1, 1, 3, 3), ring(3, 3, 5, 5), ring(3, 1, 5, 3)],
    "a chessboard": [ring(x, y, x + 1, y + 1) for x in range(1, 6) for y in range(1, 6) if (x + y) % 2],
    "points of triangles": [[[1, 1], [5, 5], [1, 5]], [[5, 5], [9, 6], [9, 9]]],
    "a brick at a corner of its own kind's gap": [ring(1, 1, 4, 2), ring(1, 2, 2, 4), ring(2, 2, 4, 4)],
}


def test_a_level_relief():
    relief = Relief.flat(Figure((BASE,)), [1.0, 1.25])
    assert relief.planes.tolist() == [[1.0, 0.0, 0.0], [1.25, 0.0, 0.0]]
    assert relief.heights_at(np.array([[0, 0], [50000, 7]]), np.array([0, 1])).tolist() == [10000, 12500]


def test_a_sloping_relief():
    relief = Relief(Figure((BASE,)), np.array([[1.0, 0.5, -0.25]]))
    assert relief.heights_at(np.array([[20000, 40000]]), np.array([0])).tolist() == [10000]


def test_the_upper_rim_steps_down_to_its_lowest_cell():
    figure = Figure((BASE, Layer.rectangles([[0, 0, 2, 10], [8, 4, 10, 6], [4, 4, 5, 5]], [1, 2, 3])))
    raised = raise_relief(Relief.flat(figure, [1.0, 1.5, 0.75, 0.2]), upper=True)
    assert (raised.vertices[raised.rim_vertex_from, 2] == 7500).all()
    assert (raised.vertices[raised.rim_vertex_to, 2] == 7500).all()


def test_each_hole_has_a_belt_of_its_own():
    ledge, hole = Layer.rectangles([[3, 3, 7, 7]], 1), Layer.rectangles([[4, 4, 6, 6]], OUTSIDE)
    raised = raise_relief(Relief.flat(Figure((BASE, ledge, hole)), [2.0, 0.6]), upper=True)
    outer = (raised.sheet.points[raised.rim_from] % 100000 == 0).any(axis=1)
    heights = raised.vertices[raised.rim_vertex_from, 2]
    assert (heights[outer] == 20000).all() and (heights[~outer] == 6000).all() and (~outer).any()


def test_the_rim_of_a_plate_does_not_fold_where_its_back_lies_over_a_ledge_elsewhere():
    ledge, hole = Layer.rectangles([[3, 3, 7, 7]], 1), Layer.rectangles([[4, 4, 6, 6]], OUTSIDE)
    front = Relief.flat(Figure((BASE, ledge, hole)), [2.0, 0.6])
    back = Relief.flat(Figure((BASE, Layer.rectangles([[0, 0, 2, 10]], 1), hole)), [0.0, 1.3])
    solid = plate(front, back)
    assert_printable_solid(solid)
    edge = solid.vertices[np.isclose(solid.vertices[:, 0], 0.0)]
    assert edge[:, 2].min() == pytest.approx(1.3)


def test_the_lower_rim_follows_its_cells_where_these_meet_without_a_step():
    figure = Figure((BASE, Layer.rectangles([[0, 0, 2, 10]], 1)))
    raised = raise_relief(Relief(figure, np.array([[0.0, 0, 0], [1.0, -0.5, 0]])), upper=False)
    assert set(raised.vertices[raised.rim_vertex_from, 2].tolist()) == {0, 10000}
    assert not len(raised.steps)


def test_the_lower_rim_takes_a_belt_where_there_are_steps():
    figure = Figure((BASE, Layer.rectangles([[0, 4, 2, 6]], 1)))
    raised = raise_relief(Relief.flat(figure, [0.0, 0.5]), upper=False)
    assert (raised.vertices[raised.rim_vertex_from, 2] == 5000).all()


def test_a_step_has_a_vertex_at_each_height_it_passes():
    tiles = Layer.rectangles([[0, 0, 5, 5], [0, 5, 5, 10], [5, 0, 10, 5]], [1, 2, 3])
    raised = raise_relief(Relief.flat(Figure((BASE, tiles)), [4.0, 1.0, 3.0, 2.0]), upper=True)
    middle = (raised.vertices[:, :2] == 50000).all(axis=1)
    assert raised.vertices[middle, 2].tolist() == [10000, 20000, 30000, 40000]


def test_planes_that_cross_along_a_border_meet_where_they_cross():
    figure = Figure((BASE, Layer.rectangles([[0, 0, 5, 10]], 1)))
    raised = raise_relief(Relief(figure, np.array([[1.0, 0, 0], [0.5, 0, 0.1]])), upper=True)
    assert [50000, 50000, 10000] in raised.vertices.tolist()


@given(
    st.lists(st.floats(-0.3, 0.3), min_size=6, max_size=6),
    st.lists(st.floats(-0.4, 0.4), min_size=3, max_size=3),
    st.integers(0, 359),
)
def test_planes_that_cross_along_any_borders_make_one_solid_of_the_volume_under_them(slopes, lifts, turn):
    """Three cells whose planes cross anywhere, their volume by sampling a fine grid (midpoint rule)."""
    way = np.radians(turn)
    turned = np.array([[np.cos(way), -np.sin(way)], [np.sin(way), np.cos(way)]])
    base = np.array([[-5, -5], [5, -5], [5, 5], [-5, 5]])
    halves = [np.array([[-3, -4], [0.5, -4], [-0.5, 4], [-3, 4]]), np.array([[0.5, -4], [4, -4], [4, 4], [-0.5, 4]])]
    outer, *inner = (Layer.patches([ring @ turned], number) for number, ring in enumerate([base, *halves]))
    planes = np.array([[4 + lift, *slopes[2 * k : 2 * k + 2]] for k, lift in enumerate(lifts)])
    solid = plate(Relief(Figure((outer, *inner)), planes), Relief.flat(Figure((outer,)), [0.0]))
    assert_printable_solid(solid)
    steps = (np.arange(400) + 0.5) / 40 - 5
    spots = np.stack(np.meshgrid(steps, steps), axis=-1).reshape(-1, 2)
    cell = np.zeros(len(spots), dtype=int)
    for number, half in enumerate(halves, 1):
        side, off = np.roll(half, -1, axis=0) - half, spots[:, None] - half
        cell[(side[:, 0] * off[..., 1] > side[:, 1] * off[..., 0]).all(axis=1)] = number
    own = planes[cell]
    heights = own[:, 0] + (own[:, 1:] * (spots @ turned)).sum(axis=1)
    assert solid.volume_mm3 == pytest.approx(heights.sum() / 1600, rel=1e-3)


@pytest.mark.parametrize("name", CORNERS)
@pytest.mark.parametrize("proud", [0.3, -0.3])
def test_what_touches_at_a_corner_is_cut_back(name, proud):
    solid = slab((BASE, Layer.patches(CORNERS[name], 1)), (1.0, 1.0 + proud))
    assert_printable_solid(solid)
    area = float(slab((BASE, Layer.patches(CORNERS[name], 1)), (1.0, 2.0)).volume_mm3) - 100.0
    assert abs(solid.volume_mm3 - 100.0 - proud * area) < 40 * SQUARE_MM2


def test_two_bricks_lose_no_more_than_a_square():
    solid = slab((BASE, Layer.patches(CORNERS["two bricks corner to corner"], 1)))
    assert_printable_solid(solid, volume_mm3=100.0 + 0.3 * (8.0 - SQUARE_MM2 / 2))


def test_bricks_of_different_heights_corner_to_corner():
    tiles = Layer.rectangles([[1, 1, 3, 3], [3, 3, 5, 5], [3, 1, 5, 3]], [1, 2, 3])
    solid = slab((BASE, tiles), (1.0, 1.3, 1.4, 1.1))
    assert_printable_solid(solid, volume_mm3=100.0 + 0.3 * 4 + 0.4 * 4 + 0.1 * 4 - SQUARE_MM2 / 4 * (0.2 + 0.3) - 0.0)


def test_ascending_steps_round_a_corner_are_no_pinch():
    tiles = Layer.rectangles([[1, 1, 3, 3], [3, 1, 5, 3], [3, 3, 5, 5]], [1, 2, 3])
    solid = slab((BASE, tiles), (1.0, 1.1, 1.2, 1.3))
    assert_printable_solid(solid, volume_mm3=100.0 + 4 * (0.1 + 0.2 + 0.3))


def test_openings_corner_to_corner_are_joined_by_a_gap():
    solid = slab((BASE,), (1.0,), openings=[ring(2, 2, 4, 4), ring(4, 4, 6, 6)])
    assert_printable_solid(solid, volume_mm3=100.0 - 8.0 - SQUARE_MM2 / 2, genus=1)


def test_an_opening_that_touches_the_rim_at_a_corner():
    solid = slab((BASE,), (1.0,), openings=[[[0, 5], [3, 3], [3, 7]]])
    assert_printable_solid(solid, genus=0)
    assert 0 < 100.0 - 6.0 - solid.volume_mm3 < 4 * SQUARE_MM2


def test_a_brick_that_touches_an_opening_at_a_corner():
    solid = slab((BASE, Layer.patches([ring(1, 1, 3, 3)], 1)), openings=[ring(3, 3, 5, 5)])
    assert_printable_solid(solid, volume_mm3=100.0 - 4.0 + 0.3 * 4.0, genus=1)


def test_bricks_that_meet_at_a_corner_on_the_rim():
    tiles = Layer.patches([[[0, 5], [3, 5], [3, 8]], [[0, 5], [3, 2], [3, 4]]], 1)
    assert_printable_solid(slab((BASE, tiles)))


def test_bricks_that_meet_at_an_inner_corner_of_the_rim():
    inner = Layer.union([[[0, 0], [10, 0], [10, 10], [5, 10], [5, 5], [0, 5]]], 0)
    bricks = Layer.patches([ring(3, 3, 5, 5), ring(5, 5, 7, 7)], 1)
    solid = slab((inner, bricks))
    assert_printable_solid(solid)
    assert solid.volume_mm3 == pytest.approx(75.0 + 0.3 * 8, abs=2 * SQUARE_MM2)


def test_recesses_of_the_back_corner_to_corner():
    back = Relief.flat(Figure((BASE, Layer.patches([ring(2, 2, 4, 4), ring(4, 4, 6, 6)], 1))), [0.0, 0.4])
    solid = plate(Relief.flat(Figure((BASE,)), [1.0]), back)
    assert_printable_solid(solid, volume_mm3=100.0 - 0.4 * (8.0 + SQUARE_MM2 / 2))


def test_a_cut_too_narrow_to_be_widened_is_filled():
    # A groove that runs out to nothing at the rim's corner: squares only move its tip along.
    wedge = [[10, 0], [0.682, 9.318], [6.5524, 3.4481]]
    solid = slab((BASE, Layer.patches([wedge], 1)), (1.3, 1.0))
    assert_printable_solid(solid)


def test_pieces_cut_apart_by_an_outline_that_meets_itself():
    bow = Layer.patches([[[0, 0], [4, 4], [4, 0]], [[4, 4], [8, 8], [4, 8]]], 0)
    assert faults(slab((bow,), (1.0,))) == ("is 2 bodies instead of one",)


def test_an_opening_may_be_a_figure_of_its_own():
    frame = Layer.union([ring(0, 0, 10, 10), ring(1, 1, 9, 9)[::-1]], 0)
    assert_printable_solid(slab((frame,), (1.0,)), volume_mm3=36.0, genus=1)
    assert OUTSIDE not in frame.cells
