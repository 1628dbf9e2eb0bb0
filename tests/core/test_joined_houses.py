"""Houses whose parts stand against each other: every check passes, parts share no space, roofs lift off."""

import pytest

from halfbat.building.erect import structure_from_mesh
from halfbat.findings import Severity
from halfbat.kit import make_kit, smallest_face_m
from halfbat.printing.checks.necks import check_necks
from halfbat.printing.checks.solidity import check_crossing
from halfbat.printing.checks.subject import Subject
from joined_houses import JOINED, crow_steps
from kit_help import lift_fouls, overlaps, settings_with
from roof_solids import hipped, mesh_of_solid

#: Where corners were rounded parts may share as much as this.
SHARED_MM3 = 1e-3

#: Name: walls, slopes and masses.
PLANS = {
    "parapet gables": (4, 2, 1),
    "crow steps": (4, 2, 1),
    "flat with parapet": (4, 1, 1),
    "mono-pitch with parapets": (4, 1, 1),
    "U of gables": (8, 6, 1),
}


def structure_of(name, settings, turn_deg=0.0):
    return structure_from_solid(JOINED[name](), settings, turn_deg, name)


def structure_from_solid(solid, settings, turn_deg=0.0, name="house"):
    mesh = mesh_of_solid(solid, turn_deg, f"{name}.obj")
    return structure_from_mesh(mesh, smallest_face_m=smallest_face_m(settings))


def shared(structure, **values):
    bare = make_kit(structure, settings_with(**values, mark__make=False), checked=False)
    return bare, [found for found in overlaps(bare) if found[2] > SHARED_MM3]


@pytest.mark.parametrize("turn_deg", [0.0, 17.0])
@pytest.mark.parametrize("name", PLANS)
def test_parapets_and_wings_are_parts_of_one_building(name, turn_deg):
    structure = structure_of(name, settings_with(kit__scale="1:148"), turn_deg)
    assert (len(structure.walls), len(structure.slopes), len(structure.masses)) == PLANS[name]


@pytest.mark.parametrize("name", sorted(JOINED))
def test_its_kit_passes_and_goes_together(name):
    settings = settings_with(kit__scale="1:148")
    structure = structure_of(name, settings)
    kit = make_kit(structure, settings)
    assert [found for found in kit.findings if found.severity is Severity.FAILURE] == []
    bare = make_kit(structure, settings_with(kit__scale="1:148", mark__make=False), checked=False)
    assert [found for found in overlaps(bare) + lift_fouls(bare) if found[2] > SHARED_MM3] == []


@pytest.mark.parametrize("thick", [0.6, 0.7, 0.8])
def test_short_returns_of_thick_steps_keep_clear_of_both_walls_they_meet(thick):
    settings = settings_with(kit__scale="1:148")
    _, found = shared(structure_from_solid(crow_steps(thick), settings), kit__scale="1:148")
    assert found == []


@pytest.mark.parametrize("turn_deg", [0.0, 17.0])
def test_panels_cut_at_the_tip_of_a_hip_end_stay_behind_the_mitres(turn_deg):
    settings = settings_with(kit__scale="1:76.2")
    structure = structure_from_solid(hipped(0, 0, 14, 9, 4.0, 35.0), settings, turn_deg)
    kit, found = shared(structure, kit__scale="1:76.2")
    assert found == []
    ends = [part for part in kit.parts if part.kind == "roof skin" and part.number[1] in "CD"]
    assert len(ends) >= 8
    assert [(part.number, check_crossing(Subject.of(part, settings))) for part in ends] == [
        (part.number, ()) for part in ends
    ]


@pytest.mark.parametrize("turn_deg", [0.0, 17.0])
@pytest.mark.parametrize("name", ["T of gables", "cross gable"])
def test_panels_beside_a_notch_between_valleys_have_no_sharp_tip(name, turn_deg):
    settings = settings_with(kit__scale="1:76.2", mark__make=False)
    kit = make_kit(structure_of(name, settings, turn_deg), settings, checked=False)
    skins = [part for part in kit.parts if part.kind == "roof skin"]
    cut = {part.number[:2] for part in skins if part.number[2:] == "2"}
    assert cut
    assert [found for part in skins for found in check_necks(Subject.of(part, kit.settings))] == []
