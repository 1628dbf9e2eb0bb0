from itertools import combinations

import numpy as np
import pytest

from gabled_plans import kit_of_shape, plan_of, settings_of
from halfbat.building.erect import structure_from_mesh
from halfbat.building.structure import EdgeKind
from halfbat.kit import make_kit, smallest_face_m
from halfbat.parts.kit_plan import plan_kit
from halfbat.parts.ridge_tiles import APART_MM, build_ridge, ridge_tiles, ridges_apart, ridges_of
from halfbat.parts.standing import Standing
from halfbat.printing.snapping import snapped_settings
from halfbat.units import parse_scale
from kit_help import common_mm3, manifold, parts_of, settings_with
from modelled_houses import house_mesh
from roof_solids import hull, mesh_of_solid
from solids_help import assert_printable_solid


def test_the_ridge_of_a_gable():
    plan, settings, scale = plan_of("gable")
    (ridge,) = ridges_of(plan.roofs)
    assert ridge.kind is EdgeKind.RIDGE and ridge.length_mm == pytest.approx(80.0)
    np.testing.assert_allclose(ridge.falls_deg, np.degrees(np.arctan(0.6)), atol=1e-6)
    np.testing.assert_allclose(np.abs(ridge.along), [1, 0, 0], atol=1e-9)
    assert ridge.start[2] == pytest.approx(39.0)
    # Tiles of 450 mm are 4.5 at 1:100: 80 / 4.5 = 17.8, so 18.
    run = ridge_tiles(ridge, settings, scale, "ridge 1")
    assert run.count == 18 and run.tile_mm == pytest.approx(80 / 18)
    (alone,) = ridges_apart(plan.roofs, settings, scale)
    assert alone.length_mm == pytest.approx(80.0)


def test_a_hip_roof_has_a_ridge_and_four_hips_that_rise_to_it():
    plan, settings, scale = plan_of("hip")
    found = list(ridges_of(plan.roofs))
    assert sorted(ridge.kind.value for ridge in found) == ["hip"] * 4 + ["ridge"]
    for ridge in found:
        assert ridge.end[2] >= ridge.start[2] - 1e-9
        if ridge.kind is EdgeKind.HIP:
            # 25 along, 25 across and 25 tan(35) up.
            assert ridge.length_mm == pytest.approx(25 * np.sqrt(2 + np.tan(np.radians(35)) ** 2))
        else:
            assert ridge.length_mm == pytest.approx(30.0)
    shorter = ridges_apart(plan.roofs, settings, scale)
    assert all(a.length_mm < b.length_mm - APART_MM for a, b in zip(shorter, found, strict=True))
    # Hips keep their feet.
    assert all(np.allclose(a.start, b.start) for a, b in zip(shorter, found, strict=True) if a.kind is EdgeKind.HIP)


@pytest.mark.parametrize("kind", ["half round", "angle"])
def test_one_closed_solid_as_long_as_its_piece(kind):
    plan, _, scale = plan_of("gable")
    settings = settings_of(roof__ridge=kind)
    (ridge,) = ridges_of(plan.roofs)
    run = ridge_tiles(ridge, settings, scale, "ridge 1")
    solid, place = build_ridge(ridge, run, (0.0, 9 * run.tile_mm), settings)
    assert_printable_solid(solid)
    assert solid.size_mm[1] == pytest.approx(40.0, abs=2e-3)
    places = solid.vertices @ place[:3, :3].T + place[:3, 3]
    assert places[:, 2].max() == pytest.approx(39.0 + run.section_mm[:, 1].max(), abs=2e-3)


@pytest.mark.parametrize("shape", ["gable", "hip"])
def test_runs_stand_clear_of_each_other_and_lie_on_the_skins(shape):
    kit = kit_of_shape(shape, marks=False)
    ridges = parts_of(kit, "ridge")
    assert len(ridges) == {"gable": 1, "hip": 5}[shape]
    bodies = [manifold(part) for part in ridges]
    for i, one in enumerate(bodies):
        assert all(common_mm3(one, other) < 1e-4 for other in bodies[:i])
    # Raised by the rounding of their corners they touch no skin, lowered by 0.1 all of them do.
    for part in ridges:
        up, down = (manifold(part, (0.0, 0.0, lift)) for lift in (0.01, -0.1))
        skins = [manifold(skin) for skin in parts_of(kit, "roof skin")]
        assert sum(common_mm3(up, skin) for skin in skins) < 1e-2
        assert sum(common_mm3(down, skin) for skin in skins) > 0.1


def test_tiles_stop_before_a_wall_that_rises_above_the_ridge():
    plan, settings, scale = plan_of("gable")
    (whole,) = ridges_apart(plan.roofs, settings, scale)
    start = whole.start[:2]
    on, side = whole.along[:2], whole.across[:2]
    ring = np.array([start - side * 5, start + side * 5, start + side * 5 + on * 1.3, start - side * 5 + on * 1.3])
    for top, lost in ((45.0, 1.3 + APART_MM), (36.0, 0.0)):
        wall = Standing(ring, (0.0, 0.0, 0.0), (top, 0.0, 0.0), 0)
        (shorter,) = ridges_apart(plan.roofs, settings, scale, [wall])
        assert whole.length_mm - shorter.length_mm == pytest.approx(lost)
        assert np.allclose(shorter.end, whole.end)


def test_a_fold_between_slopes_that_fall_the_same_way_has_no_tiles():
    # Steep below and flat above, as on a gambrel roof: a ridge and two folds.
    foot = [(x, y, z) for x in (0, 8) for y in (0, 6) for z in (0.0, 2.4)]
    bends = [(x, y, 4.0) for x in (0, 8) for y in (1, 5)]
    mesh = mesh_of_solid(hull([*foot, *bends, (0, 3, 4.8), (8, 3, 4.8)]))
    settings, _ = snapped_settings(settings_of(roof__covering="slate"))
    scale = parse_scale("1:100")
    plan = plan_kit(structure_from_mesh(mesh, smallest_face_m=smallest_face_m(settings)), settings, scale)
    assert len(plan.roofs) == 4
    (ridge,) = ridges_of(plan.roofs)
    assert ridge.start[2] == pytest.approx(48.0)


@pytest.mark.parametrize("name", ["half hip", "mansard", "octagon with a spire"])
def test_runs_that_meet_share_no_space_however_steep_their_slopes(name):
    settings = settings_with(kit__scale="1:43.5", mark__make=False)
    structure = structure_from_mesh(house_mesh(name), smallest_face_m=smallest_face_m(settings))
    ridges = parts_of(make_kit(structure, settings, checked=False), "ridge")
    bodies = [manifold(part) for part in ridges]
    assert len(bodies) >= 5
    assert [common_mm3(one, other) for one, other in combinations(bodies, 2)] == pytest.approx(
        [0.0] * (len(bodies) * (len(bodies) - 1) // 2), abs=1e-6
    )
    # They come near each other all the same, at least two of them; pieces of one run touch.
    gaps = [one.min_gap(other, 5.0) for one, other in combinations(bodies, 2)]
    assert 0.05 <= min(gap for gap in gaps if gap > 1e-3) <= 0.4
