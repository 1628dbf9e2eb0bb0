import numpy as np

from figure_samples import bricks, outline, ring
from halfbat.solids.figure import Figure, Layer
from halfbat.solids.sides import cut_into_bands, sides_of


def posts_of(layers, crowd=4):
    """Upright lines that part the figure into cells, as (x, low, high) in millimetres."""
    sides = sides_of(Figure(tuple(layers)))
    pieces = cut_into_bands(sides, crowd)
    heights = pieces.heights[np.stack([pieces.band, pieces.band + 1], axis=1)]
    rows = np.column_stack([pieces.x0, heights])[pieces.post] / 10_000
    return {tuple(row) for row in rows.tolist()}


def test_sides_of_one_rectangle():
    sides = sides_of(Figure((outline(0, 0, 2, 1),)))
    assert sides.x0.tolist() == [20000, 0]
    assert (sides.y1 - sides.y0).tolist() == [10000, 10000]
    assert sides.weight.tolist() == [-1, 1]
    assert sorted(sides.level_y.tolist()) == [0, 10000]
    assert sides.level_x0.tolist() == [0, 0]
    assert sides.level_x1.tolist() == [20000, 20000]


def test_coincident_sides_lie_on_one_line():
    slanting = [[[0, 0], [1, 0], [1.5, 1], [0, 1]], [[1, 0], [2, 0], [2, 1], [1.5, 1]]]
    sides = sides_of(Figure((outline(0, 0, 3, 1), Layer.tiles(slanting, [1, 2]))))
    leaning = sides.x0 != sides.x1
    assert len(set(sides.line[leaning].tolist())) == 1
    assert leaning.sum() == 2
    uprights = {line: set(sides.x0[sides.line == line].tolist()) for line in sides.line[~leaning].tolist()}
    assert all(len(places) == 1 for places in uprights.values())


def test_a_side_is_rounded_to_the_nearest_unit_and_the_same_way_from_both_neighbours():
    sides = sides_of(Figure((Layer.union([[[0, 0], [1, 0], [1.001, 0.003]]], 0),)))
    leaning = np.flatnonzero((sides.x0 == 10000) & (sides.x1 == 10010))
    assert sides.x_at(np.repeat(leaning, 4), np.array([0, 1, 15, 30])).tolist() == [10000, 10000, 10005, 10010]


def test_bed_joints_part_a_wall_into_bands():
    rects, length, height = bricks(50, 6)
    sides = sides_of(Figure((outline(0, 0, length, height), Layer.rectangles(rects, 1))))
    bands = cut_into_bands(sides)
    assert len(bands.heights) == 12 + 1
    assert bands.post.all()


def test_a_long_side_is_a_piece_in_every_band_it_passes():
    layers = (outline(0, 0, 10, 3), Layer.rectangles([[1, 1, 2, 2], [3, 1, 4, 2], [5, 0, 6, 3]], 1))
    assert posts_of(layers) == {
        *((x, 0.0, 1.0) for x in (0.0, 5.0, 6.0, 10.0)),
        *((x, 1.0, 2.0) for x in (0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 10.0)),
        *((x, 2.0, 3.0) for x in (0.0, 5.0, 6.0, 10.0)),
    }


def test_no_post_where_something_crosses_or_ends_on_it():
    base = outline(0, 0, 10, 3)
    crossed = Layer.patches([[[4, 1], [6, 1.5], [5, 2]]], 1)
    assert (5.0, 0.0, 3.0) not in posts_of((base, Layer.rectangles([[5, 0, 8, 3]], 1), crossed))
    touched = Layer.patches([[[4, 1], [5, 1.5], [4, 2]]], 1)
    assert (5.0, 0.0, 3.0) not in posts_of((base, Layer.rectangles([[5, 0, 8, 3]], 1), touched))
    level = Layer.patches([ring(4, 1, 6, 2)], 1)
    assert (5.0, 0.0, 3.0) not in posts_of((base, Layer.rectangles([[5, 0, 8, 3]], 1), level))
    aside = Layer.patches([[[3, 1], [4.9, 1.5], [4, 2]]], 1)
    assert (5.0, 0.0, 3.0) in posts_of((base, Layer.rectangles([[5, 0, 8, 3]], 1), aside))


def test_no_post_where_a_shorter_upright_side_stands_on_it():
    layers = (outline(0, 0, 10, 3), Layer.rectangles([[5, 0, 8, 3]], 1), Layer.rectangles([[4, 1, 5, 2]], 2))
    found = posts_of(layers)
    assert (5.0, 0.0, 3.0) not in found
    assert (8.0, 0.0, 3.0) in found
