"""Checks of how parts go together, on a small kit whose long walls are split under cable runs."""

from dataclasses import replace

import numpy as np
import pytest

from gabled_plans import kit_of_shape, settings_of, structure_of
from halfbat.building import building_from_mesh, mesh_from_box
from halfbat.findings import Severity
from halfbat.kit import make_kit, structure_for
from halfbat.printing.checks import courses, fits, seams
from halfbat.printing.checks.sharing import check_sharing
from halfbat.settings import Settings, with_value
from printed_parts import box, make, stepped
from roof_solids import block, mesh_of_solid, union
from sample_kits import box_solid

BUILDING = building_from_mesh(mesh_from_box(8.0, 4.0, 2.4), smallest_face_m=0.1)


def kit_with(**changes):
    made = with_value(Settings(), "seam", "panel_limit_mm", 40.0)
    for name, value in changes.items():
        group, _, key = name.partition("__")
        made = with_value(made, group, key, value)
    return make_kit(BUILDING, made, checked=False)


@pytest.fixture(scope="module")
def kit():
    return kit_with()


def found(check, kit, parts=None, plan=None):
    return check(kit.parts if parts is None else parts, plan or kit.plan, kit.settings)


def shifted(kit, number, by):
    """The parts with one of them moved in the building."""

    def move(part):
        place = part.place.copy()
        place[:3, 3] += by
        return replace(part, place=place)

    return [move(part) if part.number == number else part for part in kit.parts]


def test_a_whole_kit_passes(kit):
    checked = make_kit(BUILDING, kit.settings)
    assert checked.checks > 200 and checked.check_seconds > 0
    assert [finding for finding in checked.findings if finding.severity is Severity.FAILURE] == []
    assert [part.number for part in checked.parts] == [part.number for part in kit.parts]
    for check in (*CHECKS,):
        assert found(check, kit) == ()


CHECKS = (
    fits.check_lip,
    fits.check_glue_gap,
    seams.check_covers,
    seams.check_open_seams,
    seams.check_backing,
    courses.check_datum,
    courses.check_phase,
)


@pytest.mark.parametrize(("fit", "fires"), [(0.08, True), (0.11, False), (0.29, False), (0.33, True)])
def test_lip_clearance(fit, fires):
    findings = found(fits.check_lip, kit_with(filament__fit_mm=fit))
    assert [finding.code for finding in findings] == (["lip-clearance"] if fires else [])
    if fires:
        assert f"{fit:.2f} to {fit:.2f} mm a side" in findings[0].text
        assert findings[0].severity == Severity.WARNING


def test_a_lip_that_runs_into_the_shell(kit):
    (finding,) = found(fits.check_lip, kit, shifted(kit, "L1", (0.4, 0.0, 0.0)))
    assert (finding.code, finding.severity) == ("lip-clearance", Severity.FAILURE)


@pytest.mark.parametrize(("gap", "fires"), [(0.03, True), (0.06, False), (0.19, False), (0.25, True)])
def test_glue_gap(gap, fires):
    findings = found(fits.check_glue_gap, kit_with(skin__glue_gap_mm=gap))
    assert {finding.code for finding in findings} == ({"glue-gap"} if fires else set())
    if fires:
        assert {finding.severity for finding in findings} == {Severity.FAILURE}
        assert {finding.part for finding in findings} == {"WA1", "WA2", "WB1", "WC1", "WC2", "WD1"}


def test_a_skin_inside_the_shell(kit):
    outward = kit.plan.walls[0].facing.outward
    (finding,) = found(fits.check_glue_gap, kit, shifted(kit, "WA1", np.append(-0.3 * outward, 0.0)))
    assert finding.part == "WA1" and finding.text == "its back runs into the shell"


def test_covers_hide_their_seams():
    assert found(seams.check_covers, kit_with(seam__gap_mm=0.4, seam__cover_width_mm=0.8)) == ()
    findings = found(seams.check_covers, kit_with(seam__gap_mm=0.4, seam__cover_width_mm=0.7))
    assert [(finding.code, finding.part) for finding in findings] == [("cover-narrow", "CA1"), ("cover-narrow", "CC1")]
    assert "0.70 mm wide over a seam 0.40 mm wide" in findings[0].text


def test_seams_that_nothing_covers():
    assert found(seams.check_open_seams, kit_with(seam__hide="movement joint", seam__gap_mm=0.15)) == ()
    findings = found(seams.check_open_seams, kit_with(seam__hide="movement joint", seam__gap_mm=0.3))
    assert [(finding.code, finding.part) for finding in findings] == [("seam-open", "wall A"), ("seam-open", "wall C")]
    assert found(seams.check_open_seams, kit_with(seam__cover_made_as="wire", seam__gap_mm=0.3)) == ()


def test_a_seam_through_an_opening(kit):
    panel = next(part for part in kit.parts if part.number == "WA1")
    x, y, z = panel.solid.size_mm
    notched = stepped(box(0, 0, x, y), [(z, ())], holes=[box(x - 3, 4, x + 1, 9)])
    parts = [replace(make(notched), place=panel.place) if part is panel else part for part in kit.parts]
    parts = [replace(part, wall="A") if part.number == "WA1" else part for part in parts]
    findings = found(seams.check_open_seams, kit, parts)
    assert [(finding.code, finding.part) for finding in findings] == [("seam-opening", "wall A")]


def test_a_seam_without_shell_behind_it(kit):
    inward = -kit.plan.walls[0].facing.outward
    findings = found(seams.check_backing, kit, shifted(kit, "S1", np.append(3.0 * inward, 0.0)))
    assert ("seam-unbacked", "wall A") in [(finding.code, finding.part) for finding in findings]


def test_courses_of_neighbours(kit):
    assert found(courses.check_datum, kit, shifted(kit, "WA2", (0.0, 0.0, 0.04))) == ()
    findings = found(courses.check_datum, kit, shifted(kit, "WA2", (0.0, 0.0, 0.15)))
    assert {finding.code for finding in findings} == {"course-datum"}
    assert {finding.part for finding in findings} == {"WA1", "WA2"}


def test_the_bond_of_a_panel(kit):
    along = kit.plan.walls[0].facing.along
    findings = found(courses.check_phase, kit, shifted(kit, "WA2", np.append(0.3 * along, 0.0)))
    assert [(finding.code, finding.part) for finding in findings] == [("bond-phase", "WA2")]


def test_the_bond_round_a_corner(kit):
    first, second, *others = kit.plan.walls
    laying = second.facing.laying
    wrong = replace(laying, course_pattern=np.roll(laying.course_pattern, 1))
    plan = replace(kit.plan, walls=(first, replace(second, facing=replace(second.facing, laying=wrong)), *others))
    told = {(finding.code, finding.part) for finding in found(courses.check_phase, kit, plan=plan)}
    assert ("bond-corner", "walls A and B") in told


@pytest.mark.parametrize("bond", ["english", "flemish", "stack", "rat_trap", "monk"])
def test_no_bond_is_taken_for_a_fault(bond):
    made = kit_with(brick__bond=bond)
    assert found(courses.check_phase, made) == found(courses.check_datum, made) == ()


def test_parts_that_stand_in_each_other_are_told():
    kit = kit_of_shape("gable", marks=False)
    assert check_sharing(kit.parts, kit.plan, kit.settings) == ()
    wall = next(part for part in kit.parts if part.kind == "skin")
    outward = next(plan for plan in kit.plan.walls if plan.wall.letter == wall.wall).facing.outward
    place = wall.place.copy()
    place[:2, 3] -= 0.4 * outward
    moved = [replace(part, place=place) if part is wall else part for part in kit.parts]
    found = check_sharing(moved, kit.plan, kit.settings)
    assert {finding.code for finding in found} == {"parts-share-space"}
    assert any(wall.number in (finding.part, finding.text.split(" with ")[1].split()[0]) for finding in found)
    assert all(finding.severity is Severity.FAILURE and finding.remedy for finding in found)


def in_building(part):
    return part.solid.vertices @ part.place[:3, :3].T + part.place[:3, 3]


def told_of(parts, kit):
    return {
        frozenset((one.part, one.text.split(" with ")[1].split()[0]))
        for one in check_sharing(parts, kit.plan, kit.settings)
    }


def test_a_cover_that_stands_in_a_board_is_told_though_it_has_a_tab():
    """A gable whose seam ends under its barge boards; moved up, its cover stands in both of them."""
    asked = {"kit__scale": "1:76.2", "roof__eaves_overhang_mm": 300.0, "seam__panel_limit_mm": 60.0}
    kit = make_kit(structure_of("gable"), settings_of(**asked), checked=False)
    assert told_of(kit.parts, kit) == set()
    covers = [part for part in kit.parts if part.kind == "cover"]
    assert all(part.cut_off_mm is not None for part in covers)
    found = {}
    for cover in covers:
        place = cover.place.copy()
        place[2, 3] += 0.6
        moved = [replace(part, place=place) if part is cover else part for part in kit.parts]
        found[cover.number] = told_of(moved, kit)
    boards = {part.number for part in kit.parts if part.kind in ("barge board", "fascia")}
    assert any(frozenset((number, board)) in pairs for number, pairs in found.items() for board in boards)
    assert all(number in pair for number, pairs in found.items() for pair in pairs)


def test_a_tab_counts_as_cut_off_and_nothing_beside_it():
    plain = make(box_solid(10.0, 4.0, 1.0), number="A")
    other = make(box_solid(10.0, 4.0, 1.0), number="B")
    place = np.eye(4)
    place[0, 3] = 8.0
    other = replace(other, place=place)
    kit = kit_with()
    assert told_of([plain, other], kit) == {frozenset("AB")}

    def tab(x0, x1):
        corners = np.array([[x, y, z] for x in (x0, x1) for y in (-2.0, 2.0) for z in (0.0, 1.0)])
        return replace(plain, cut_off_mm=np.stack([corners, corners]))

    assert told_of([tab(3.0, 5.0), other], kit) == set()
    assert told_of([tab(-5.0, -3.0), other], kit) == {frozenset("AB")}
    (found,) = check_sharing([tab(4.0, 5.0), other], kit.plan, kit.settings)
    assert float(found.text.split("about ")[1].split()[0]) == pytest.approx(4.0, abs=0.5)


@pytest.mark.parametrize("turn_deg", [0.0, 17.0, 45.0])
def test_what_is_sunk_little_into_a_large_part_is_told(turn_deg):
    """A plate 40 mm long that stands 0.15 mm deep in a block, however both are turned in the building."""
    a = np.radians(turn_deg)
    turn = np.eye(4)
    turn[:2, :2] = [[np.cos(a), -np.sin(a)], [np.sin(a), np.cos(a)]]
    tilt = np.eye(4)
    tilt[1:3, 1:3] = [[np.cos(0.7), -np.sin(0.7)], [np.sin(0.7), np.cos(0.7)]]
    block, plate = make(box_solid(60.0, 40.0, 30.0), number="A"), make(box_solid(40.0, 20.0, 2.0), number="B")
    kit = kit_with()
    for deep, told in ((0.15, {frozenset("AB")}), (-0.01, set())):
        on = np.eye(4)
        on[2, 3] = 30.0 - deep
        parts = [replace(block, place=turn @ tilt), replace(plate, place=turn @ tilt @ on)]
        assert told_of(parts, kit) == told


@pytest.mark.parametrize("deep", [0.1, 0.25])
def test_what_is_long_and_thin_is_told(deep):
    """Two bars 120 mm long, of which an edge of the one stands in an edge of the other."""
    bar, other = make(box_solid(120.0, 4.0, 4.0), number="A"), make(box_solid(120.0, 4.0, 4.0), number="B")
    kit, aside = kit_with(), np.eye(4)
    aside[1:3, 3] = 4.0 - deep
    (found,) = check_sharing([bar, replace(other, place=aside)], kit.plan, kit.settings)
    assert float(found.text.split("about ")[1].split()[0]) == pytest.approx(120.0 * deep**2, abs=0.6)
    aside[1:3, 3] = 4.01
    assert told_of([bar, replace(other, place=aside)], kit) == set()


def test_a_seam_over_a_porch_and_beside_a_tower_is_backed_and_runs_through_nothing():
    """The wall ends where the porch stands before it, and the shell of the tower rises far above it."""
    house = union(block(0, 0, 14, 13, 6), block(10.5, 9.5, 13.5, 12.5, 8.5), block(5, -2, 9, 0.5, 2.8))
    settings = with_value(Settings(), "kit", "scale", "1:76.2")
    kit = make_kit(structure_for(mesh_of_solid(house), settings), settings, checked=False)
    assert any(wall.seams.cuts for wall in kit.plan.walls)
    assert seams.check_backing(kit.parts, kit.plan, kit.settings) == ()
    assert seams.check_open_seams(kit.parts, kit.plan, kit.settings) == ()
