import numpy as np
import pytest

from halfbat.surfaces.broken_bond import RowPlan, best_break
from halfbat.surfaces.pieces import Kind, Modules

S, H, Q, T = Kind.STRETCHER, Kind.HEADER, Kind.QUEEN_CLOSER, Kind.THREE_QUARTER_BAT
MODULES = Modules(2, 0.05625)
STRETCHERS = [RowPlan((), (S,), (S,), (), Kind.HALF_BAT), RowPlan((H,), (), (S,), (H,), Kind.HALF_BAT)]


@pytest.mark.parametrize("total", [41, 42, 43, 81, 82, 83])
def test_stretcher_bond_breaks_with_few_pieces_in_mid_wall_and_full_laps(total):
    found = best_break(STRETCHERS, [0, 1], total, MODULES, cut=False)
    assert found is not None
    assert found.short_laps == 0
    for row in found.rows:
        widths = np.diff(row.perpends)
        odd = [place for place, kind in enumerate(row.kinds) if kind not in (S, H)]
        assert len(odd) <= 2
        assert widths.min() >= 2
        for place in odd:
            assert abs((row.perpends[place] + row.perpends[place + 1]) / 2 - total / 2) <= 10
    lower, upper = (np.array(row.perpends[1:-1]) for row in found.rows)
    assert np.abs(lower[:, None] - upper).min() >= 1


def test_three_quarters_over_is_one_three_quarter_bat():
    found = best_break(STRETCHERS, [0, 1], 43, MODULES, cut=False)
    assert found is not None
    assert [row.kinds.count(T) for row in found.rows] == [1, 1]


def test_one_unit_cannot_be_filled():
    assert best_break(STRETCHERS, [0, 1], 1, MODULES, cut=False) is None


def test_cut_bats_are_between_half_and_whole():
    found = best_break(STRETCHERS, [0, 1], 13.3, MODULES, cut=True)
    assert found is not None
    for row in found.rows:
        widths = np.diff(row.perpends)
        assert widths[row.kinds.index(Kind.CUT_BAT)] % 1 == pytest.approx(0.3)
        assert widths.min() >= 2 - 1e-9
        assert widths.max() <= 4 + 1e-9


def test_same_input_same_break():
    first, second = (best_break(STRETCHERS, [0, 1], 57, MODULES, cut=False) for _ in range(2))
    assert first == second
