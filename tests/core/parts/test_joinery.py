import numpy as np
import pytest
from shapely import Polygon, unary_union

from halfbat.parts.joinery import Cell, Sizes, cell_number, joinery, told_of_bars
from halfbat.settings import OpeningRequest, ResinProcess
from halfbat.settings.openings import INSERT_CHOICES, parse_panes
from halfbat.solids.figure import OUTSIDE
from halfbat.units import parse_scale

SCALE = parse_scale("1:50")
SIZES = Sizes.at(SCALE, ResinProcess())
LOW, HIGH = np.array([0.0, 0.0]), np.array([18.0, 40.0])


def drawn(kind, leaves=1, panes=(2, 3), high=HIGH):
    return joinery(kind, LOW, high, leaves, panes, SIZES, SCALE)


def holes(cells):
    return [Polygon(cell.ring_mm) for cell in cells if cell.plane is None]


def test_sizes_are_those_of_the_scale_or_what_the_printer_makes():
    # 60, 100 and 25 mm at 1:50; the least stroke is 0.30.
    assert (SIZES.frame_mm, SIZES.stile_mm, SIZES.bar_mm) == pytest.approx((1.2, 2.0, 0.5))
    assert SIZES.groove_mm == pytest.approx(0.15)
    # 0.12 in whole layers of 0.05, at least two.
    assert SIZES.step_mm == pytest.approx(0.1)
    small = Sizes.at(parse_scale("1:148"), ResinProcess())
    # Bars are held at both ends, and so half as thick as a wall may be.
    assert small.bar_mm == pytest.approx(0.4)


def told(panes, scale, width=18.0):
    request = OpeningRequest("A", "1 m", "1 m", "1 m", insert="casement window", panes=panes)
    sizes = Sizes.at(parse_scale(scale), ResinProcess())
    room = np.zeros(2), np.array([width, 30.0])
    cells = joinery("casement window", *room, 1, parse_panes(panes, ""), sizes, parse_scale(scale))
    return [(finding.code, finding.text) for finding in told_of_bars("JA1", request, cells, sizes, parse_scale(scale))]


def test_bars_wider_than_true_and_panes_that_find_no_room_are_told_once_each():
    assert told("2x2", "1:50") == []
    assert [code for code, _ in told("2x2", "1:148")] == ["bars-widened"]
    assert "0.40 mm wide, the least that holds, where 25 mm would be 0.17 mm" in told("2x2", "1:148")[0][1]
    assert told("1x1", "1:148") == []
    assert told("9x1", "1:148", width=3.0)[-1] == (
        "panes-left-out",
        "2 of 9 panes fit between glazing bars 0.40 mm wide",
    )


@pytest.mark.parametrize("kind", [kind for kind in INSERT_CHOICES if kind != "none"])
@pytest.mark.parametrize("leaves", [1, 2])
def test_everything_stays_inside_its_frame_and_behind_its_face(kind, leaves):
    room = Polygon([[0, 0], [18, 0], [18, 40], [0, 40]]).buffer(1e-9)
    cells = drawn(kind, leaves)
    assert cells
    for cell in cells:
        assert room.contains(Polygon(cell.ring_mm))
        if cell.plane is not None:
            a, b, c = cell.plane
            assert (a + cell.ring_mm @ [b, c] >= -1e-9).all()


def test_flush_door_is_one_leaf():
    (cell,) = drawn("flush door")
    assert cell.plane == (SIZES.step_mm, 0.0, 0.0)
    assert Polygon(cell.ring_mm).area == pytest.approx(18 * 40)


def test_double_doors_part_by_a_groove():
    ground, left, right = drawn("flush door", leaves=2)
    assert ground.plane == (2 * SIZES.step_mm, 0.0, 0.0)
    assert right.ring_mm[:, 0].min() - left.ring_mm[:, 0].max() == pytest.approx(SIZES.groove_mm)


def test_boards():
    # Boards of 150 mm are 3.0: six over 18, so five grooves.
    _, *grooves = drawn("boarded door")
    assert len(grooves) == 5
    np.testing.assert_allclose([groove.ring_mm[:, 0].mean() for groove in grooves], [3, 6, 9, 12, 15])


def test_four_panels_within_stiles_and_a_lock_rail():
    _, *panels = drawn("panelled door")
    assert len(panels) == 4
    # 18 less three stiles of 2.0, halved.
    assert {round(float(np.ptp(panel.ring_mm[:, 0])), 9) for panel in panels} == {6.0}


def test_louvres_lean():
    blades = drawn("vent")
    # 75 mm at 1:50 is 1.5: 40 / 1.5 is nearest to 27.
    assert len(blades) == 27
    a, _, c = blades[0].plane
    assert (a, a + c * 40 / 27) == pytest.approx((SIZES.step_mm, 3 * SIZES.step_mm))


def test_casement_window_has_its_panes():
    cells = drawn("casement window", panes=(2, 3))
    panes = holes(cells)
    assert len(panes) == 6
    # Stile 0.6 * 2.0 + 0.4 * 0.5 = 1.4; (18 - 2.8 - 0.5) / 2 and (40 - 2.8 - 2 * 0.5) / 3.
    assert sum(pane.area for pane in panes) == pytest.approx(6 * 7.35 * (36.2 / 3))
    assert unary_union(panes).area == pytest.approx(sum(pane.area for pane in panes))


def test_sash_window_has_two_sashes_one_behind_the_other():
    cells = drawn("sash window", panes=(2, 4))
    sashes = [cell for cell in cells if cell.plane is not None]
    assert [cell.plane[0] for cell in sashes] == pytest.approx([2 * SIZES.step_mm, SIZES.step_mm])
    assert len(holes(cells)) == 8


def test_bars_are_left_out_where_the_printer_could_not_make_them():
    # Metal stiles of 0.5 leave 2.0 by 39: two columns of bars of 0.5, not twelve.
    cells = drawn("metal window", panes=(12, 1), high=np.array([3.0, 40.0]))
    assert len(holes(cells)) == 2


def test_cells():
    ring = np.zeros((4, 2))
    assert cell_number(Cell(ring, None), 7) == OUTSIDE
    assert cell_number(Cell(ring, (0.0, 0.0, 0.0)), 7) == 7
