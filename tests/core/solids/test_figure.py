import numpy as np

from figure_judge import sheet_areas
from figure_samples import outline, ring
from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.sheet import lay

CLOCKWISE = ring(1, 1, 2, 2)[::-1]


def test_rectangles():
    layer = Layer.rectangles([[0, 0, 1, 2], [3, 3, 4, 4]], [5, 6])
    assert layer.points[:4].tolist() == [[0, 0], [10000, 0], [10000, 20000], [0, 20000]]
    assert layer.starts.tolist() == [0, 4, 8]
    assert layer.cells.tolist() == [5, 6]
    assert not layer.united


def test_one_cell_for_all_rectangles():
    assert Layer.rectangles([[0, 0, 1, 2], [3, 3, 4, 4]], 7).cells.tolist() == [7, 7]


def test_tiles_are_turned_anticlockwise():
    layer = Layer.tiles([ring(0, 0, 1, 1), CLOCKWISE], [1, 2])
    assert sheet_areas(lay(Figure((outline(0, 0, 3, 3), layer)))) == {0: 7.0, 1: 1.0, 2: 1.0}


def test_clockwise_rings_of_a_union_are_holes():
    figure = Figure((Layer.union([ring(0, 0, 3, 3), CLOCKWISE], 0),))
    assert sheet_areas(lay(figure)) == {0: 8.0}


def test_overlapping_patches_count_once_whichever_way_they_run():
    figure = Figure((Layer.patches([ring(0, 0, 2, 2), ring(1, 1, 3, 3)[::-1]], 0),))
    assert sheet_areas(lay(figure)) == {0: 7.0}


def test_a_stretch_turned_over_counts_for_nothing():
    # An outline set back too far: its narrow arm has crossed over to the other side.
    turned = [[0, 0], [4, 0], [4, 4], [3, 4], [3, 2], [3.5, 2], [3.5, 3], [0, 3]]
    twisted = [[0, 0], [4, 0], [4, 2], [2, 2], [2, 1], [3, 1], [3, 3], [0, 3]]
    for rings in ([turned], [twisted]):
        assert set(sheet_areas(lay(Figure((Layer.union(rings, 0),))))) == {0}
    eight = [[0, 0], [2, 2], [2, 0], [0, 2]]
    assert sheet_areas(lay(Figure((Layer.union([eight], 0),)))) == {0: 1.0}


def test_empty_layers_and_rings_change_nothing():
    base = outline(0, 0, 2, 2)
    for layer in (
        Layer.rectangles(np.zeros((0, 4)), []),
        Layer.tiles([], []),
        Layer.union([], 1),
        Layer.patches([np.zeros((0, 2))], 1),
        Layer.patches([[[1, 1]], [[0, 0], [1, 1]]], 1),
    ):
        assert sheet_areas(lay(Figure((base, layer)))) == {0: 4.0}


def test_an_empty_ring_among_others():
    layer = Layer.patches([ring(0, 0, 1, 1), np.zeros((0, 2)), ring(2, 0, 3, 1)], 1)
    assert sheet_areas(lay(Figure((outline(0, 0, 4, 1), layer)))) == {0: 2.0, 1: 2.0}


def test_squares_fill_no_opening():
    figure = Figure((outline(0, 0, 4, 4), Layer.patches([ring(1, 1, 3, 3)], OUTSIDE)))
    squared = figure.with_squares(np.array([[10000, 10003], [40000, 40000]]), 200, 5)
    assert len(squared.layers) == 3
    areas = sheet_areas(lay(squared))
    assert areas[0] + areas[5] == 12.0
    np.testing.assert_allclose(areas[5], 3 * 0.02**2 + 0.02**2)


def test_squares_may_open_what_was_filled():
    figure = Figure((outline(0, 0, 4, 4),)).with_squares(np.array([[20000, 20000]]), 200, OUTSIDE)
    np.testing.assert_allclose(sheet_areas(lay(figure))[0], 16.0 - 0.04**2)
