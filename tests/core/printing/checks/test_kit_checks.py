"""Checks of how parts go together, on a small kit whose long walls are split under cable runs."""

from dataclasses import replace

import numpy as np
import pytest

from gabled_plans import kit_of_shape
from halfbat.building import building_from_mesh, mesh_from_box
from halfbat.findings import Severity
from halfbat.kit import make_kit
from halfbat.printing.checks import courses, fits, seams
from halfbat.printing.checks.sharing import check_sharing
from halfbat.settings import Settings, with_value
from printed_parts import box, make, stepped

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
