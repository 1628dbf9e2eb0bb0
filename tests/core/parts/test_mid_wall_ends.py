"""Plinths and string courses where a porch runs into a wall."""

from dataclasses import replace

import pytest

from halfbat.findings import Severity
from halfbat.kit import make_kit, structure_for
from halfbat.settings import FeatureRequest
from kit_help import overlaps, parts_of, settings_with
from roof_solids import block, mesh_of_solid

PORCH = block(0, 0, 8, 5, 6) + block(3, -2, 5, 0.5, 2.6)
FEATURES = (
    FeatureRequest(kind="plinth", wall="all"),
    FeatureRequest(kind="string course", wall="all", bottom="1.8 m"),
    FeatureRequest(kind="quoins", wall="all"),
)


def made(features, turn_deg=0.0, scale="1:76.2"):
    settings = replace(settings_with(kit__scale=scale), features=features)
    return make_kit(structure_for(mesh_of_solid(PORCH, turn_deg=turn_deg), settings), settings)


@pytest.mark.parametrize("scale", ["1:76.2", "1:148"])
@pytest.mark.parametrize("turn_deg", [0.0, 17.0])
def test_what_stands_out_of_a_porch_ends_before_what_stands_out_of_the_wall(scale, turn_deg):
    kit = made(FEATURES, turn_deg, scale)
    assert [finding for finding in kit.findings if finding.severity is Severity.FAILURE] == []
    assert [shared for shared in overlaps(kit) if shared[2] > 1e-3] == []


def test_it_runs_up_to_the_wall_where_that_is_plain():
    """A plinth on one side of the porch only reaches the brick face; with one on the wall, that one's front."""
    reach = {}
    for walls in ("F", "FA"):
        kit = made(tuple(FeatureRequest(kind="plinth", wall=letter) for letter in walls))
        (skin,) = [part for part in parts_of(kit, "skin") if part.wall == "F"]
        place = skin.solid.vertices @ skin.place[:3, :3].T + skin.place[:3, 3]
        proud = place[place[:, 0] > kit.plan.walls[-2].facing.foot_mm[0] + 0.3]
        reach[walls] = float(proud[:, 1].max())
    gap = kit.settings.skin.corner_gap_mm
    out = max(one.level_mm for own in kit.plan.walls[0].facing.dressings for one in own.brickwork)
    assert reach["F"] == pytest.approx(-gap, abs=0.02)
    assert reach["FA"] == pytest.approx(-out - gap, abs=0.02)
