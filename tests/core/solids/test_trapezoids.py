import numpy as np
import pytest

from figure_samples import bricks, outline, ring
from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.trapezoids import decompose, joined_upward, trapezoids_of


def areas(figure):
    found = decompose(figure)
    return {cell: float(found.twice_area[found.cell == cell].sum()) / 2e8 for cell in np.unique(found.cell).tolist()}


def test_one_rectangle_is_one_trapezoid():
    found = decompose(Figure((outline(1, 2, 4, 3),)))
    assert len(found.cell) == 1
    assert (found.y0[0], found.y1[0], found.left0[0], found.right1[0]) == (20000, 30000, 10000, 40000)
    assert found.twice_area.tolist() == [2 * 30000 * 10000]
    assert found.upright.all()


def test_later_layers_lie_over_earlier_ones():
    figure = Figure((outline(0, 0, 4, 4), Layer.patches([ring(1, 1, 3, 3)], 1), Layer.patches([ring(2, 2, 4, 4)], 2)))
    assert areas(figure) == {0: 16.0 - 4 - 3, 1: 3.0, 2: 4.0}


def test_what_the_outline_does_not_cover_lies_outside():
    figure = Figure((outline(0, 0, 4, 4), Layer.rectangles([[3, 3, 6, 6]], 1)))
    assert areas(figure) == {0: 15.0, 1: 1.0}


def test_holes_in_holes():
    rings = [ring(0, 0, 9, 9), ring(1, 1, 8, 8)[::-1], ring(2, 2, 7, 7), ring(3, 3, 6, 6)[::-1], ring(4, 4, 5, 5)]
    assert areas(Figure((Layer.union(rings, 0),))) == {0: 81.0 - 49 + 25 - 9 + 1}


def test_an_opening_may_be_filled_again():
    layers = (outline(0, 0, 4, 4), Layer.patches([ring(1, 1, 3, 3)], OUTSIDE), Layer.patches([ring(2, 2, 3, 3)], 1))
    assert areas(Figure(layers)) == {0: 12.0, 1: 1.0}


@pytest.mark.parametrize("shift", [0.001, 0.4, 0.8])
def test_tiles_of_one_layer_must_not_overlap(shift):
    tiles = Layer.rectangles([[0, 0, 1, 1], [1 - shift, 0, 2, 1]], [1, 2])
    with pytest.raises(ValueError, match=r"tiles of one layer overlap near height 0\.000 mm"):
        decompose(Figure((outline(0, 0, 3, 1), tiles)))


def test_tiles_may_share_sides_and_corners():
    tiles = Layer.rectangles([[0, 0, 1, 1], [1, 0, 2, 1], [2, 1, 3, 2], [0, 1, 2, 1.5]], [1, 2, 3, 4])
    assert areas(Figure((outline(0, 0, 3, 2), tiles))) == {0: 2.0, 1: 1.0, 2: 1.0, 3: 1.0, 4: 1.0}


def test_slots_without_width_are_nothing():
    slots = Layer.patches([ring(1, 1, 1, 3), [[2, 2], [3, 2], [3, 2], [2, 2]], [[0, 0], [4, 4], [0, 0]]], OUTSIDE)
    assert areas(Figure((outline(0, 0, 4, 4), slots))) == {0: 16.0}


def test_an_outline_that_vanishes():
    assert len(decompose(Figure((Layer.union([ring(0, 0, 3, 3)[::-1]], 0),))).cell) == 0
    assert len(decompose(Figure((Layer.union([], 0),))).cell) == 0
    assert len(decompose(Figure((Layer.union([[[0, 0], [5, 0], [2, 0]]], 0),))).cell) == 0


def test_what_lies_outside_between_sides_is_kept_until_the_end():
    figure = Figure((Layer.union([ring(0, 0, 3, 3), ring(1, 1, 2, 2)[::-1]], 0),))
    everywhere = trapezoids_of(figure)
    assert (everywhere.cell == OUTSIDE).any()
    assert (decompose(figure).cell != OUTSIDE).all()


def test_trapezoids_one_over_the_other_are_joined_where_that_is_allowed():
    leaning = Layer.patches([[[2, 0], [4, 0], [4, 4], [1, 4]]], 1)
    rows = trapezoids_of(Figure((outline(0, 0, 4, 4), leaning, Layer.patches([ring(3, 1, 4, 2)], 2))))
    joined, into = joined_upward(rows, np.ones(len(rows.cell), dtype=bool))
    assert (joined.cell == 0).sum() == 1
    np.testing.assert_array_equal(np.bincount(into, weights=rows.twice_area), joined.twice_area)
    apart, _ = joined_upward(rows, rows.upright)
    assert len(apart.cell) == len(rows.cell) > len(joined.cell)


def test_a_chain_that_crosses_an_upright_side_at_its_own_corner():
    # The upright side would part the plane into cells, but the chain passes it at a point.
    chain = [[0, 20], [8, 0], [8, 20], [20, 4], [16, 16], [8, 8]]
    found = areas(Figure((Layer.union([chain], 0),)))
    np.testing.assert_allclose(found[0], 32.0 + 160.0 / 7.0, atol=1e-3)


def test_bricks_and_joints_have_their_areas():
    rects, length, height = bricks(40, 10)
    figure = Figure((outline(0, 0, length, height), Layer.rectangles(rects, 1)))
    brick = float(((rects[:, 2] - rects[:, 0]) * (rects[:, 3] - rects[:, 1])).sum())
    found = areas(figure)
    np.testing.assert_allclose(found[1], brick)
    np.testing.assert_allclose(found[0] + found[1], length * height)
    # Each brick and each perpend is one trapezoid, each bed joint one from end to end.
    assert len(decompose(figure).cell) == len(rects) + 10 * 40 + 10
