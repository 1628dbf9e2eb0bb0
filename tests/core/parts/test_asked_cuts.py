import pytest

from halfbat.errors import KitError
from halfbat.parts.asked_cuts import CutRequest, PanelLimits, SeamRules, asked_cuts
from halfbat.parts.cuts import SeamStyle
from wall_samples import wall_run

LIMITS = PanelLimits(115.0, 65.0)


def ask(wall, *requests, styles=(SeamStyle.CABLE_RUN,), keep_outs=(), limits=LIMITS, gap=0.1):
    return asked_cuts(wall, limits, SeamRules(styles, gap_mm=gap), styles, requests, keep_outs)


def test_a_cut_stands_where_it_was_asked_for_on_the_nearest_pixel():
    wall = wall_run()
    cuts = ask(wall, CutRequest(50.012), CutRequest(20.0, SeamStyle.MOVEMENT_JOINT))
    assert [cut.position_mm for cut in cuts] == pytest.approx([20.0, 50.0])
    assert [cut.style for cut in cuts] == [SeamStyle.MOVEMENT_JOINT, SeamStyle.CABLE_RUN]
    assert [cut.covered for cut in cuts] == [False, True]
    assert all(cut.asked for cut in cuts)


def test_a_toothed_cut_takes_the_nearest_teeth():
    wall = wall_run(8.0, 2.0, scale="1:76")
    for position in (20.0, 50.0, 71.3):
        (cut,) = ask(wall, CutRequest(position, SeamStyle.TOOTHED))
        assert cut.low_mm < cut.high_mm
        assert abs(cut.position_mm - position) <= wall.module_mm / 2


@pytest.mark.parametrize("position", [-5.0, 0.0, 89.9, 1000.0, float("nan"), float("inf")])
def test_a_cut_off_the_wall_is_refused(position):
    with pytest.raises(KitError, match="off the wall"):
        ask(wall_run(), CutRequest(position))


@pytest.mark.parametrize("position", [0.5, 2.9, 88.0])
def test_a_cut_too_near_an_end_is_refused(position):
    with pytest.raises(KitError, match="leaves a panel under 3 mm at the wall's end"):
        ask(wall_run(), CutRequest(position))


def test_a_cut_just_far_enough_from_an_end_is_made():
    assert len(ask(wall_run(), CutRequest(3.0), CutRequest(86.85))) == 2


@pytest.mark.parametrize("position", [30.0, 35.0, 40.02])
def test_a_cut_in_a_span_kept_free_is_refused(position):
    with pytest.raises(KitError, match="kept"):
        ask(wall_run(), CutRequest(position), keep_outs=[(10, 20), (30, 40)])


def test_cuts_too_near_each_other_are_refused():
    with pytest.raises(KitError, match="between them"):
        ask(wall_run(), CutRequest(30.0), CutRequest(50.0), CutRequest(32.9))
    with pytest.raises(KitError, match="between them"):
        ask(wall_run(), CutRequest(30.0), CutRequest(30.0))


def test_teeth_where_courses_are_too_low_are_refused():
    with pytest.raises(KitError, match="teeth"):
        ask(wall_run(), CutRequest(30.0, SeamStyle.TOOTHED))


def test_teeth_that_a_wide_gap_would_eat_are_refused():
    with pytest.raises(KitError, match=r"gap of 0\.5 mm"):
        ask(wall_run(scale="1:76"), CutRequest(30.0, SeamStyle.TOOTHED), gap=0.5)
