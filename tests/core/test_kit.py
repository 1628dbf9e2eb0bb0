"""A whole kit, by what the issue of its making asks of it."""

from dataclasses import replace

import numpy as np
import pytest

from halfbat.building import building_from_mesh, mesh_from_box
from halfbat.errors import KitError
from halfbat.findings import Severity
from halfbat.kit import make_kit, smallest_face_m
from halfbat.output.stl import stl_bytes
from halfbat.settings import OpeningRequest, SeamRequest
from halfbat.shelf import PartShelf
from kit_help import building_of, kit_of, overlaps, parts_of, placed, settings_with
from solids_help import assert_printable_solid

BOX = [(0, 0), (13.3, 0), (13.3, 5.6), (0, 5.6)]


@pytest.fixture(scope="module")
def kit():
    return kit_of(BOX, 3.4, brick__bond="english_garden_wall", seam__panel_limit_mm=60.0)


def test_the_parts_of_a_box_with_split_walls(kit):
    assert [part.number for part in kit.parts] == [
        *("S1", "L1", "WA1", "WA2", "WB1", "WC1", "WC2", "WD1", "CA1", "CC1"),
    ]
    assert [part.process for part in kit.parts] == ["filament"] * 2 + ["resin"] * 8
    assert {part.name for part in parts_of(kit, "skin") if part.wall == "A"} == {
        "Skin, wall A, panel 1 of 2",
        "Skin, wall A, panel 2 of 2",
    }
    for part in kit.parts:
        assert_printable_solid(part.solid, crossings=False)
    assert not [finding for finding in kit.findings if finding.severity == Severity.FAILURE]
    assert overlaps(kit) == []


def test_the_outside_of_the_kit_is_the_building_at_scale(kit):
    corners = np.concatenate([placed(part) for part in parts_of(kit, "skin")])
    np.testing.assert_allclose(corners.min(axis=0), [0, 0, 0], atol=1e-3)
    np.testing.assert_allclose(corners.max(axis=0), np.array([13.3, 5.6, 3.4]) / 0.148, atol=1e-3)
    top = placed(parts_of(kit, "lid")[0])[:, 2].max()
    # The lid lies flush to a layer under the top of the walls.
    assert 0 <= 3400 / 148 - top < 0.2
    foot = placed(parts_of(kit, "shell")[0])[:, 2].min()
    assert foot == pytest.approx(-1.0)


def test_covers_stand_over_their_seams(kit):
    for letter, number in (("A", "CA1"), ("C", "CC1")):
        wall = next(plan for plan in kit.plan.walls if plan.wall.letter == letter)
        cover = placed(next(part for part in kit.parts if part.number == number))
        along = np.array([*wall.facing.along, 0.0])
        outward = np.array([*wall.facing.outward, 0.0])
        beside = (cover - wall.facing.foot_mm) @ along - wall.seams.cuts[0].position_mm
        assert beside.max() >= 0.5 and beside.min() <= -0.5
        out = (cover - wall.facing.foot_mm) @ outward
        assert out.min() == pytest.approx(0, abs=1e-3)
        assert cover[:, 2].max() == pytest.approx(wall.facing.laying.height_mm, abs=1e-3)


def test_wire_instead_of_printed_covers():
    kit = kit_of(BOX, 3.4, seam__panel_limit_mm=60.0, seam__cover_made_as="wire")
    assert not parts_of(kit, "cover")
    assert sum(item.quantity for item in kit.materials) == pytest.approx(2 * 3400 / 148, abs=0.02)
    assert {item.wall for item in kit.materials} == {"A", "C"}


def test_a_run_too_long_for_the_printer_comes_in_pieces_that_meet():
    kit = kit_of([(0, 0), (9, 0), (9, 5), (0, 5)], 9.0, resin__usable_x_mm=40.0, resin__usable_y_mm=30.0)
    runs = [part for part in parts_of(kit, "cover") if part.wall == "A"]
    assert len(runs) >= 2
    assert all(part.solid.size_mm[0] <= 40.0 for part in runs)
    assert overlaps(kit) == []
    assert not [finding for finding in kit.findings if finding.code == "too-large" and finding.part.startswith("C")]


def test_without_lid_and_marks():
    kit = kit_of(BOX, 3.4, lid__make=False, mark__make=False)
    assert {part.kind for part in kit.parts} == {"shell", "skin"}
    assert "mark-missing" not in {finding.code for finding in kit.findings}


def test_every_part_too_large_for_its_printer_is_a_failure():
    kit = kit_of(BOX, 3.4, filament__usable_x_mm=50.0, filament__usable_y_mm=50.0, shell__sections=False)
    large = {finding.part for finding in kit.findings if finding.code == "too-large"}
    assert large == {"S1", "L1"}


def test_progress_goes_from_nothing_to_all_and_can_stop_the_work():
    seen = []
    building = building_of([(0, 0), (4, 0), (4, 3), (0, 3)], 2.4)
    make_kit(building, settings_with(), lambda share, what: seen.append((share, what)), checked=False)
    shares = [share for share, _ in seen]
    assert shares[0] == 0 and shares[-1] == 1 and shares == sorted(shares)
    assert all(what for _, what in seen)

    class Stopped(Exception):
        pass

    def stop(share, what):
        if share > 0.5:
            raise Stopped

    with pytest.raises(Stopped):
        make_kit(building, settings_with(), stop, checked=False)


def test_what_was_put_right_on_the_way_from_the_mesh_is_told():
    building = replace(building_of(BOX, 3.4), findings=())
    kit = make_kit(building, settings_with(seam__hide="toothed", seam__panel_limit_mm=60.0), checked=False)
    codes = {finding.code for finding in kit.findings}
    assert "teeth-too-small" in codes
    assert len(kit.findings) == len(set(kit.findings))


@pytest.mark.parametrize(
    "changes",
    [
        {"seams": (SeamRequest("A", "999 m"),)},
        {"seams": (SeamRequest("A", "three feet"),)},
        {"seams": (SeamRequest("", "1 m"),)},
    ],
)
def test_seams_that_cannot_be_are_refused(changes):
    with pytest.raises(KitError):
        make_kit(building_of(BOX, 3.4), replace(settings_with(), **changes), checked=False)


def test_settings_made_in_code_are_checked_too():
    settings = settings_with()
    with pytest.raises(KitError, match="out of range"):
        make_kit(building_of(BOX), replace(settings, skin=replace(settings.skin, glue_gap_mm=-1.0)))


@pytest.mark.parametrize("scale", ["1:220", "1:148", "1:87", "1:43.5"])
def test_the_shortest_wall_that_is_kept_has_room_for_its_skin(scale):
    settings = settings_with(kit__scale=scale)
    short = smallest_face_m(settings) * 1.001
    plan = [(0, 0), (8, 0), (8, short), (11, short), (11, 6), (0, 6)]
    kit = make_kit(building_of(plan, 2.4), settings, checked=False)
    assert {part.wall for part in parts_of(kit, "skin")} == set("ABCDEF")


def test_a_box_mesh_is_the_same_kit_as_its_plan():
    settings = settings_with()
    from_mesh = building_from_mesh(mesh_from_box(9.0, 5.0, 3.0), smallest_face_m=smallest_face_m(settings))
    made = make_kit(from_mesh, settings, checked=False)
    again = make_kit(from_mesh, settings, checked=False)
    assert [stl_bytes(part.solid) for part in made.parts] == [stl_bytes(part.solid) for part in again.parts]
    assert sorted(part.solid.size_mm[0] for part in parts_of(made, "skin"))[-1] == pytest.approx(
        9000 / 148 - 0.3, abs=1e-2
    )


def same_kits(one, other):
    """Everything but the time that checks took."""
    assert [part.number for part in one.parts] == [part.number for part in other.parts]
    for part, twin in zip(one.parts, other.parts, strict=True):
        assert stl_bytes(part.solid) == stl_bytes(twin.solid)
        np.testing.assert_array_equal(part.place, twin.place)
        assert (part.name, part.counts, part.notes) == (twin.name, twin.counts, twin.notes)
    assert (one.findings, one.checks, one.materials) == (other.findings, other.checks, other.materials)


def test_a_kit_made_with_a_shelf_is_the_kit_made_without():
    shelf = PartShelf()
    plain = settings_with(brick__bond="flemish", seam__panel_limit_mm=60.0)
    door = OpeningRequest("C", "1.5 m", "0.9 m", "2 m", insert="boarded door")
    changes = [
        plain,
        replace(plain, seams=(SeamRequest("A", "4 m", "movement joint"),)),
        replace(plain, openings=(door,)),
        replace(plain, openings=(replace(door, at="2 m"),)),
        settings_with(brick__bond="english", seam__panel_limit_mm=60.0),
        plain,
    ]
    for settings in changes:
        building = building_of([(0, 0), (9, 0), (9, 5), (0, 5)], 2.6)
        same_kits(make_kit(building, settings, shelf=shelf), make_kit(building, settings))


def test_only_what_changed_is_made_again():
    shelf = PartShelf()
    building = building_of([(0, 0), (9, 0), (9, 5), (0, 5)], 2.6)
    before = make_kit(building, settings_with(seam__panel_limit_mm=60.0), checked=False, shelf=shelf)
    moved = replace(settings_with(seam__panel_limit_mm=60.0), seams=(SeamRequest("A", "5 m"),))
    after = make_kit(building, moved, checked=False, shelf=shelf)
    kept = {part.number for part in after.parts if any(part.solid is old.solid for old in before.parts)}
    assert {part.number for part in after.parts} - kept == {"WA1", "WA2", "CA1"}  # the cable run stands elsewhere
