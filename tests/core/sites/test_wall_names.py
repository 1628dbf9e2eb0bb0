import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from halfbat.building import building_from_plan
from halfbat.building.plain import structure_from_building
from halfbat.settings import (
    CableRunRequest,
    ChimneyRequest,
    FeatureRequest,
    FinishRequest,
    NoSeam,
    OpeningRequest,
    RoofLightRequest,
    SeamRequest,
    Settings,
)
from halfbat.sites.wall_names import GONE, follow_walls, renamed, renumbered, wall_lines
from halfbat.sites.walls import sites_of

BOX = [[0, 0], [8, 0], [8, 5], [0, 5]]
WITH_BAY = [[0, 0], [3, 0], [3, -1], [5, -1], [5, 0], [8, 0], [8, 5], [0, 5]]


def sites(plan):
    return sites_of(structure_from_building(building_from_plan(plan, 0.0, 3.0)), Settings())


def followed(old, new):
    return follow_walls([wall_lines(sites(old))], wall_lines(sites(new)))


def letters(found) -> dict[str, str]:
    return {letter: " ".join(own.letter for own in successors) for letter, successors in found.successors.items()}


def test_a_bay_gives_other_letters_to_the_walls_after_it_and_parts_the_wall_it_stands_on() -> None:
    found = followed(BOX, WITH_BAY)
    assert letters(found) == {"A": "A E", "B": "F", "C": "G", "D": "H"}
    assert found.changes
    assert found.told() == "wall A is A and E, B is F, C is G, D is H now"


def test_taking_the_bay_away_again_brings_the_letters_back_and_tells_what_is_gone() -> None:
    found = followed(WITH_BAY, BOX)
    assert letters(found) == {"A": "A", "B": "", "C": "", "D": "", "E": "A", "F": "B", "G": "C", "H": "D"}
    assert found.told() == "wall E is A, F is B, G is C, H is D now; wall B, C, D is gone"


def test_walls_moved_stretched_or_turned_keep_their_letters() -> None:
    for new in ([[0, 0], [9.5, 0], [9.5, 5], [0, 5]], [[-2, -1], [8, -1], [8, 5], [-2, 5]], np.multiply(BOX, 1.7)):
        found = followed(BOX, new)
        assert letters(found) == dict(zip("ABCD", "ABCD", strict=True))
        assert not found.changes
        assert found.told() == ""


def test_a_wall_moved_out_while_another_gets_a_bay_is_found_beside_where_it_was() -> None:
    found = followed(BOX, [*WITH_BAY[:6], [8, 6.5], [0, 6.5]])
    assert letters(found)["C"] == "G"


def test_a_mesh_turned_in_its_object_is_found_by_where_it_stands_in_the_world() -> None:
    old = wall_lines(sites(BOX))
    turn = np.array([[0.0, -1, 0, 7], [1, 0, 0, 2], [0, 0, 1, 0], [0, 0, 0, 1]])
    plan = np.roll((np.asarray(BOX) @ turn[:2, :2].T + turn[:2, 3]), 1, axis=0)
    new = wall_lines(sites(plan))
    found = follow_walls([old, [line.moved(turn) for line in old]], new)
    for line in old:
        (own,) = found.successors[line.letter]
        now = next(item for item in new if item.letter == own.letter)
        assert now.start_m == pytest.approx(line.moved(turn).start_m)


def test_everything_is_renamed_and_keeps_its_place() -> None:
    found, now = followed(BOX, WITH_BAY), sites(WITH_BAY)
    window = OpeningRequest("A", "6 m", width="1 m", height="1.2 m")
    assert renamed([window], found, now)[0].wall == "E"
    assert now.length_m(renamed([window], found, now)[0].at) == pytest.approx(1.0)
    assert renamed([SeamRequest("B", "4 bricks"), SeamRequest("A", "1 m")], found, now) == (
        SeamRequest("F", "4 bricks"),
        SeamRequest("A", "1 m"),
    )
    assert renamed([NoSeam("A", "5.5 m", "7 m")], found, now) == (NoSeam("E", "0.5 m", "2 m"),)
    assert renamed([FinishRequest("A", "render"), FinishRequest("all", "ashlar")], found, now) == (
        FinishRequest("A", "render"),
        FinishRequest("E", "render"),
        FinishRequest("all", "ashlar"),
    )
    assert [item.wall for item in renamed([FeatureRequest("A", "plinth")], found, now)] == ["A", "E"]
    assert renamed([ChimneyRequest("C", "2 m")], found, now) == (ChimneyRequest("G", "2 m"),)


def test_what_stood_on_two_walls_that_are_one_now_keeps_its_place_and_is_not_doubled() -> None:
    found, now = followed(WITH_BAY, BOX), sites(BOX)
    assert renamed([SeamRequest("E", "1 m")], found, now) == (SeamRequest("A", "6 m"),)
    assert renamed([FinishRequest("A", "render"), FinishRequest("E", "render")], found, now) == (
        FinishRequest("A", "render"),
    )


def test_what_lost_its_wall_names_no_other_and_finds_it_again() -> None:
    found, now = followed(WITH_BAY, BOX), sites(BOX)
    (lost,) = renamed([FinishRequest("C", "render")], found, now)
    assert lost.wall == "C" + GONE
    assert renamed([lost], found, now) == (lost,)
    bay = next(line for line in wall_lines(sites(WITH_BAY)) if line.letter == "C")
    old = [*wall_lines(now), type(bay)("C" + GONE, bay.start_m, bay.end_m)]
    again = follow_walls([old], wall_lines(sites(WITH_BAY)))
    assert renamed([lost], again, sites(WITH_BAY)) == (FinishRequest("C", "render"),)


def test_lengths_that_cannot_be_read_do_not_stop_it() -> None:
    found, now = followed(BOX, WITH_BAY), sites(WITH_BAY)
    assert renamed([SeamRequest("B", "two")], found, now) == (SeamRequest("F", "two"),)


@settings(max_examples=12)
@given(st.integers(0, 3), st.floats(0.3, 1.5), st.floats(0.5, 1.5), st.floats(0.3, 2.0))
def test_a_place_on_a_wall_stays_where_it_is_whatever_is_built_onto_another(side, before, width, depth) -> None:
    corners = np.asarray(BOX, dtype=np.float64)
    first, second = corners[side], corners[(side + 1) % 4]
    along = (second - first) / np.linalg.norm(second - first)
    out = np.array([along[1], -along[0]])
    left, right = first + before * along, first + (before + width) * along
    plan = [*corners[: side + 1], left, left + depth * out, right + depth * out, right, *corners[side + 1 :]]
    old, new = sites(BOX), sites(plan)
    found = follow_walls([wall_lines(old)], wall_lines(new))
    for site in old.walls:
        at = site.wall.length_m - 0.2
        (seam,) = renamed([SeamRequest(site.letter, f"{at} m")], found, new)
        was = site.wall.start_m + at * site.wall.along
        wall = new.wall(seam.wall).wall
        assert wall.start_m + new.length_m(seam.at) * wall.along == pytest.approx(was, abs=2e-3)


def test_a_run_that_bends_keeps_all_its_corners_and_what_stands_on_slopes_is_left_alone() -> None:
    found, now = followed(BOX, WITH_BAY), sites(WITH_BAY)
    run = CableRunRequest("A", "6 m", path="6 m, foot; 6 m, 12 courses; 7 m, 12 courses; 7 m, top")
    light = RoofLightRequest("A", "2 m")
    assert renamed([run, light], found, now) == (
        CableRunRequest("E", "1 m", path="1 m, foot; 1 m, 12 courses; 2 m, 12 courses; 2 m, top"),
        light,
    )


def test_parts_of_walls_are_known_again_by_the_numbers_they_will_have() -> None:
    found = followed(BOX, WITH_BAY)
    assert renumbered("WB12", "B", found) == ("WF12", "F")
    assert renumbered("WA1", "A", found) == ("WA1", "A")
    assert renumbered("S1", "", found) == ("S1", "")
    assert renumbered("WC1", "C", followed(WITH_BAY, BOX)) == ("WC (gone)1", "C (gone)")
