import numpy as np
import pytest

from halfbat.building import building_from_plan, wall_letter
from sample_meshes import L_PLAN


def test_letters_skip_those_that_read_as_figures():
    letters = [wall_letter(i) for i in range(60)]
    assert letters[:9] == list("ABCDEFGHJ")
    assert letters[20:26] == ["X", "Y", "Z", "AA", "AB", "AC"]
    assert len(set(letters)) == 60
    assert not set("IOQ") & set("".join(letters))


def test_walls_of_an_l_plan():
    building = building_from_plan(L_PLAN, 1.5, 3.0)
    assert [wall.length_m for wall in building.walls] == [8, 3, 4, 3, 4, 6]
    assert [wall.corner_deg for wall in building.walls] == pytest.approx([90, 90, 270, 90, 90, 90])
    assert np.array_equal(building.plan_m, L_PLAN)
    assert np.allclose(building.walls[0].outward, [0, -1])
    assert np.allclose(building.walls[1].outward, [1, 0])
    assert {wall.base_m for wall in building.walls} == {1.5}
