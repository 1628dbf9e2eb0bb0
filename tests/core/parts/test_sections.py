"""A shell or lid larger than the filament printer comes in sections that go together to the whole."""

from dataclasses import replace
from itertools import combinations

import manifold3d
import numpy as np
import pytest
import trimesh

from halfbat.findings import Severity
from halfbat.kit import make_kit
from halfbat.parts.section_joints import JointRules
from halfbat.parts.section_stretches import OUTER
from halfbat.parts.sections import SectionBody, sections_of, whole_fits
from halfbat.settings import OpeningRequest
from halfbat.solids.verify import faults
from kit_help import building_of, common_mm3, kit_of, lift_fouls, manifold, overlaps, parts_of, placed, settings_with

BOX = [(0, 0), (9, 0), (9, 5), (0, 5)]
L_PLAN = [(0, 0), (12, 0), (12, 4), (5, 4), (5, 9), (0, 9)]
U_PLAN = [(0, 0), (14, 0), (14, 9), (10, 9), (10, 4), (4, 4), (4, 9), (0, 9)]
PLANS = {"box": BOX, "L": L_PLAN, "U": U_PLAN}
ROOM_MM = 55.0
SMALL = {"filament__usable_x_mm": ROOM_MM, "filament__usable_y_mm": ROOM_MM, "kit__scale": "1:148"}
GAP_MM = 0.1

ROOM = (200.0, 200.0, 180.0)


def turned(plan, degrees):
    angle = np.radians(degrees)
    return (np.array(plan) @ [[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]]).tolist()


def sectioned(plan, kind="shell", **values):
    kit = kit_of(plan, 3.4, **{**SMALL, **values})
    return kit, parts_of(kit, kind)


def whole_of(plan, kind="shell", **values):
    return parts_of(kit_of(plan, 3.4, kit__scale="1:148", mark__make=False, **values), kind)[0]


def joined(parts):
    return manifold3d.Manifold.batch_boolean([manifold(part) for part in parts], manifold3d.OpType.Add)


@pytest.mark.parametrize("kind", ["shell", "lid"])
@pytest.mark.parametrize("plan", PLANS)
@pytest.mark.parametrize("degrees", [0.0, 14.0])
def test_each_is_one_solid_that_fits_the_printer(plan, kind, degrees):
    kit, parts = sectioned(turned(PLANS[plan], degrees), kind)
    assert len(parts) > 1
    assert [part.number for part in parts if faults(part.solid)] == []
    assert all((part.solid.size_mm[:2] <= ROOM_MM).all() for part in parts)
    assert [found for found in kit.findings if found.code == "too-large"] == []
    assert {part.sections for part in parts} == {tuple(part.number for part in parts)}
    assert [part.name for part in parts] == [
        f"{kind.capitalize()}, section {k} of {len(parts)}" for k in range(1, len(parts) + 1)
    ]


@pytest.mark.parametrize("kind", ["shell", "lid"])
@pytest.mark.parametrize("plan", PLANS)
@pytest.mark.parametrize("degrees", [0.0, 14.0])
def test_together_they_are_the_whole_but_for_their_gaps_and_splices(plan, kind, degrees):
    corners = turned(PLANS[plan], degrees)
    _, parts = sectioned(corners, kind, mark__make=False)
    whole, together = manifold(whole_of(corners, kind)), joined(parts)
    assert np.allclose(together.bounding_box(), whole.bounding_box(), atol=2e-3)
    low, high = np.reshape(whole.bounding_box(), (2, 3))
    missing, added = whole - together, together - whole
    # Slits are as deep as walls are tall, along all walls and the floor; what is added stays off the outside.
    joints = 2 * len(parts)
    assert 0 < missing.volume() < joints * 2 * (high[2] - low[2]) + joints * 0.5 * 60
    assert added.volume() < joints * 30 * (high[2] - low[2])
    inner = manifold3d.CrossSection([np.array(corners) * 1000 / 148]).offset(-1.8, manifold3d.JoinType.Miter)
    room = inner.extrude(high[2] - low[2]).translate((0, 0, low[2]))
    assert (added - room).volume() < 1e-3 + 0.1 * added.volume() * (degrees > 0)


@pytest.mark.parametrize("kind", ["shell", "lid"])
@pytest.mark.parametrize("degrees", [0.0, 14.0])
def test_any_of_them_goes_straight_down_into_the_others(kind, degrees):
    _, parts = sectioned(turned(L_PLAN, degrees), kind)
    bodies = [manifold(part) for part in parts]
    for one, other in combinations(bodies, 2):
        for lift in (0.0, 0.4, 1.0, 2.5, 6.0, 15.0):
            assert common_mm3(one.translate((0, 0, lift)), other) < 1e-6
            assert common_mm3(one.translate((0, 0, -lift)), other) < 1e-6


def test_keys_hold_sections_together_and_splices_hold_walls_in_line():
    _, parts = sectioned(BOX)
    low, high = (manifold(part) for part in parts)
    # Pulled apart along the cut, and pushed across it, they meet once the play is used up.
    assert common_mm3(low.translate((-0.6, 0, 0)), high) > 0.05
    assert common_mm3(low.translate((0, 0.4, 0)), high) > 0.5
    assert common_mm3(low.translate((0, -0.4, 0)), high) > 0.5
    assert common_mm3(low.translate((0.05, 0, 0)), high) < 1e-6


def test_the_kit_goes_together_and_lids_lift_off():
    kit, _ = sectioned(L_PLAN, mark__make=False)
    assert overlaps(kit) == []
    assert lift_fouls(kit) == []


def test_every_section_is_numbered_and_no_check_fails():
    kit, shells = sectioned(L_PLAN)
    assert [part.number for part in shells] == [f"S{k}" for k in range(1, len(shells) + 1)]
    marked = {found.part for found in kit.findings if found.code == "mark-missing"}
    assert marked.isdisjoint(part.number for part in (*shells, *parts_of(kit, "lid")))
    assert [found for found in kit.findings if found.severity is Severity.FAILURE] == []
    assert {found.part for found in kit.findings if found.code == "in-sections"} == {"S1", "L1"}


def test_without_a_floor_they_are_tied_by_splices_and_numbered_on_pads():
    kit, parts = sectioned(BOX, shell__floor=False)
    assert len(parts) == 2
    assert [part.number for part in parts if faults(part.solid)] == []
    assert {"S1", "S2"}.isdisjoint(found.part for found in kit.findings if found.code == "mark-missing")


def test_cuts_keep_clear_of_openings_and_seams_of_skins():
    lefts = (1.5, 4.0, 6.5)
    openings = tuple(
        OpeningRequest(wall="A", at=f"{at} m", width="1 m", height="1.2 m", sill_height="0.9 m") for at in lefts
    )
    large = {"filament__usable_x_mm": 100.0, "filament__usable_y_mm": 100.0, "kit__scale": "1:76.2"}
    settings = replace(settings_with(**large), openings=openings)
    kit = make_kit(building_of(BOX, 3.4), settings, checked=False)
    parts = parts_of(kit, "shell")
    assert len(parts) == 2
    cut_mm = placed(parts[1])[:, 0].min() - GAP_MM / 2
    told = {found.code for found in kit.findings}
    assert {"opening-backed", "section-unspliced"}.isdisjoint(told)
    mm = 1000 / 76.2
    assert not any(at * mm - 2.5 < cut_mm < (at + 1) * mm + 2.5 for at in lefts)
    wall = next(one for one in kit.plan.walls if one.wall.letter == "A")
    assert wall.seams.cuts == () or all(abs(cut.position_mm - cut_mm) > 3.0 for cut in wall.seams.cuts)
    # Each opening is cut in the section that has it, and both walls of it are through.
    holes = [2 - trimesh.Trimesh(one.solid.vertices, one.solid.triangles).euler_number for one in parts]
    assert sum(holes) == 2 * len(lefts)


def test_a_building_that_fits_is_made_as_without_sections():
    whole, off = (parts_of(kit_of(BOX, 3.4, shell__sections=value), "shell")[0] for value in (True, False))
    assert np.array_equal(whole.solid.vertices, off.solid.vertices)
    assert np.array_equal(whole.solid.triangles, off.solid.triangles)
    assert whole.sections == ()


def test_switched_off_or_too_tall_it_stays_whole_and_is_told_of():
    for values in ({"shell__sections": False}, {"filament__usable_z_mm": 15.0}):
        kit, parts = sectioned(BOX, **values)
        assert [part.number for part in parts] == ["S1"]
        assert "S1" in {found.part for found in kit.findings if found.code == "too-large"}


def test_a_piece_between_cuts_with_nothing_in_it_is_no_section():
    """A lid that skins part in two: a plate, and a strip beside it that reaches far beyond."""
    plate = np.array([(3.3, 139.0), (-59.1, 137.1), (-58.3, 110.7), (-12.6, 108.9), (-12.9, 116.8), (4.1, 117.3)])
    strip = np.array([(3.4, 139.2), (5.2, 139.2), (9.5, -70.9), (7.7, -70.9)])
    body = SectionBody((((plate, strip), OUTER),), 5.2, (), (), JointRules(0.12, 0.42))
    assert sections_of(body, (200.0, 200.0, 180.0)) is None


def test_a_wall_taken_out_of_a_body_that_reaches_beyond_it_makes_it_no_larger():
    wall = np.array([(180.0, 8.0), (180.0, 10.0), (450.0, 10.0), (450.0, 8.0)])

    def body(long):
        outline = np.array([(0.0, 0.0), (long, 0.0), (long, 60.0), (0.0, 60.0)])
        return SectionBody((((outline, wall), 0),), 20.0, (), (), JointRules(0.15, 0.42, band_mm=1.26))

    assert whole_fits(body(190.0), ROOM) and not whole_fits(body(300.0), ROOM)
    (cut,) = sections_of(body(300.0), ROOM).cuts
    assert np.allclose(cut[:, 0], 150.0)
