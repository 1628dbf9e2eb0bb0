import pytest

from halfbat.surfaces.fitting import RowPlan, fit_rows, nearest_unbroken, unbroken_total
from halfbat.surfaces.pieces import Kind, Modules

S, H, Q = Kind.STRETCHER, Kind.HEADER, Kind.QUEEN_CLOSER
MODULES = Modules(2, 0.05625)
STRETCHERS = [RowPlan((), (S,), (S,), (), H), RowPlan((H,), (), (S,), (H,), H)]
STRETCH = 3 / 225


@pytest.mark.parametrize(("length", "total"), [(40, 40), (40.5, 40), (39.5, 40), (200.0, 200), (202.1, 204)])
def test_nearest_whole_total_is_taken(length, total):
    assert unbroken_total(STRETCHERS, length, STRETCH, MODULES) == total


def test_no_total_beyond_the_stretch():
    assert unbroken_total(STRETCHERS, 41, STRETCH, MODULES) is None
    assert nearest_unbroken(STRETCHERS, 41, MODULES) == 40


def test_exact_length_fits_with_no_stretch_at_all():
    assert unbroken_total(STRETCHERS, 40, 0.0, MODULES) == 40


def test_unbroken_rows_are_the_bond():
    fit = fit_rows(STRETCHERS, [0, 1], 12, STRETCH, MODULES)
    assert not fit.broken
    assert [row.kinds for row in fit.rows] == [(S, S, S), (H, S, S, H)]
    assert fit.rows[1].perpends == (0, 2, 6, 10, 12)


def test_broken_rows_share_the_total_and_keep_the_ends():
    fit = fit_rows(STRETCHERS, [0, 1], 43, STRETCH, MODULES)
    assert fit.broken
    assert not fit.cut
    assert {row.perpends[-1] for row in fit.rows} == {43}
    assert (fit.rows[1].kinds[0], fit.rows[1].kinds[-1]) == (H, H)


def test_too_short_to_share_out_gets_one_cut_bat_a_row():
    fit = fit_rows(STRETCHERS, [0, 1], 10.4, STRETCH, MODULES)
    assert fit.cut
    for row in fit.rows:
        assert row.kinds.count(Kind.CUT_BAT) == 1
        assert row.perpends[-1] == pytest.approx(10.4)


def test_narrower_than_half_a_bat_is_one_piece():
    fit = fit_rows(STRETCHERS, [0, 1], 1.3, STRETCH, MODULES)
    assert [row.kinds for row in fit.rows] == [(Kind.CUT_BAT,)] * 2
