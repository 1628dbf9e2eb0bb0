import numpy as np
import pytest

from figure_judge import assert_sheet_closed, assert_sheet_true, sheet_areas
from figure_samples import arch, arched_wall, bricks, outline, plain_wall, ring
from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.sheet import lay


def borders_of(sheet):
    """Borders in millimetres as (from, to, left, right), each from its lower or left end."""
    ends = (sheet.points[sheet.borders] / 10_000).tolist()
    return {
        (*map(tuple, pair), a, b) for pair, a, b in zip(ends, sheet.left.tolist(), sheet.right.tolist(), strict=True)
    }


def test_one_rectangle():
    sheet = lay(Figure((outline(0, 0, 2, 1),)))
    assert sheet.points.tolist() == [[0, 0], [20000, 0], [0, 10000], [20000, 10000]]
    assert len(sheet.triangles) == 2
    assert sheet.cells.tolist() == [0, 0]
    assert borders_of(sheet) == {
        ((0, 0), (2, 0), 0, OUTSIDE),
        ((0, 1), (2, 1), OUTSIDE, 0),
        ((0, 0), (0, 1), OUTSIDE, 0),
        ((2, 0), (2, 1), 0, OUTSIDE),
    }
    assert len(sheet.rim) == 4


def test_points_come_by_height_and_then_from_left_to_right():
    sheet = lay(plain_wall(5, 4)[0].figure)
    keys = sheet.points[:, 1] * 10**8 + sheet.points[:, 0]
    assert (np.diff(keys) > 0).all()


def test_a_border_between_cells_and_none_within_a_cell():
    figure = Figure((outline(0, 0, 3, 1), Layer.rectangles([[0, 0, 1, 1], [1, 0, 2, 1], [2, 0, 3, 1]], [1, 1, 2])))
    inner = {border for border in borders_of(lay(figure)) if OUTSIDE not in border[2:]}
    assert inner == {((2, 0), (2, 1), 1, 2)}


HALVES = [[[0, 0], [1, 0], [2, 2], [0, 2]], [[1, 0], [3, 0], [3, 2], [2, 2]]]
FIGURES = {
    "holes in holes": (
        Layer.union([ring(0, 0, 9, 9), ring(1, 1, 8, 8)[::-1], ring(2, 2, 7, 7), ring(3, 3, 6, 6)[::-1]], 0),
    ),
    "hole touching the outline along an edge": (outline(0, 0, 5, 4), Layer.patches([ring(1, 0, 2, 2)], OUTSIDE)),
    "hole touching the outline at a corner": (outline(0, 0, 5, 4), Layer.patches([[[0, 2], [2, 1], [2, 3]]], OUTSIDE)),
    "openings crossing the outline": (
        Layer.union([[[0, 0], [5, 0], [5, 3], [2.5, 5], [0, 3]]], 0),
        Layer.patches([ring(-1, 1, 1, 2), [[3, 2], [6, 2.5], [4, 5]], ring(2, -1, 3, 6)], OUTSIDE),
    ),
    "slots without width": (
        outline(0, 0, 4, 4),
        Layer.patches([ring(1, 1, 1, 3), [[2, 2], [3, 2.5], [2, 2]]], OUTSIDE),
    ),
    "slots of one grid step": (
        outline(0, 0, 4, 4),
        Layer.patches([ring(1, 1, 1.001, 3), ring(2, 1, 3, 1.001)], OUTSIDE),
    ),
    "neighbours with coincident sides": (outline(0, 0, 3, 2), Layer.tiles(HALVES, [1, 2])),
    "leaning sides that coincide in part": (
        outline(0, 0, 6, 6),
        Layer.patches([[[0, 0], [3, 0], [4, 4], [0, 4]]], 1),
        Layer.patches([[[3.25, 1], [5, 1], [5, 3], [3.75, 3]]], 2),
    ),
    "leaning sides that nearly coincide": (
        outline(0, 0, 60, 6),
        Layer.patches([[[0, 0], [30, 0], [57, 4], [0, 4]]], 1),
        Layer.patches([[[30.001, 0], [60, 0], [60, 4], [57.001, 4]]], 2),
    ),
    "nearly level sides": (
        Layer.union([[[0, 0.001], [90, 0], [90, 10.002], [0, 10]]], 0),
        Layer.rectangles(bricks(40, 14)[0], 1),
    ),
    "nearly upright sides": (
        Layer.union([[[0.001, 0], [90, 0], [90.002, 10], [0, 10]]], 0),
        Layer.rectangles(bricks(40, 14)[0], 1),
    ),
    "far from the origin": (
        outline(-1000, -1000, -990, -990),
        Layer.patches([np.array([[0, 0], [7, 0.3], [3, 8]]) - 999.3], 1),
        Layer.patches([np.array([[0, 5], [9, 0.3], [8, 8.1]]) - 999.3], OUTSIDE),
    ),
    "widest figure": (
        outline(-1000, -1000, 1000, 1000),
        Layer.patches(
            [[[-1000, -1000], [1000, -999.999], [999.999, 1000]], [[-1000, 1000], [1000, -1000], [0, 999]]], 1
        ),
    ),
    "smallest figure": (outline(0, 0, 0.003, 0.003), Layer.patches([[[0, 0], [0.002, 0.001], [0.001, 0.002]]], 1)),
    "empty layers": (outline(0, 0, 4, 4), Layer.rectangles(np.zeros((0, 4)), []), Layer.patches([], 1)),
    "arch on a perpend": (
        outline(0, 0, 10, 8),
        Layer.rectangles([[5, 0, 10, 8]], 1),
        Layer.patches([arch(3, 1, 4, 4)], 2),
    ),
    "star": (
        outline(-2, -2, 2, 2),
        Layer.patches(
            [np.stack([np.sin(np.arange(7) * 6 / 7 * np.pi), np.cos(np.arange(7) * 6 / 7 * np.pi)], axis=1)], 1
        ),
    ),
}


@pytest.mark.parametrize("name", FIGURES)
def test_sheets_are_closed_and_have_the_areas_of_their_figures(name):
    figure = Figure(FIGURES[name])
    sheet = lay(figure)
    assert_sheet_true(figure, sheet)
    again = lay(figure)
    assert again.points.tobytes() == sheet.points.tobytes()
    assert again.triangles.tobytes() == sheet.triangles.tobytes()


def test_input_is_left_as_it_was():
    figure = plain_wall(6, 4)[0].figure
    before = [layer.points.copy() for layer in figure.layers]
    lay(figure)
    for layer, points in zip(figure.layers, before, strict=True):
        np.testing.assert_array_equal(layer.points, points)


def test_overlapping_tiles_are_refused():
    with pytest.raises(ValueError, match=r"overlap near height 1\.000 mm"):
        lay(Figure((outline(0, 0, 4, 4), Layer.rectangles([[0, 0, 2, 2], [1, 1, 3, 3]], 1))))


@pytest.mark.parametrize(
    "layers",
    [
        (Layer.union([ring(0, 0, 1, 1)[::-1]], 0),),
        (outline(0, 0, 1, 1), Layer.patches([ring(-1, -1, 2, 2)], OUTSIDE)),
        (Layer.union([], 0), Layer.patches([ring(0, 0, 1, 1)], 1)),
        (outline(0, 0, 0.0004, 1),),
    ],
)
def test_a_figure_of_which_nothing_is_left_is_refused(layers):
    with pytest.raises(ValueError, match="nothing of the figure is left"):
        lay(Figure(layers))


@pytest.mark.parametrize("across", [8, 40, 80])
def test_a_wall_with_arches_and_gable(across):
    front, back = arched_wall(across, across // 2)
    for relief in (front, back):
        assert_sheet_closed(lay(relief.figure))
    joints_and_bricks = sheet_areas(lay(front.figure))
    assert sum(joints_and_bricks.values()) == pytest.approx(sum(sheet_areas(lay(back.figure)).values()), abs=0.05)


def test_a_line_ends_at_the_first_sides_it_meets():
    """What an arch does in one brick does not cut up the other bricks of its course."""
    rects, length, height = bricks(80, 10)
    base, faces = outline(0, 0, length, height), Layer.rectangles(rects, 1)
    plain = len(lay(Figure((base, faces))).triangles)
    opened = len(lay(Figure((base, faces, Layer.patches([arch(50, 2, 3, 4, 48)], OUTSIDE)))).triangles)
    assert opened < plain + 400


def test_plain_bricks_take_eight_triangles_each():
    # Two for the face, two for the perpend, four where the beds above and below take its corners.
    for across, courses in ((20, 10), (100, 40)):
        sheet = lay(plain_wall(across, courses)[0].figure)
        assert len(sheet.triangles) <= 8 * across * courses + 4 * courses
