from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from halfbat.errors import KitError
from halfbat.findings import Severity
from halfbat.parts.seams import CutRequest, PanelLimits, SeamRules, SeamStyle, plan_seams
from wall_samples import wall_run

LIMITS = PanelLimits(115.0, 65.0)
TOOTHED = SeamRules((SeamStyle.TOOTHED,))


def codes(seams):
    return [finding.code for finding in seams.findings]


def test_a_wall_that_fits_is_one_panel():
    seams = plan_seams(wall_run(), LIMITS)
    assert (seams.cuts, seams.rows_mm, len(seams.panels), seams.findings) == ((), (), 1, ())


@pytest.mark.parametrize(("length_m", "panels"), [(17.0, 1), (17.1, 2), (34.0, 2), (34.1, 3), (51.0, 3), (90.0, 6)])
def test_a_long_wall_has_as_few_panels_as_its_length_needs(length_m, panels):
    # 115 mm at 1:148 are 17.02 m.
    seams = plan_seams(wall_run(length_m), LIMITS)
    assert len(seams.panels) == panels
    widths = [cell.bounds[2] - cell.bounds[0] for cell in seams.panels]
    assert max(widths) <= 115.0


@pytest.mark.parametrize("bond", ["stretcher", "english", "flemish", "english_garden_wall", "stack"])
def test_panels_are_about_equal_and_no_cut_leaves_a_sliver(bond):
    wall = wall_run(26.6, bond=bond)
    seams = plan_seams(wall, PanelLimits(65.0, 65.0))
    widths = [cell.bounds[2] - cell.bounds[0] for cell in seams.panels]
    assert len(widths) == 3
    assert max(widths) - min(widths) < 3 * wall.module_mm
    assert all(cut.sliver_mm >= 0.25 - 1e-6 for cut in seams.cuts)
    assert all(cut.covered and cut.style is SeamStyle.CABLE_RUN for cut in seams.cuts)


def test_end_panels_are_narrower_where_corners_make_them_wider():
    assert len(plan_seams(wall_run(34.0), LIMITS).panels) == 2
    wide = wall_run(34.0, extras=(0.3, 0.3))
    assert len(plan_seams(wide, LIMITS).panels) == 3
    assert len(plan_seams(wall_run(34.0, extras=(-0.3, -0.3)), LIMITS).panels) == 2


def test_a_high_wall_is_cut_along_bed_joints():
    wall = wall_run(13.3, 15.0)
    seams = plan_seams(wall, PanelLimits(115.0, 40.0))
    assert len(seams.rows_mm) == 2
    for level in seams.rows_mm:
        assert np.abs(wall.laying.bed_v_mm - level).min() <= 0.025 + 1e-9
    heights = [high - low for low, high in pairwise([0.0, *seams.rows_mm, wall.height_mm])]
    assert max(heights) - min(heights) <= 2 * wall.laying.gauge_mm
    assert [cell.row for cell in seams.panels] == [0, 1, 2]


def test_rows_of_a_wall_that_stands_on_a_roof_are_counted_from_its_foot():
    wall = replace(wall_run(13.3, 15.0), outline_mm=np.array([(0, 40), (80, 40), (80, 101), (0, 101)], dtype=float))
    assert plan_seams(wall, PanelLimits(115.0, 65.0)).rows_mm == ()
    (row,) = plan_seams(wall, PanelLimits(115.0, 40.0)).rows_mm
    assert row == pytest.approx(70.5, abs=2 * wall.laying.gauge_mm)


@pytest.mark.parametrize("step", [48.0, 50.3, 50.9, 51.7, 53.0])
def test_no_row_leaves_a_strip_beside_a_step_of_the_wall(step):
    top = wall_run(13.3, 15.0).height_mm
    outline = np.array([(0, 0), (80, 0), (80, step), (30, step), (30, top), (0, top)], dtype=float)
    wall = replace(wall_run(13.3, 15.0), outline_mm=outline, thin_mm=0.8)
    (row,) = plan_seams(wall, PanelLimits(115.0, 65.0)).rows_mm
    assert row - 0.05 >= step or step - (row + 0.05) >= 0.8
    assert abs(row - top / 2) < 2 * wall.laying.gauge_mm + 1.0


def test_a_gable_is_cut_below_its_rakes_where_both_rows_have_room():
    top = wall_run(13.3, 15.0).height_mm
    outline = np.array([(0, 0), (90, 0), (90, 45), (45, top), (0, 45)], dtype=float)
    flat = replace(wall_run(13.3, 15.0), outline_mm=outline)
    (row,) = plan_seams(flat, PanelLimits(115.0, 65.0)).rows_mm
    # At 50.7 mm it would leave tips of 51 degrees only, which hold.
    assert row == pytest.approx(top / 2, abs=flat.laying.gauge_mm)
    low = np.array([(0, 0), (90, 0), (90, 72), (45, top), (0, 72)], dtype=float)
    (row,) = plan_seams(replace(flat, outline_mm=low, thin_mm=0.8), PanelLimits(115.0, 80.0)).rows_mm
    assert row + 0.05 <= 72 - 0.8


def test_rows_and_columns_together():
    seams = plan_seams(wall_run(26.6, 15.0), PanelLimits(115.0, 65.0))
    assert [(cell.row, cell.column, cell.index) for cell in seams.panels] == [
        (0, 0, 1),
        (0, 1, 2),
        (1, 0, 3),
        (1, 1, 4),
    ]


def test_teeth_where_courses_are_high_enough():
    seams = plan_seams(wall_run(13.3, scale="1:76"), LIMITS, TOOTHED)
    assert [cut.style for cut in seams.cuts] == [SeamStyle.TOOTHED]
    assert not seams.cuts[0].covered
    assert seams.findings == ()


def test_without_room_for_teeth_seams_go_under_a_cable_run_and_that_is_told():
    seams = plan_seams(wall_run(26.6), LIMITS, TOOTHED)
    assert [cut.style for cut in seams.cuts] == [SeamStyle.CABLE_RUN]
    assert seams.cuts[0].covered
    assert codes(seams) == ["teeth-too-small"]


def test_where_the_bond_has_no_teeth_in_reach_a_cable_run_is_taken_and_told():
    # The spans leave half a millimetre free in the middle, too little for teeth.
    wall = wall_run(13.3, scale="1:76")
    middle = wall.length_mm / 2
    seams = plan_seams(wall, LIMITS, TOOTHED, keep_outs=[(0, middle - 0.25), (middle + 0.25, wall.length_mm)])
    assert [cut.style for cut in seams.cuts] == [SeamStyle.CABLE_RUN]
    assert codes(seams)[0] == "teeth-do-not-fit"


def test_asked_cuts_stand_and_the_rest_is_cut_round_them():
    wall = wall_run(30.0)
    seams = plan_seams(wall, LIMITS, requests=[CutRequest(20.0)])
    assert [cut.asked for cut in seams.cuts] == [True, False]
    assert seams.cuts[0].position_mm == pytest.approx(20.0)
    widths = [cell.bounds[2] - cell.bounds[0] for cell in seams.panels]
    assert widths[1] == pytest.approx(widths[2], abs=wall.module_mm)


def test_an_asked_cut_is_made_even_in_a_wall_that_fits():
    assert len(plan_seams(wall_run(), LIMITS, requests=[CutRequest(40.0)]).panels) == 2


def test_a_span_kept_free_moves_the_cut_aside():
    wall = wall_run(26.6)
    seams = plan_seams(wall, LIMITS, keep_outs=[(80.0, 100.0)])
    (cut,) = seams.cuts
    assert cut.position_mm + 0.05 <= 80.0 or cut.position_mm - 0.05 >= 100.0
    assert min(abs(cut.position_mm - 80), abs(cut.position_mm - 100)) < wall.module_mm


def test_no_cut_within_two_bricks_of_an_end_or_another():
    wall = wall_run(1.55, scale="1:43")
    seams = plan_seams(wall, PanelLimits(22.0, 115.0))
    (cut,) = seams.cuts
    assert 2 * wall.module_mm <= cut.position_mm <= wall.length_mm - 2 * wall.module_mm


def test_a_wall_too_short_for_that_is_cut_all_the_same():
    # 3.5 bricks: one panel at least is under two bricks.
    wall = wall_run(0.78, scale="1:43")
    seams = plan_seams(wall, PanelLimits(11.0, 115.0))
    assert len(seams.panels) == 2


@pytest.mark.parametrize("width", [0.5, 1.5, 3.0])
def test_a_printer_smaller_than_two_bricks_is_refused(width):
    with pytest.raises(KitError, match="narrower than two bricks"):
        plan_seams(wall_run(), PanelLimits(width, 65.0))


@pytest.mark.parametrize("height", [0.1, 0.4, 2.0])
def test_a_printer_lower_than_a_panel_is_refused(height):
    with pytest.raises(KitError, match="bed joints"):
        plan_seams(wall_run(), PanelLimits(115.0, height))


def test_a_wall_kept_free_all_over_is_refused():
    with pytest.raises(KitError, match="outside the spans kept free"):
        plan_seams(wall_run(26.6), LIMITS, keep_outs=[(0.0, 200.0)])


def test_a_cover_that_hides_less_than_the_gap_is_told():
    seams = plan_seams(wall_run(26.6), LIMITS, SeamRules(cover_width_mm=0.6))
    assert not seams.cuts[0].covered
    assert [(f.code, f.severity) for f in seams.findings] == [("cover-narrow", Severity.WARNING)]
    assert "0.8 mm" in seams.findings[0].remedy


def test_a_sliver_beside_an_asked_cut_is_told():
    wall = wall_run(26.6)
    perpend = wall.laying.patterns[0].bounds_mm[40]
    seams = plan_seams(wall, LIMITS, requests=[CutRequest(float(perpend) + 0.2)])
    assert codes(seams) == ["seam-sliver"]


def test_of_several_styles_the_one_seen_least_is_taken():
    rules = SeamRules((SeamStyle.STRAIGHT, SeamStyle.TOOTHED, SeamStyle.MOVEMENT_JOINT))
    seams = plan_seams(wall_run(13.3, scale="1:76"), LIMITS, rules)
    assert [cut.style for cut in seams.cuts] == [SeamStyle.MOVEMENT_JOINT]
