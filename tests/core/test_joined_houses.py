"""Houses whose parts stand against each other: every check passes, parts share no space, roofs lift off."""

import pytest

from halfbat.building.erect import structure_from_mesh
from halfbat.findings import Severity
from halfbat.kit import make_kit, smallest_face_m
from joined_houses import JOINED
from kit_help import lift_fouls, overlaps, settings_with
from roof_solids import mesh_of_solid

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
    mesh = mesh_of_solid(JOINED[name](), turn_deg, f"{name}.obj")
    return structure_from_mesh(mesh, smallest_face_m=smallest_face_m(settings))


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
