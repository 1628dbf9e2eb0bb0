import numpy as np

from figure_samples import outline
from halfbat.solids.figure import Figure, Layer
from halfbat.solids.grid import PER_MM, to_mm
from halfbat.solids.sheet import lay
from halfbat.solids.stacks import MEET, stack_flat, stack_sloped

STEPPED = Figure((outline(0, 0, 4, 1), Layer.rectangles([[1, 0, 2, 1], [2, 0, 3, 1]], [1, 2])))


def heights_over(stacks, sheet, x, y):
    """Heights of the vertices over a point, in grid units."""
    point = np.flatnonzero((sheet.points == [x * PER_MM, y * PER_MM]).all(axis=1))[0]
    return stacks.vertices[stacks.over == point, 2].tolist()


def test_vertices_over_a_point_follow_one_another_upward():
    sheet = lay(STEPPED)
    stacks = stack_flat(sheet, np.array([5, 30, 10]), None)
    assert heights_over(stacks, sheet, 0, 0) == [5]
    assert heights_over(stacks, sheet, 1, 0) == [5, 30]
    assert heights_over(stacks, sheet, 2, 1) == [10, 30]
    assert (np.diff(stacks.over) >= 0).all()
    np.testing.assert_array_equal(stacks.vertices[:, :2], sheet.points[stacks.over])


def test_a_belt_runs_round_the_rim():
    sheet = lay(STEPPED)
    stacks = stack_flat(sheet, np.array([5, 30, 10]), np.full(len(sheet.borders[sheet.rim]), 2))
    assert heights_over(stacks, sheet, 1, 0) == [2, 5, 30]
    assert (stacks.vertices[stacks.right[sheet.right == -1], 2] == 2).all()
    assert (stacks.vertices[stacks.left[sheet.left == -1], 2] == 2).all()


def test_faces_stand_at_the_height_of_their_cell():
    sheet, heights = lay(STEPPED), np.array([5, 30, 10])
    stacks = stack_flat(sheet, heights, None)
    np.testing.assert_array_equal(stacks.vertices[stacks.faces, 2], heights[sheet.cells][:, None].repeat(3, axis=1))
    np.testing.assert_array_equal(stacks.vertices[stacks.faces, :2], sheet.points[sheet.triangles])


def test_cells_of_one_height_share_their_vertices():
    sheet = lay(STEPPED)
    stacks = stack_flat(sheet, np.array([5, 5, 5]), None)
    assert len(stacks.vertices) == len(sheet.points)
    np.testing.assert_array_equal(stacks.left, stacks.right)


def test_level_slopes_are_numbered_like_level_cells():
    sheet, heights = lay(STEPPED), np.array([0, 4000, 2000])
    belt = np.zeros(len(sheet.borders[sheet.rim]), dtype=np.int64)
    sloped = stack_sloped(sheet, lambda points, cells: heights[cells], belt)
    flat = stack_flat(sheet, heights, belt)
    for name in ("vertices", "over", "faces", "left", "right"):
        np.testing.assert_array_equal(getattr(sloped, name), getattr(flat, name))


def test_planes_that_meet_in_a_line_share_its_vertices():
    sheet = lay(Figure((outline(0, 0, 4, 1.003), Layer.rectangles([[1.001, 0, 4, 1.003]], 1))))

    def heights_at(points, cells):
        # Each plane is rounded on its own, so over the line they share they miss each other by a little.
        along = to_mm(points)[..., 0] - 1.001
        return np.rint(np.where(cells == 0, 0.31 * along + 5, -0.27 * along + 5.0013) * PER_MM).astype(np.int64)

    stacks = stack_sloped(sheet, heights_at, None)
    np.testing.assert_array_equal(stacks.left, stacks.right)
    assert len(stacks.vertices) == len(sheet.points)


def test_heights_further_apart_stay_apart():
    sheet = lay(STEPPED)
    heights = np.array([0, MEET + 1, 2 * MEET])
    stacks = stack_sloped(sheet, lambda points, cells: heights[cells], None)
    assert heights_over(stacks, sheet, 1, 0) == [0, MEET + 1]
    assert len(heights_over(stacks, sheet, 2, 0)) == 1
