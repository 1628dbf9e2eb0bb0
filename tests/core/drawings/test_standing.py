import numpy as np
import pytest

from halfbat.drawings.standing import middle_of, places_on_plates, plates_on_ground, shift_apart
from made_kits import long_box


@pytest.fixture(scope="module")
def kit():
    return long_box()


def test_parts_are_drawn_apart_along_the_way_they_are_put_on(kit):
    shifts = {part.number: shift_apart(kit.plan, part, middle_of(part)) for part in kit.parts}
    assert not shifts["S1"].any()
    assert shifts["L1"][2] > 0 and not shifts["L1"][:2].any()
    for part in kit.parts:
        if part.wall is not None:
            facing = next(own.facing for own in kit.plan.walls if own.wall.letter == part.wall)
            assert shifts[part.number][:2] @ facing.outward > 5
    for cover in (part for part in kit.parts if part.kind == "cover"):
        outward = next(own.facing.outward for own in kit.plan.walls if own.wall.letter == cover.wall)
        skins = [part.number for part in kit.parts if part.kind == "skin" and part.wall == cover.wall]
        assert all(shifts[cover.number][:2] @ outward > shifts[number][:2] @ outward for number in skins)


def test_what_is_behind_goes_farther_where_it_is_looked_at_from_somewhere(kit):
    part = next(part for part in kit.parts if part.number == "WC1")
    facing = next(own.facing for own in kit.plan.walls if own.wall.letter == "C")
    middle = middle_of(part)
    near = shift_apart(kit.plan, part, middle, facing.outward)
    far = shift_apart(kit.plan, part, middle, -facing.outward)
    assert far[:2] @ facing.outward > near[:2] @ facing.outward


def test_parts_lie_on_plates_before_the_building_and_beside_each_other(kit):
    places = places_on_plates(kit, kit.plan)
    assert set(places) == {part.number for part in kit.parts}
    boxes = []
    for part in kit.parts:
        place = places[part.number]
        assert np.allclose(place[:3, :3] @ place[:3, :3].T, np.eye(3))
        corners = part.solid.vertices @ place[:3, :3].T + place[:3, 3]
        assert corners[:, 2].min() == pytest.approx(kit.plan.base_mm, abs=1e-6)
        boxes.append((corners.min(axis=0)[:2], corners.max(axis=0)[:2]))
        assert boxes[-1][1][1] < kit.plan.corners_mm[:, 1].min()
    for index, (low, high) in enumerate(boxes):
        for other_low, other_high in boxes[:index]:
            assert (high <= other_low + 1e-6).any() or (other_high <= low + 1e-6).any()


def test_every_part_lies_within_the_outline_of_a_plate_and_plates_do_not_overlap(kit):
    plates = plates_on_ground(kit, kit.plan)
    assert len(plates) > 2
    boxes = [np.array([plate.low_mm[:2], np.add(plate.low_mm[:2], plate.size_mm)]) for plate in plates]
    for number, place in places_on_plates(kit, kit.plan).items():
        part = next(part for part in kit.parts if part.number == number)
        corners = (part.solid.vertices @ place[:3, :3].T + place[:3, 3])[:, :2]
        assert any((corners >= low - 0.1).all() and (corners <= high + 0.1).all() for low, high in boxes), number
    for index, (low, high) in enumerate(boxes):
        assert high[1] < kit.plan.corners_mm[:, 1].min()
        assert all((high <= other[0]).any() or (other[1] <= low).any() for other in boxes[:index])
    wide = max(high[0] for _, high in boxes) - min(low[0] for low, _ in boxes)
    assert wide < sum(high[0] - low[0] for low, high in boxes)  # in more than one row


def test_what_has_no_plate_lies_after_the_last(kit):
    class Odd:
        settings = kit.settings
        parts = tuple(part for part in kit.parts if part.number in ("S1", "WA1"))

    class Nothing:
        settings = kit.settings
        parts = ()

    assert set(places_on_plates(Odd, kit.plan)) == {"S1", "WA1"}
    assert places_on_plates(Nothing, kit.plan) == {}
