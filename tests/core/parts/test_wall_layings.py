import numpy as np

from halfbat.building import building_from_plan
from halfbat.building.plain import structure_from_building
from halfbat.parts.wall_layings import lay_walls
from halfbat.settings import Settings
from halfbat.units import parse_scale

SCALE = parse_scale("1:76.2")


def laid(height_m=3.0, gable_m=0.0):
    structure = structure_from_building(building_from_plan([[0, 0], [8, 0], [8, 5], [0, 5]], 0.0, height_m))
    outlines = {wall.index: wall.outline_m * SCALE.mm_per_m for wall in structure.walls}
    if gable_m:
        outlines[1] = np.insert(outlines[1], 3, [[2.5 * SCALE.mm_per_m, (height_m + gable_m) * SCALE.mm_per_m]], axis=0)
    return lay_walls(structure.walls, outlines, height_m, Settings(), SCALE)


def test_courses_go_round_and_one_bond_goes_round():
    found = laid()
    assert set(found.bonds) == {0, 1, 2, 3}
    assert {laying.courses for laying in found.layings} == {found.coursing.courses}
    assert [laying.length_mm for laying in found.layings] == [SCALE.to_mm(side) for side in (8, 5, 8, 5)]
    assert [found.bonds[i].bond.end_phase != found.bonds[(i + 1) % 4].bond.start_phase for i in range(4)] == [True] * 4


def test_a_gable_has_the_same_courses_carried_up():
    plain, gabled = laid(), laid(gable_m=2.0)
    assert gabled.layings[1].courses > plain.layings[1].courses
    assert np.array_equal(gabled.layings[1].bed_v_mm[: plain.layings[1].courses], plain.layings[1].bed_v_mm)
    assert gabled.layings[0].courses == plain.layings[0].courses
