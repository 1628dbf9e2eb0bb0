"""Houses as people model them: every check of their whole kits passes."""

import pytest

from halfbat.building.erect import structure_from_mesh
from halfbat.errors import KitError
from halfbat.findings import Severity
from halfbat.kit import make_kit, smallest_face_m
from halfbat.solids.verify import faults
from kit_help import settings_with
from modelled_houses import HOUSES, house_mesh

#: Larger than printers: their shells are told as too large, which is true.
LONG = {"long shed", "long hipped range"}


def kit_of_house(name, turn_deg, checked):
    settings = settings_with(kit__scale="1:148")
    structure = structure_from_mesh(house_mesh(name, turn_deg), smallest_face_m=smallest_face_m(settings))
    return make_kit(structure, settings, checked=checked)


@pytest.mark.parametrize("name", sorted(HOUSES.keys() - LONG))
def test_no_check_of_a_house_fails(name):
    kit = kit_of_house(name, 0.0, checked=True)
    assert kit.checks > len(kit.parts)
    assert [found for found in kit.findings if found.severity is Severity.FAILURE] == []


def test_what_has_no_room_for_its_shell_is_refused_with_its_size():
    settings = settings_with(kit__scale="1:76.2")
    structure = structure_from_mesh(house_mesh("terrace"), smallest_face_m=smallest_face_m(settings))
    # Party walls of 0.2 m stand 2.6 mm thick above the roofs.
    with pytest.raises(KitError, match=r"a part of it of 2\.6 x 91\.9 mm, is too small for the walls of its shell"):
        make_kit(structure, settings, checked=False)


def test_a_ridge_whose_feet_end_near_a_corner_is_sound():
    settings = settings_with(kit__scale="1:76.2")
    structure = structure_from_mesh(house_mesh("lean-to against a gable"), smallest_face_m=smallest_face_m(settings))
    ridges = [part for part in make_kit(structure, settings, checked=False).parts if part.kind == "ridge"]
    assert ridges
    assert all(faults(part.solid) == () for part in ridges)


@pytest.mark.parametrize("name", ["octagonal bay", "T of unequal hips", "cut corners", "mansard"])
def test_turned_by_an_odd_angle_it_makes_as_many_sound_parts(name):
    turned, plain = (kit_of_house(name, turn, checked=False) for turn in (17.0, 0.0))
    assert [part.number for part in turned.parts if faults(part.solid)] == []
    kinds = [sorted(part.kind for part in kit.parts) for kit in (turned, plain)]
    assert kinds[0] == kinds[1]


def test_a_building_longer_than_the_printer_is_told_of_it_and_of_nothing_else():
    kit = kit_of_house("long hipped range", 0.0, checked=True)
    failures = [found for found in kit.findings if found.severity is Severity.FAILURE]
    assert {found.code for found in failures} == {"too-large"}
    assert {found.part for found in failures} == {"F1"}
