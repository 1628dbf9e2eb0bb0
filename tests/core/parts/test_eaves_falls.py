"""Corbelled eaves and dentil courses under roofs that reach out beyond the walls."""

from dataclasses import replace
from math import radians, tan

import pytest

from halfbat.findings import Severity
from halfbat.kit import make_kit, structure_for
from halfbat.parts.eaves_falls import eaves_falls
from halfbat.settings import FeatureRequest
from kit_help import overlaps, settings_with
from roof_solids import gabled, mesh_of_solid

HOUSE = mesh_of_solid(gabled(0, 0, 8, 5, 4, 3))
PITCH = 3 / 2.5


def settings_of(kind, overhang_mm, scale="1:76.2"):
    settings = settings_with(kit__scale=scale, roof__eaves_overhang_mm=overhang_mm)
    return replace(settings, features=(FeatureRequest(kind=kind, wall="all"),))


@pytest.mark.parametrize("scale", ["1:76.2", "1:148"])
@pytest.mark.parametrize("overhang_mm", [0, 150, 300])
@pytest.mark.parametrize("kind", ["corbelled eaves", "dentil course"])
def test_they_stay_under_the_roof(kind, overhang_mm, scale):
    settings = settings_of(kind, overhang_mm, scale)
    kit = make_kit(structure_for(HOUSE, settings), settings)
    assert [finding for finding in kit.findings if finding.severity is Severity.FAILURE] == []
    assert [shared for shared in overlaps(kit) if shared[2] > 1e-3] == []


def test_only_roofs_that_reach_out_fall_over_walls_and_only_under_their_eaves():
    for overhang_mm in (0, 150):
        settings = settings_of("dentil course", overhang_mm)
        structure = structure_for(HOUSE, settings)
        falls = eaves_falls(structure, settings)
        eaves = {wall.index for wall in structure.walls if wall.length_m > 7}
        assert falls == pytest.approx(dict.fromkeys(eaves, PITCH) if overhang_mm else {})
        assert all(tan(radians(slope.pitch_deg)) == pytest.approx(PITCH) for slope in structure.slopes)


def test_they_end_lower_by_as_many_courses_as_the_roof_falls_over_them():
    tops = {}
    for overhang_mm in (0, 300):
        settings = settings_of("corbelled eaves", overhang_mm)
        wall = make_kit(structure_for(HOUSE, settings), settings, checked=False).plan.walls[0]
        (dressing,) = wall.facing.dressings
        out = max(part.level_mm for part in dressing.brickwork)
        tops[overhang_mm] = max(part.last for part in dressing.brickwork), len(dressing.brickwork)
        gauge = float(wall.facing.laying.bed_v_mm[1] - wall.facing.laying.bed_v_mm[0])
    assert tops[0][1] == tops[300][1]
    lower = tops[0][0] - tops[300][0]
    assert lower * gauge >= out * PITCH - 0.01 and (lower - 2) * gauge < out * PITCH
