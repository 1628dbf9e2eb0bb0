"""A cut that leaves a wall in two pieces makes two panels of them."""

import numpy as np
import pytest

from halfbat.parts.cells import Side, panel_cells
from halfbat.parts.parted_cells import parted_cells
from halfbat.solids.verify import faults
from kit_help import kit_of, parts_of

GAP = 0.1
U_SHAPED = np.array([(0, 0), (20, 0), (20, 30), (15, 30), (15, 8), (6, 8), (6, 30), (0, 30)], dtype=float)


def test_legs_of_a_wall_become_panels_of_their_own():
    cells = panel_cells(20.0, 30.0, [], [16.0], GAP)
    parted = parted_cells(cells, U_SHAPED)
    assert [cell.index for cell in parted] == [1, 2, 3]
    assert parted[0].outline.tolist() == cells[0].outline.tolist()
    left, right = parted[1:]
    assert left.bounds == pytest.approx((0.0, 16.05, 10.5, 30.0))
    assert right.bounds == pytest.approx((10.5, 16.05, 20.0, 30.0))
    assert set(left.sides) == {Side.LEFT, Side.SEAM, Side.TOP} == set(right.sides) - {Side.RIGHT} | {Side.LEFT}


def test_a_wall_that_hangs_together_keeps_its_cells():
    cells = panel_cells(20.0, 30.0, [], [4.0], GAP)
    assert parted_cells(cells, U_SHAPED) == cells


def test_a_plain_wall_is_not_parted():
    kit = kit_of([(0, 0), (24, 0), (24, 6), (0, 6)], kit__scale="1:76.2")
    skins = parts_of(kit, "skin")
    assert len(skins) == sum(len(wall.seams.panels) for wall in kit.plan.walls) > 4
    assert all(faults(part.solid) == () for part in skins)
