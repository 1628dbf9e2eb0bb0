import numpy as np
import pytest

from halfbat.building.wall import building_from_plan
from halfbat.errors import KitError
from halfbat.surfaces.bonds import BONDS, get_bond
from halfbat.surfaces.formats import get_format
from halfbat.surfaces.laying import End
from halfbat.surfaces.phases import phases_round
from halfbat.units import parse_scale

UK, SCALE = get_format("uk_metric"), parse_scale("1:148")
RECTANGLE = [(0, 0), (9.89, 0), (9.89, 5.39), (0, 5.39)]
HALF_BRICKS = [(0, 0), (10.0025, 0), (10.0025, 5.39), (0, 5.39)]
ELL = [(0, 0), (8, 0), (8, 3), (4, 3), (4, 6), (0, 6)]
FIVE = [(0, 0), (6, 0), (6, 3), (4, 5), (0, 5)]


def go_round(plan, key="stretcher", **more):
    walls = building_from_plan(np.array(plan, dtype=float), 0.0, 3.0).walls
    return phases_round(walls, get_bond(key), UK, SCALE, **more)


@pytest.mark.parametrize("key", [bond.key for bond in BONDS])
@pytest.mark.parametrize("plan", [RECTANGLE, HALF_BRICKS, ELL, FIVE])
@pytest.mark.parametrize("first", [0, 2])
def test_two_walls_show_opposite_faces_at_every_corner(plan, key, first):
    bonds = go_round(plan, key, first_quoin=first)
    assert len(bonds) == len(plan)
    for before, after in zip(bonds, bonds[1:] + bonds[:1], strict=True):
        assert before.end_phase == 1 - after.start_phase
    assert bonds[first].start_phase == 0


def test_whole_bricks_make_every_wall_its_own_mirror_image():
    assert [(wall.start_phase, wall.end_phase) for wall in go_round(RECTANGLE)] == [(0, 0), (1, 1)] * 2


def test_walls_half_a_brick_longer_show_opposite_faces():
    uneven = [wall.start_phase != wall.end_phase for wall in go_round(HALF_BRICKS, perpend_limit_m=0.0005)]
    assert uneven == [True, False, True, False]


def test_odd_number_of_corners_closes_with_an_odd_number_of_uneven_walls():
    uneven = [wall.start_phase != wall.end_phase for wall in go_round(FIVE)]
    assert sum(uneven) % 2 == 1


def test_inner_corner_is_a_return_on_both_walls():
    bonds = go_round(ELL)
    assert [wall.ends for wall in bonds][2:4] == [(End.QUOIN, End.RETURN), (End.RETURN, End.QUOIN)]
    assert sum(end is End.RETURN for wall in bonds for end in wall.ends) == 2


@pytest.mark.parametrize("corner", [4, -1])
def test_no_such_corner_is_refused(corner):
    with pytest.raises(KitError, match="no corner"):
        go_round(RECTANGLE, first_quoin=corner)
