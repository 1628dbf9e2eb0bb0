import pytest

from halfbat.building.nearest import nearest_wall
from halfbat.building.wall import building_from_plan

BUILDING = building_from_plan([(0, 0), (10, 0), (10, 4), (0, 4)], base_m=1.0, height_m=3.0)


def test_a_point_on_a_wall_stays_where_it_is() -> None:
    found = nearest_wall(BUILDING, (2.5, 0.0, 2.0))
    assert (found.wall.letter, found.along_m, found.up_m, found.distance_m) == ("A", 2.5, 1.0, 0.0)


def test_distance_is_from_the_left_end_seen_from_outside() -> None:
    assert nearest_wall(BUILDING, (2.5, 4.2, 2.0)).wall.letter == "C"
    assert nearest_wall(BUILDING, (2.5, 4.2, 2.0)).along_m == pytest.approx(7.5)


def test_a_point_inside_the_building_goes_to_the_nearest_wall() -> None:
    found = nearest_wall(BUILDING, (9.0, 2.0, 2.0))
    assert (found.wall.letter, found.distance_m) == ("B", pytest.approx(1.0))


def test_a_point_beyond_every_wall_is_brought_to_its_end_and_top() -> None:
    found = nearest_wall(BUILDING, (13.0, -4.0, 4.0 + 12.0))
    assert (found.along_m, found.up_m) == (pytest.approx(10.0), pytest.approx(3.0))
    assert found.distance_m == pytest.approx(13.0)
