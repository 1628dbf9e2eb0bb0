"""The examples that are shown: what they say of themselves holds, and they warn of nothing."""

from functools import cache
from pathlib import Path

import pytest

from halfbat.building.erect import structure_from_mesh
from halfbat.findings import Severity
from halfbat.kit import make_kit, smallest_face_m
from halfbat.kitfile import kit_mesh, read_kit_file
from halfbat.settings.features import FEATURE_CHOICES, FINISH_CHOICES
from halfbat.settings.openings import HEAD_CHOICES, INSERT_CHOICES, SILL_CHOICES

EXAMPLES = Path(__file__).parents[2] / "examples"
KITS = sorted(path.stem for path in EXAMPLES.glob("*/*.toml"))


@cache
def kit_of(name):
    kit_file = read_kit_file(EXAMPLES / name / f"{name}.toml")
    structure = structure_from_mesh(kit_mesh(kit_file), smallest_face_m=smallest_face_m(kit_file.settings))
    return make_kit(structure, kit_file.settings)


def told_by(name):
    return [(found.code, found.part) for found in kit_of(name).findings if found.severity is not Severity.NOTE]


@pytest.mark.parametrize("name", KITS)
def test_an_example_warns_of_nothing(name):
    assert told_by(name) == []


def test_the_gallery_shows_every_feature_finish_head_sill_and_insert():
    settings = read_kit_file(EXAMPLES / "gallery" / "gallery.toml").settings
    assert {one.kind for one in settings.features} == set(FEATURE_CHOICES)
    assert {one.kind for one in settings.finishes} == set(FINISH_CHOICES)
    assert {one.head for one in settings.openings} == set(HEAD_CHOICES)
    assert {one.sill for one in settings.openings} == set(SILL_CHOICES)
    assert {one.insert for one in settings.openings} == set(INSERT_CHOICES) - {"none", "vent"}
