from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from gabled_plans import kit_of_shape, plan_of, settings_of, structure_of
from halfbat.building.structure import EdgeKind
from halfbat.parts.clearing import area_of
from halfbat.parts.corners import End, Fits
from halfbat.parts.roof_cells import roof_cells
from halfbat.parts.roof_edges import HAIR_MM, Surroundings, ended
from halfbat.parts.roof_skins import (
    VENTED_MM,
    build_roof_panel,
    laid,
    lead_level_mm,
    roof_courses,
    roof_face,
    tile_counts,
)
from halfbat.parts.standing import Standing
from halfbat.printing.checks.pockets import CUP_DEPTH_MM
from halfbat.solids.plate import Lean
from kit_help import common_mm3, manifold, parts_of
from solids_help import assert_printable_solid

FITS = Fits(0.2, 0.1, 0.3)


def test_a_smooth_roof_has_no_courses():
    plan, settings, scale = plan_of("gable", "none")
    slope = plan.structure.slopes[0]
    assert roof_courses(slope, settings, scale) is None
    assert laid(slope, None, np.zeros(2), settings, scale) is None
    assert tile_counts(list(plan.roofs), settings) == ({}, [])


def test_the_ridge_is_mitred_and_the_eaves_are_plumb():
    plan, _, scale = plan_of("gable", "none")
    face = roof_face(plan.structure.slopes[0], 1.5, 0.2, None, FITS, scale)
    assert face.depth_mm == pytest.approx(1.7)
    # Two slopes of 30.96 degrees meet at 180 - 2 * 30.96; half of that leans by 1 / tan(59.04) = 0.6.
    eaves, lean = sorted((one for one in face.face.leans if one.slope), key=lambda one: one.slope)
    assert lean.slope == pytest.approx(0.6)
    # Eaves are cut plumb.
    assert eaves.slope == pytest.approx(-0.6)
    top = np.hypot(25, 15) - 0.05 / np.cos(np.arctan(0.6))
    assert lean.start[1] == pytest.approx(top) and lean.end[1] == pytest.approx(top)
    np.testing.assert_allclose(np.ptp(face.face.outline_mm, axis=0), [80.0, top], atol=1e-6)


def test_a_slope_stops_at_the_skin_of_a_wall_that_rises_over_its_end():
    plan, _, scale = plan_of("gable", "none")
    slope = plan.structure.slopes[0]
    place = next(i for i, edge in enumerate(slope.edges) if edge.kind is EdgeKind.VERGE)
    edges = list(slope.edges)
    edges[place] = replace(edges[place], kind=EdgeKind.PARAPET)
    raised = replace(slope, edges=tuple(edges))
    wall = plan.structure.walls[edges[place].wall]
    free = roof_face(raised, 1.5, 0.2, None, FITS, scale)
    kept = roof_face(raised, 1.5, 0.2, None, FITS, scale, {wall.index: (wall.outward, 1.3)})
    assert np.ptp(free.face.outline_mm[:, 0]) == pytest.approx(80 - 0.1)
    assert np.ptp(kept.face.outline_mm[:, 0]) == pytest.approx(80 - 0.1 - 1.3)


def test_cuts_are_equal_and_lie_apart_by_the_gap():
    plan, _, scale = plan_of("gable", "none")
    face = roof_face(plan.structure.slopes[0], 1.5, 0.2, None, FITS, scale)
    assert len(roof_cells(face, (100.0, 60.0), 0.1, None)) == 1
    first, second = roof_cells(face, (60.0, 60.0), 0.1, None)
    assert first[1][0] == pytest.approx(39.95) and second[0][0] == pytest.approx(40.05)
    assert len(roof_cells(face, (30.0, 20.0), 0.1, None)) == 6


@pytest.mark.parametrize("covering", ["none", "slate", "plain tile", "corrugated steel"])
@pytest.mark.parametrize("shape", ["gable", "hip"])
def test_panels_are_closed_solids_as_thick_as_planned(shape, covering):
    plan, settings, _ = plan_of(shape, covering)
    face = plan.roofs[0]
    for box in roof_cells(face, (60.0, 60.0), 0.1, None):
        panel = build_roof_panel(face, box, settings, "RA1")
        assert panel is not None
        assert_printable_solid(panel.solid, crossings=False)
        assert panel.solid.size_mm[2] <= face.depth_mm + 1e-6
        assert panel.solid.size_mm[2] > face.base_mm - 1e-6
    assert build_roof_panel(face, np.array([[500.0, 500.0], [510.0, 510.0]]), settings, "RA2") is None


@pytest.mark.parametrize("shape", ["gable", "hip"])
def test_skins_of_one_roof_stand_clear_of_each_other_and_of_the_walls(shape):
    kit = kit_of_shape(shape, marks=False)
    roofs = [manifold(part) for part in parts_of(kit, "roof skin")]
    others = [manifold(part) for kind in ("skin", "shell", "former") for part in parts_of(kit, kind)]
    for i, one in enumerate(roofs):
        # Raised by what rounding corners to the grid may take.
        assert all(common_mm3(one, other) < 1e-3 for other in roofs[:i])
        assert all(common_mm3(one.translate((0, 0, 0.005)), other) < 1e-3 for other in others)


def test_tiles_are_counted_by_slope():
    plan, settings, _ = plan_of("gable")
    counts, _ = tile_counts(list(plan.roofs), settings)
    assert set(counts) == {0, 1}
    assert sum(counts[0].values()) == sum(counts[1].values()) > 100
    assert settings_of().roof.covering == "slate" and len(structure_of("gable").slopes) == 2


def test_the_first_panel_of_a_roof_near_the_largest_ends_at_its_seam():
    plan, settings, scale = plan_of("gable", "none")
    large = replace(scale, ratio=scale.ratio / 12)
    face = roof_face(plan.structure.slopes[0], 1.5, 0.2, None, FITS, large)
    assert np.ptp(face.face.outline_mm[:, 0]) == pytest.approx(960)
    boxes = roof_cells(face, (100.0, 60.0), 0.1, None)
    for box in (boxes[0], boxes[-1]):
        panel = build_roof_panel(face, box, settings, "RA1")
        assert_printable_solid(panel.solid, crossings=False)
        assert panel.solid.size_mm[0] < 100.5


def test_a_slope_is_cut_where_a_wall_comes_through_it():
    plan, _, scale = plan_of("gable", "none")
    slope = plan.structure.slopes[0]
    # A chimney breast 10 wide that stands out of the eaves by 6, in plan.
    low = slope.place(np.array([[3.0, 0.0], [4.0, 0.0], [4.0, 0.7], [3.0, 0.7]]))[:, :2] * 10
    around = Surroundings([Standing(low, (0.0, 0.0, 0.0), (60.0, 0.0, 0.0), 9)], plan.structure.slopes)
    whole = roof_face(slope, 1.5, 0.2, None, FITS, scale)
    kept = roof_face(slope, 1.5, 0.2, None, FITS, scale, {}, around)
    lost = area_of(whole.face.outline_mm) - area_of(kept.face.outline_mm)
    # The gap, less a hair, is kept on three sides, in plan.
    gap = FITS.gap_mm - HAIR_MM
    deep = 7.0 + gap * np.hypot(2.5, 1.5) / 2.5
    assert lost == pytest.approx((10.0 + 2 * gap) * deep, rel=1e-3)
    # One that ends below it changes nothing.
    low_wall = Surroundings([Standing(low, (0.0, 0.0, 0.0), (20.0, 0.0, 0.0), 9)], plan.structure.slopes)
    same = roof_face(slope, 1.5, 0.2, None, FITS, scale, {}, low_wall)
    np.testing.assert_allclose(same.face.outline_mm, whole.face.outline_mm)


def test_a_slope_is_cut_apart_from_corners_that_lean():
    plan, _, scale = plan_of("gable", "none")
    slope = plan.structure.slopes[0]
    face = roof_face(slope, 1.5, 0.2, None, FITS, scale)
    (middle,) = (box[1][0] + 0.05 for box in roof_cells(face, (60.0, 60.0), 0.1, None)[:1])
    moving = Lean((middle + 0.4, 5.0), (middle + 0.4, 9.0), 0.0, 1.7, (0.5, -1.0), (0.5, -1.0))
    corner = replace(face, face=replace(face.face, leans=(moving,)))
    pattern = SimpleNamespace(joints_mm=(np.linspace(1.0, 79.0, 79),), tails_mm=np.zeros(0))
    first, second = roof_cells(corner, (60.0, 60.0), 0.1, pattern)
    # What is beside such a corner makes room for it over twice its own way.
    assert abs(first[1][0] + 0.05 - (middle + 0.4)) > 2 * 0.5 * face.depth_mm
    assert abs(first[1][0] + 0.05 - middle) < 5.0 and second[0][0] > first[1][0]


@pytest.mark.parametrize("spare", [0.05, 0.6])
def test_panels_fit_the_printer_with_the_feet_of_plumb_eaves_that_reach_beyond_the_outline(spare):
    plan, settings, _ = plan_of("gable", "plain tile")
    face = plan.roofs[0]
    lips = [float(tip[1]) for _, tip in face.face.lips_mm]
    high = float(face.face.outline_mm[:, 1].max())
    assert min(lips) < -0.4
    # Room for two panels of the outline alone, and a little more or less than its lips take.
    room = (high - min(lips)) / 2 + spare
    for box in roof_cells(face, (100.0, room), 0.1, None):
        panel = build_roof_panel(face, box, settings, "RA1")
        assert panel is not None and panel.solid.size_mm[1] <= room + 1e-6


@pytest.mark.parametrize(("depth", "lead"), [(1.8, 1.8), (2.05, 2.0), (2.1, 2.0), (2.4, 2.4)])
def test_lead_round_a_roof_light_walls_in_no_hollow_that_is_called_a_cup(depth, lead):
    assert lead_level_mm(depth) == lead
    assert VENTED_MM == CUP_DEPTH_MM


def test_a_mitre_beside_an_edge_almost_in_line_is_made_square_beside_others_not():
    mitre, plumb = (End(0.0, lean, ((lean * 1.4, 1.4),)) for lean in (0.75, -0.07))
    # Corners turn by 20, 45 and 115 degrees, and twice by 90.
    outline = np.array([(0.0, 0.0), (20.0, 0.0), (20.0, 12.0), (5.0, 12.0), (0.94, 10.52), (0.0, 8.0)])
    upright = End(0.0)

    def ended_with(ends):
        over = [SimpleNamespace(end=lambda depth, own=own: own) for own in ends]
        return ended(SimpleNamespace(edges=[None] * len(ends)), outline, 1.4, Fits(0.2, 0.1, 0.4), {}, over)[1]

    beside = ended_with([upright, upright, plumb, mitre, upright, upright])
    # Square as far back as its underside was: the corner would slide by 2.4 for each millimetre of depth.
    assert beside[3] == End(0.75 * 1.4) and beside[2] == plumb
    alike = ended_with([upright, upright, mitre, mitre, upright, upright])
    assert alike[2:4] == [mitre, mitre]
    across = ended_with([upright, mitre, plumb, upright, upright, upright])
    assert across[1:3] == [mitre, plumb]
