"""Whole kits of real building meshes; more of them stand where HALFBAT_BUILDINGS says."""

import os
from pathlib import Path

import pytest

from halfbat.building import read_obj
from halfbat.building.erect import structure_from_mesh
from halfbat.kit import make_kit, smallest_face_m
from halfbat.solids.verify import faults
from kit_help import overlaps, parts_of, settings_with

FOLDER = Path(os.environ.get("HALFBAT_BUILDINGS", Path(__file__).parents[1] / "data"))
FLAT = ("b01", "b04")


def mesh_path(name):
    found = sorted(FOLDER.glob(f"{name}*.obj"))
    if not found:
        pytest.skip(f"no building {name} in {FOLDER}")
    return found[0]


@pytest.mark.parametrize("name", FLAT)
@pytest.mark.parametrize("scale", ["1:148", "1:76.2", "1:87"])
def test_flat_roofed_buildings_make_complete_kits(name, scale):
    settings = settings_with(kit__scale=scale)
    building = structure_from_mesh(read_obj(mesh_path(name)), smallest_face_m=smallest_face_m(settings))
    kit = make_kit(building, settings, checked=False)
    assert {"shell", "lid", "skin"} <= {part.kind for part in kit.parts}
    assert {part.wall for part in parts_of(kit, "skin")} == {wall.wall.letter for wall in kit.plan.walls}
    assert len(kit.plan.walls) >= 4
    for part in kit.parts:
        assert faults(part.solid) == ()
    assert overlaps(kit) == []
    letters = [wall.letter for wall in kit.plan.structure.walls]
    assert len(letters) == len(kit.plan.walls)
