import numpy as np
import pytest

from halfbat.building.plain import structure_from_building
from halfbat.errors import KitError
from halfbat.parts.bases import base_thickness_mm
from halfbat.parts.kit_plan import plan_kit
from halfbat.settings import FeatureRequest, NoSeam, SeamRequest, Settings
from halfbat.units import parse_scale
from kit_help import building_of, settings_with

BOX = [(0, 0), (9.9, 0), (9.9, 5.4), (0, 5.4)]


def planned(plan=BOX, height=3.0, seams=(), no_seams=(), features=(), **values):
    settings = settings_with(**values)
    settings = Settings(
        **{
            **{f: getattr(settings, f) for f in settings.__slots__},
            "seams": seams,
            "no_seams": no_seams,
            "features": features,
        }
    )
    return plan_kit(structure_from_building(building_of(plan, height)), settings, parse_scale(settings.kit.scale))


@pytest.mark.parametrize(
    ("side", "base"), [(10, 1.0), (50, 1.0), (50.1, 1.2), (100, 1.2), (100.1, 1.5), (150, 1.5), (400, 1.5)]
)
def test_base_by_the_longest_side(side, base):
    assert base_thickness_mm(side, settings_with()) == pytest.approx(base)


def test_base_asked_for_in_whole_layers_and_thick_for_deep_joints():
    assert base_thickness_mm(80, settings_with(skin__base_thickness_mm=0.93)) == pytest.approx(0.95)
    assert base_thickness_mm(80, settings_with(resin__layer_mm=0.07)) == pytest.approx(1.26)
    assert base_thickness_mm(80, settings_with(), 0.3) == pytest.approx(2.0)


def test_full_size_becomes_model_size_once():
    plan = planned()
    assert [wall.facing.laying.length_mm for wall in plan.walls] == pytest.approx([66.89, 36.49] * 2, abs=0.01)
    np.testing.assert_allclose(plan.corners_mm, np.array(BOX) / 0.148)
    assert plan.height_mm == pytest.approx(3000 / 148)
    assert {wall.facing.laying.gauge_mm for wall in plan.walls} == {plan.coursing.gauge_mm}


def test_thickness_follows_the_panels_of_each_wall():
    assert [wall.facing.base_mm for wall in planned().walls] == pytest.approx([1.2, 1.0, 1.2, 1.0])
    halved = planned(seam__panel_limit_mm=40.0)
    assert [wall.facing.base_mm for wall in halved.walls] == pytest.approx([1.0] * 4)


def test_walls_that_meet_nearly_straight_have_one_thickness():
    bow = [(0, 0), (3, 0), (10, 0.4), (17, 0.4), (20, 0), (20, 8), (0, 8)]
    bases = [wall.facing.base_mm for wall in planned(bow).walls]
    assert bases[:4] == pytest.approx([max(bases[:4])] * 4)
    assert planned(bow).walls[0].wall.length_m < 4


def test_thin_skins_are_told():
    assert "skin-thin" in {finding.code for finding in planned(skin__base_thickness_mm=0.6).findings}
    assert "skin-thin" not in {finding.code for finding in planned().findings}


def test_seams_of_the_maker_by_letter_and_by_length_in_bricks():
    plan = planned(seams=(SeamRequest("A", "4.95 m"), SeamRequest("C", "20 bricks", "movement joint")))
    a, _, c, _ = plan.walls
    assert [cut.position_mm for cut in a.seams.cuts] == pytest.approx([4950 / 148], abs=0.03)
    assert [cut.style.value for cut in c.seams.cuts] == ["movement joint"]
    assert c.seams.cuts[0].position_mm == pytest.approx(20 * 225 / 148, abs=0.03)


@pytest.mark.parametrize(
    ("values", "what"),
    [
        ({"seams": (SeamRequest("Z", "1 m"),)}, "no wall 'Z'"),
        ({"no_seams": (NoSeam("Q", "1 m", "2 m"),)}, "no wall 'Q'"),
        ({"seams": (SeamRequest("A", "12 m"),)}, "off the wall"),
        ({"seams": (SeamRequest("A", "0.1 m"),)}, "at the wall's end"),
        ({"seams": (SeamRequest("A", "3 m"),), "no_seams": (NoSeam("A", "2 m", "4 m"),)}, "kept free"),
        ({"height": 0.05}, "lower than one course"),
        ({"kit__scale": "1:8"}, "more than the metre"),
        ({"resin__usable_x_mm": 1.0}, "narrower than two bricks"),
        ({"resin__usable_y_mm": 1.0}, "cannot be cut along its bed joints"),
    ],
)
def test_refusals(values, what):
    with pytest.raises(KitError, match=what):
        planned(**values)


@pytest.mark.parametrize("deg", [45, 60, 120])
def test_no_seam_leaves_an_end_panel_without_a_back(deg):
    slant = 4 / np.tan(np.radians(deg))
    plan = [(0, 0), (20, 0), (20 - slant, 4), (0, 4)]
    for wall in planned(plan, seam__panel_limit_mm=12.0, kit__scale="1:220").walls:
        length = wall.facing.laying.length_mm
        for cut in wall.seams.cuts:
            assert cut.position_mm > wall.facing.left.reach_mm + 0.4
            assert length - cut.position_mm > wall.facing.right.reach_mm + 0.4


@pytest.mark.parametrize("deg", [95, 110, 225, 250, 270, 290])
def test_panels_with_their_lips_and_runs_fit_the_printer(deg):
    # One wall is a tenth of a millimetre shorter than what the printer takes; its corner makes it wider than that.
    turn = np.radians(180 - deg)
    corner = np.array([7.0, 0]) + 3 * np.array([np.cos(turn), np.sin(turn)])
    outer = [(10, corner[1]), (10, 6)] if deg > 180 else [(corner[0], 6)]
    plan = [(0, 0), (7, 0), tuple(corner), *outer, (0, 6)]
    limit = 7000 / 148 + 0.1
    for wall in planned(plan, seam__panel_limit_mm=limit).walls:
        for cell in wall.seams.panels:
            u0, _, u1, _ = cell.bounds
            if u0 == 0:
                u0 = min(0, wall.facing.left.outermost_mm)
            if u1 == wall.facing.laying.length_mm:
                u1 -= min(0, wall.facing.right.outermost_mm)
            assert u1 - u0 <= limit + 1e-6


def test_what_stands_proud_at_its_corners_counts_to_the_size_of_a_panel():
    long = [(0, 0), (16.95, 0), (16.95, 5.4), (0, 5.4)]
    plain = planned(long)
    plinth = planned(long, features=(FeatureRequest("all", "plinth", height="6 courses"),))
    assert len(plain.walls[0].seams.panels) == 1
    assert len(plinth.walls[0].seams.panels) == 2
    assert len(plinth.walls[1].seams.panels) == 1
