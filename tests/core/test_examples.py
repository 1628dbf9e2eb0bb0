"""The examples that are shown: what they say of themselves holds, and they warn of nothing."""

from functools import cache
from pathlib import Path

import pytest

from halfbat.building.erect import structure_from_mesh
from halfbat.findings import Severity
from halfbat.kit import make_kit, smallest_face_m
from halfbat.kitfile import kit_mesh, read_kit_file

EXAMPLES = Path(__file__).parents[2] / "examples"
KITS = sorted(path.stem for path in EXAMPLES.glob("*/*.toml"))


@cache
def kit_of(name):
    kit_file = read_kit_file(EXAMPLES / name / f"{name}.toml")
    structure = structure_from_mesh(kit_mesh(kit_file), smallest_face_m=smallest_face_m(kit_file.settings))
    return make_kit(structure, kit_file.settings)


@pytest.mark.parametrize("name", KITS)
def test_an_example_warns_of_nothing(name):
    told = [(found.part, found.text) for found in kit_of(name).findings if found.severity is not Severity.NOTE]
    assert told == []
