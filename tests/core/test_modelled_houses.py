"""Houses as people model them: every check of their whole kits passes."""

import pytest

from halfbat.building.erect import structure_from_mesh
from halfbat.findings import Severity
from halfbat.kit import make_kit, smallest_face_m
from halfbat.solids.verify import faults
from kit_help import lift_fouls, overlaps, settings_with
from modelled_houses import HOUSES, house_mesh

#: Where corners were rounded parts may share as much as this.
SHARED_MM3 = 1e-3


def kit_of_house(name, turn_deg, checked):
    settings = settings_with(kit__scale="1:148")
    structure = structure_from_mesh(house_mesh(name, turn_deg), smallest_face_m=smallest_face_m(settings))
    return make_kit(structure, settings, checked=checked)


@pytest.mark.parametrize("name", sorted(HOUSES))
def test_no_check_of_a_house_fails(name):
    kit = kit_of_house(name, 0.0, checked=True)
    assert kit.checks > len(kit.parts)
    assert [found for found in kit.findings if found.severity is Severity.FAILURE] == []


def test_a_ridge_whose_feet_end_near_a_corner_is_sound():
    settings = settings_with(kit__scale="1:76.2")
    structure = structure_from_mesh(house_mesh("lean-to against a gable"), smallest_face_m=smallest_face_m(settings))
    ridges = [part for part in make_kit(structure, settings, checked=False).parts if part.kind == "ridge"]
    assert ridges
    assert all(faults(part.solid) == () for part in ridges)


AT_LARGER = ["stepped parapets", "terrace", "U of unequal hips", "lean-to against a gable", "mansard", "octagonal bay"]


@pytest.mark.parametrize("name", AT_LARGER)
def test_at_a_larger_scale_it_passes_goes_together_and_its_roof_lifts_off(name):
    settings = settings_with(kit__scale="1:76.2")
    structure = structure_from_mesh(house_mesh(name), smallest_face_m=smallest_face_m(settings))
    kit = make_kit(structure, settings)
    assert [found for found in kit.findings if found.severity is Severity.FAILURE] == []
    bare = make_kit(structure, settings_with(kit__scale="1:76.2", mark__make=False), checked=False)
    assert [found for found in overlaps(bare) + lift_fouls(bare) if found[2] > SHARED_MM3] == []


@pytest.mark.parametrize("name", ["octagonal bay", "T of unequal hips", "cut corners", "mansard"])
def test_turned_by_an_odd_angle_it_makes_as_many_sound_parts(name):
    turned, plain = (kit_of_house(name, turn, checked=False) for turn in (17.0, 0.0))
    assert [part.number for part in turned.parts if faults(part.solid)] == []
    kinds = [sorted(part.kind for part in kit.parts) for kit in (turned, plain)]
    assert kinds[0] == kinds[1]


def test_a_building_longer_than_the_printer_comes_in_sections():
    kit = kit_of_house("long hipped range", 0.0, checked=True)
    assert [found for found in kit.findings if found.severity is Severity.FAILURE] == []
    assert [part.number for part in kit.parts if part.kind in ("shell", "former")] == [
        "S1",
        "S2",
        "S3",
        "F1",
        "F2",
        "F3",
    ]
