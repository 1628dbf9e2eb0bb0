from dataclasses import replace

import numpy as np
import pytest

from gabled_plans import structure_of
from halfbat.parts.masses import SEAT_MM
from halfbat.parts.roofs import wall_outlines_mm
from halfbat.parts.under_roofs import under_roofs
from halfbat.units import parse_scale

SCALE = parse_scale("1:100")
DEPTHS = dict.fromkeys(range(4), 1.1)
PLUMB = 1.7 * np.hypot(2.5, 1.5) / 2.5 + SEAT_MM


def lowered(structure, outlines):
    return under_roofs(structure, outlines, DEPTHS, structure.slopes, 1.7, SCALE)


def test_walls_under_their_own_roof_stay():
    structure = structure_of("hip")
    outlines = wall_outlines_mm(structure, 1.7, DEPTHS, SCALE)
    for index, outline in lowered(structure, outlines).items():
        np.testing.assert_allclose(outline, outlines[index])


def test_a_wall_a_little_too_high_comes_down_as_a_whole():
    structure = structure_of("gable")
    outlines = wall_outlines_mm(structure, 1.7, DEPTHS, SCALE)
    eaves = next(wall.index for wall in structure.walls if len(wall.outline_m) == 4)
    raised = outlines[eaves].copy()
    raised[raised[:, 1] > 1, 1] += 0.3
    made = lowered(structure, {**outlines, eaves: raised})[eaves]
    assert len(made) == 4 and made[:, 1].max() == pytest.approx(24 - PLUMB, abs=1e-3)


def test_a_wall_that_comes_far_through_the_roof_is_left_to_it():
    structure = structure_of("gable")
    outlines = wall_outlines_mm(structure, 1.7, DEPTHS, SCALE)
    eaves = next(wall.index for wall in structure.walls if len(wall.outline_m) == 4)
    raised = outlines[eaves].copy()
    raised[raised[:, 1] > 1, 1] += 10.0
    np.testing.assert_allclose(lowered(structure, {**outlines, eaves: raised})[eaves], raised)


def test_a_wall_much_too_high_is_cut_where_the_roof_is():
    structure = structure_of("gable")
    # The skins of the roof ten times as thick as the walls were lowered for.
    outlines = wall_outlines_mm(structure, 1.7, DEPTHS, SCALE)
    gable = next(wall.index for wall in structure.walls if len(wall.outline_m) == 5)
    made = under_roofs(structure, outlines, DEPTHS, structure.slopes, 8.0, SCALE)[gable]
    assert made[:, 1].max() == pytest.approx(39.0 - 8.0 * np.hypot(2.5, 1.5) / 2.5 - SEAT_MM, abs=0.05)


def test_walls_left_bare_stay_so():
    structure = structure_of("gable")
    outlines = wall_outlines_mm(structure, 1.7, DEPTHS, SCALE)
    del outlines[2]
    assert sorted(lowered(replace(structure), outlines)) == sorted(outlines)


def test_walls_that_fold_back_on_each_other_are_lowered_too():
    structure = structure_of("gable")
    walls = tuple(
        replace(wall, **{side: replace(getattr(wall, side), corner_deg=0.0) for side in ("left", "right")})
        for wall in structure.walls
    )
    outlines = wall_outlines_mm(structure, 1.7, DEPTHS, SCALE)
    made = lowered(replace(structure, walls=walls), outlines)
    assert all(np.isfinite(outline).all() for outline in made.values())
