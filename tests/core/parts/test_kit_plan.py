from dataclasses import replace

import numpy as np
import pytest

from gabled_plans import plan_of, settings_of, structure_of
from halfbat.errors import KitError
from halfbat.parts.kit_plan import plan_kit
from halfbat.parts.skin_blocks import BLOCK_SHORT_MM
from halfbat.printing.snapping import snapped_settings
from halfbat.units import parse_scale
from made_kits import l_shape, long_box


def test_sizes_of_a_gable_at_one_to_a_hundred():
    plan, _, _ = plan_of("gable")
    assert plan.height_mm == pytest.approx(39.0) and plan.base_mm == pytest.approx(0.0)
    np.testing.assert_allclose(np.ptp(plan.corners_mm, axis=0), [80, 50], atol=1e-6)
    assert len(plan.walls) == 4 and len(plan.roofs) == 2 and len(plan.masses) == 1
    assert set(plan.skins_mm) == {0, 1, 2, 3}


def test_all_slopes_are_equally_thick():
    plan, settings, _ = plan_of("hip")
    (base,) = {face.base_mm for face in plan.roofs}
    (depth,) = {face.depth_mm for face in plan.roofs}
    # Whole layers, and tiles on top.
    assert base / settings.resin.part_layer_mm == pytest.approx(round(base / settings.resin.part_layer_mm))
    assert depth > base
    smooth, _, _ = plan_of("hip", "none")
    assert {face.depth_mm - face.base_mm for face in smooth.roofs} == {0.0}


def test_a_model_larger_than_a_metre_is_refused():
    with pytest.raises(KitError, match=r"1\.6 m, more than the metre"):
        plan_kit(structure_of("gable"), settings_of(), parse_scale("1:5"))


def test_walls_too_small_for_a_skin_are_told():
    scale = parse_scale("1:100")
    structure = structure_of("gable")
    settings, _ = snapped_settings(settings_of())
    low = structure.walls[0]
    squat = replace(low, outline_m=np.array([[0, 0], [low.length_m, 0], [low.length_m, 0.2], [0, 0.2]]))
    plan = plan_kit(replace(structure, walls=(squat, *structure.walls[1:])), settings, scale)
    (told,) = [found for found in plan.findings if found.code == "wall-bare"]
    assert low.letter in told.text and len(plan.walls) == 3


def test_a_roof_standing_on_nothing_is_refused():
    structure = structure_of("gable")
    (mass,) = structure.masses
    floating = tuple(replace(side, kind=type(side.kind).STEP_DOWN, other=0) for side in mass.sides)
    settings, _ = snapped_settings(settings_of())
    with pytest.raises(KitError, match="stands on the ground"):
        plan_kit(replace(structure, masses=(replace(mass, sides=floating),)), settings, parse_scale("1:100"))


@pytest.mark.parametrize("kit", [long_box, l_shape])
def test_blocks_are_as_long_as_the_skins(kit):
    plan = kit().plan
    for wall, block in zip(plan.walls, plan.blocks(BLOCK_SHORT_MM), strict=True):
        facing = wall.facing
        along = (block.ring_mm - facing.foot_mm[:2]) @ facing.along
        low, high = facing.face.outline_mm[:, 0].min(), facing.face.outline_mm[:, 0].max()
        # Beyond its face a skin may reach as far as a lip behind it does.
        assert along.min() == pytest.approx(low + facing.left.outermost_mm - facing.left.face_mm)
        assert along.max() == pytest.approx(high - facing.right.outermost_mm + facing.right.face_mm)
