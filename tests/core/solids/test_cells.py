import numpy as np

from figure_samples import arch, bricks, outline
from halfbat.solids.cells import cut_into_cells, entries_of, rows_of
from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.sides import sides_of


def rows_and_entries(figure):
    cut = cut_into_cells(sides_of(figure))
    rows = rows_of(cut)
    return cut, rows, entries_of(cut, rows)


def wall_with_one_arch():
    rects, length, height = bricks(60, 12)
    opening = Layer.patches([arch(20.0, 2.0, 3.0, 4.0)], OUTSIDE)
    return Figure((outline(0, 0, length, height), Layer.rectangles(rects, 1), opening))


def test_plain_bricks_leave_nothing_but_posts():
    rects, length, height = bricks(60, 12)
    cut, rows, entries = rows_and_entries(Figure((outline(0, 0, length, height), Layer.rectangles(rects, 1))))
    assert len(cut.local) == 0
    assert rows.busy == 0
    assert len(entries.row) == 0
    assert (rows.y1 > rows.y0).all()


def test_what_happens_at_an_arch_stays_in_the_cells_it_lies_in():
    cut, rows, _ = rows_and_entries(wall_with_one_arch())
    assert rows.busy > 0
    assert len(cut.local) < 150
    x = cut.pieces.x0[cut.local] / 10_000
    assert x.min() > 20.0 - 2.25
    assert x.max() < 23.0 + 2.25


def test_rows_fill_every_cell_from_bottom_to_top():
    cut, rows, _ = rows_and_entries(wall_with_one_arch())
    same = rows.cell[1 : rows.busy] == rows.cell[: rows.busy - 1]
    assert (rows.y0[1 : rows.busy][same] == rows.y1[: rows.busy - 1][same]).all()
    assert set(rows.y0[: rows.busy][1:][~same].tolist()) <= set(cut.pieces.heights.tolist())


def test_sides_in_a_row_stand_from_left_to_right_at_both_its_lines():
    _, rows, entries = rows_and_entries(wall_with_one_arch())
    same = entries.row[1:] == entries.row[:-1]
    assert same.any()
    assert (np.diff(entries.x0)[same] >= 0).all()
    assert (np.diff(entries.x1)[same] >= 0).all()
    assert (np.diff(entries.row) >= 0).all()
    assert entries.row.max() < rows.busy


def test_sides_that_coincide_in_a_row_take_one_line():
    halves = [[[0, 0], [1, 0], [2, 2], [0, 2]], [[1, 0], [3, 0], [3, 2], [2, 2]]]
    _, _, entries = rows_and_entries(Figure((outline(0, 0, 3, 2), Layer.tiles(halves, [1, 2]))))
    coincide = (entries.x0[1:] == entries.x0[:-1]) & (entries.x1[1:] == entries.x1[:-1])
    assert coincide.any()
    assert (entries.line[1:][coincide] == entries.line[:-1][coincide]).all()
