"""Places on walls come to lie on the right skin, and places on skins back on the wall."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfbat.findings import Finding, Place, Severity
from halfbat.parts.placing import as_printed
from halfbat.parts.seats import moved_along, on_wall, place_words, seat_of
from halfbat.solids.solid import Solid
from made_kits import l_shape, long_box


def numbered(kit):
    return {part.number: part for part in kit.parts}


def in_building(part, corner):
    return part.place[:3, :3] @ np.array(corner) + part.place[:3, 3]


@given(st.sampled_from([long_box, l_shape]), st.integers(0, 5), st.floats(0.1, 0.9), st.floats(0.1, 0.9))
def test_a_place_on_a_wall_is_where_it_was_meant(making, index, along, up):
    kit = making()
    wall = kit.plan.walls[index % len(kit.plan.walls)]
    facing = wall.facing
    u, v = along * facing.laying.length_mm, up * facing.laying.height_mm
    seat = seat_of(Place.on_wall(f"wall {wall.wall.letter}", u, v, u, v), numbered(kit), kit.plan)
    part = numbered(kit)[seat.of]
    assert (part.wall, part.kind) == (wall.wall.letter, "skin")
    wanted = facing.foot_mm + u * np.array([*facing.along, 0.0]) + [0.0, 0.0, v]
    assert in_building(part, seat.low_mm) == pytest.approx(wanted, abs=2e-3)
    low, high = part.solid.bounds_mm
    assert (np.array(seat.low_mm) > low - 1.0).all() and (np.array(seat.low_mm) < high + 1.0).all()
    letter, box = on_wall(seat, numbered(kit), kit.plan)
    assert letter == wall.wall.letter and box[0] == pytest.approx([u, v], abs=2e-3)


def test_the_panel_is_chosen_by_where_the_place_is():
    kit = long_box()
    panels = [part for part in kit.parts if part.wall == "A" and part.kind == "skin"]
    length = kit.plan.walls[0].facing.laying.length_mm
    assert len(panels) == 2
    for at, number in ((1.0, panels[0].number), (length - 1.0, panels[1].number)):
        assert seat_of(Place.on_wall("wall A", at, 2.0, at, 3.0), numbered(kit), kit.plan).of == number


def test_what_has_no_wall_has_no_seat():
    kit = long_box()
    assert Place.on_wall("opening 1", 0.0, 0.0, 1.0, 1.0) is None
    assert Place.on_wall("opening 1, wall B", 0.0, 0.0, 1.0, 1.0).of == "wall B"
    gone = Place("wall Z", (0.0, 0.0, 0.0), (1.0, 1.0, 0.0))
    assert seat_of(gone, numbered(kit), kit.plan) is None
    assert on_wall(gone, numbered(kit), kit.plan) is None
    assert on_wall(Place("S1", (0.0, 0.0, 0.0), (1.0, 1.0, 1.0)), numbered(kit), kit.plan) is None


def test_a_place_goes_with_a_part_that_was_cut():
    kit = long_box()
    before = next(part for part in kit.parts if part.kind == "skin")
    grown = np.array([0.0, 0.0, before.solid.size_mm[2]]) + before.solid.vertices * [1.0, 1.2, 1.0]
    solid, place = as_printed(Solid(grown, before.solid.triangles), before.place)
    now = replace(before, solid=solid, place=place)
    finding = Finding(
        Severity.NOTE, "x", before.number, "x", "", Place(before.number, (1.0, 2.0, 0.5), (3.0, 4.0, 1.0))
    )
    moved = moved_along(finding, before, now).place
    assert moved != finding.place
    assert in_building(now, moved.low_mm) == pytest.approx(in_building(before, (1.0, 2.0, 0.5)), abs=2e-3)
    other = replace(finding, place=Place("S1", (0.0, 0.0, 0.0), (1.0, 1.0, 1.0)))
    assert moved_along(other, before, now) is other


def test_places_in_words():
    kit = long_box()
    place = Place("wall A", (12.04, 0.0, 0.0), (12.04, 20.0, 0.0))
    said = place_words(place, numbered(kit))
    assert said == "12.0 mm from the left end of wall A seen from outside, 0.0 to 20.0 mm up"
    skin = next(part for part in kit.parts if part.kind == "skin")
    corner = tuple(skin.solid.bounds_mm[0].tolist())
    words = place_words(Place(skin.number, corner, corner), numbered(kit))
    assert words.startswith(f"on {skin.number} 0.0 mm from the left and 0.0 mm from the front, 0.0 mm over the plate")
