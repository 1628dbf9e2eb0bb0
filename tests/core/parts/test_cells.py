import numpy as np
import pytest
from shapely import LineString, Polygon, box, unary_union

from halfbat.parts.cells import Side, panel_cells


def upright(u, height=6.0):
    return np.array([[u, 0.0], [u, height]])


TEETH = np.array([[4, 0], [4, 1], [5, 1], [5, 2], [4, 2], [4, 3], [5, 3], [5, 4], [4, 4], [4, 6]], dtype=float)


def test_a_wall_without_cuts_is_one_panel():
    (cell,) = panel_cells(10.0, 6.0, [], [], 0.1)
    assert cell.outline.tolist() == [[10, 0], [10, 6], [0, 6], [0, 0]]
    assert cell.sides == (Side.RIGHT, Side.TOP, Side.LEFT, Side.BOTTOM)
    assert (cell.row, cell.column, cell.index) == (0, 0, 1)


def test_panels_are_counted_by_rows_from_the_foot():
    cells = panel_cells(10.0, 6.0, [upright(4.0)], [3.0], 0.1)
    assert [(c.index, c.row, c.column) for c in cells] == [(1, 0, 0), (2, 0, 1), (3, 1, 0), (4, 1, 1)]
    assert cells[0].bounds == pytest.approx((0, 0, 3.95, 2.95))
    assert cells[3].bounds == pytest.approx((4.05, 3.05, 10, 6))
    assert cells[0].sides == (Side.SEAM, Side.SEAM, Side.LEFT, Side.BOTTOM)
    assert cells[3].sides == (Side.RIGHT, Side.TOP, Side.SEAM, Side.SEAM)


@pytest.mark.parametrize("gap", [0.0, 0.1, 0.4])
@pytest.mark.parametrize("rows", [[], [2.0], [2.5], [1.0, 4.0]])
def test_panels_and_gaps_make_up_the_wall(rows, gap):
    cells = panel_cells(10.0, 6.0, [TEETH, upright(8.0)], rows, gap)
    panels = [Polygon(cell.outline) for cell in cells]
    assert all(panel.is_valid and panel.exterior.is_ccw for panel in panels)
    lines = [LineString(TEETH), LineString(upright(8.0)), *(LineString([(0, r), (10, r)]) for r in rows)]
    gaps = unary_union([line.buffer(gap / 2, join_style="mitre", cap_style="square") for line in lines] or [Polygon()])
    wall = box(0, 0, 10, 6)
    rest = wall.difference(gaps) if gap else wall
    assert unary_union(panels).symmetric_difference(rest).area == pytest.approx(0, abs=1e-9)
    assert sum(panel.area for panel in panels) == pytest.approx(rest.area)


def test_the_sides_tell_where_each_edge_lies():
    for cell in panel_cells(10.0, 6.0, [TEETH, upright(8.0)], [2.0], 0.1):
        for start, end, side in zip(cell.outline, np.roll(cell.outline, -1, axis=0), cell.sides, strict=True):
            on = {
                Side.LEFT: start[0] == end[0] == 0,
                Side.RIGHT: start[0] == end[0] == 10,
                Side.BOTTOM: start[1] == end[1] == 0,
                Side.TOP: start[1] == end[1] == 6,
            }
            assert [where for where, true in on.items() if true] == ([] if side is Side.SEAM else [side])


def test_every_edge_of_teeth_is_moved_back():
    left, right = panel_cells(10.0, 6.0, [TEETH], [], 0.2)
    assert left.outline[:4].tolist() == [[3.9, 0], [3.9, 1.1], [4.9, 1.1], [4.9, 1.9]]
    assert Polygon(left.outline).distance(Polygon(right.outline)) == pytest.approx(0.2)
