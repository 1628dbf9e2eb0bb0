"""Courtyards, roofs sunk in a building, and storeys that stand in the middle of a flat roof."""

import numpy as np
import pytest
import trimesh

from halfbat.findings import Severity
from halfbat.kit import make_kit, structure_for
from kit_help import lift_fouls, overlaps, parts_of, settings_with
from roof_solids import block, gabled, mesh_of_solid

WHOLE = block(0, 0, 14, 13, 6)
COURT = block(4, 4, 10, 9, 20, base=-1)
COURT_MM = (6 / 0.148, 5 / 0.148)
#: Name, solid, and how many walls and lids or formers there are.
CASES = {
    "a courtyard": (WHOLE - COURT, 8, 1),
    "a courtyard between wings of two heights": (WHOLE + block(0, 9, 14, 13, 8) - COURT, 8, 2),
    "a roof sunk in a courtyard": (WHOLE - block(4, 4, 10, 9, 20, base=3), 8, 2),
    "a courtyard behind a parapet": (WHOLE - block(0.4, 0.4, 13.6, 12.6, 20, base=5.2) - COURT, 8, 1),
    "a well through a ridge": (gabled(0, 0, 14, 13, 5, 4) - block(5, 5, 8, 8, 20, base=-1), 8, 1),
    "a tower on a flat roof": (WHOLE + block(4, 4, 10, 9, 10), 8, 2),
    "two towers": (WHOLE + block(2, 2, 5, 5, 9) + block(8, 8, 12, 11, 8), 12, 3),
    "a tower on a tower": (WHOLE + block(3, 3, 10, 10, 9) + block(5, 5, 8, 8, 12), 12, 3),
}


def made(solid, turn_deg=0.0, **values):
    settings = settings_with(kit__scale="1:148", **values)
    return make_kit(structure_for(mesh_of_solid(solid, turn_deg=turn_deg), settings), settings)


@pytest.mark.parametrize(
    ("name", "turn_deg"), [*((name, 0.0) for name in CASES), ("a courtyard", 17.0), ("a tower on a flat roof", 17.0)]
)
def test_it_goes_together_without_a_failing_check(name, turn_deg):
    solid, walls, tops = CASES[name]
    kit = made(solid, turn_deg)
    assert [finding for finding in kit.findings if finding.severity is Severity.FAILURE] == []
    assert len({part.wall for part in parts_of(kit, "skin")}) == walls
    assert len(parts_of(kit, "lid")) + len(parts_of(kit, "former")) == tops
    assert [shared for shared in overlaps(kit) if shared[2] > 1e-3] == []
    assert [foul for foul in lift_fouls(kit) if foul[2] > 1e-3] == []


def test_shell_and_lid_are_open_over_a_courtyard():
    """Holes by trimesh's sections: one in the floor's outline, one in the lid, as large as court and skins leave."""
    kit = made(WHOLE - COURT, mark__make=False)
    for kind in ("shell", "lid"):
        (part,) = parts_of(kit, kind)
        low, high = part.solid.bounds_mm[:, 2]
        mesh = trimesh.Trimesh(part.solid.vertices, part.solid.triangles, process=False)
        plan = mesh.section([0, 0, 1], [0, 0, (low + high) / 2 if kind == "shell" else low + 0.5])
        boxes = sorted((np.ptp(np.asarray(ring)[:, :2], axis=0) for ring in plan.discrete), key=np.prod)
        court = next(box for box in boxes if (np.abs(np.sort(box) - np.sort(COURT_MM)) < 8.0).all())
        # Behind the skins, so larger than the court by two skins and their glue.
        assert (np.sort(court) > np.sort(COURT_MM) + 2 * 1.0).all()


def test_a_chimney_on_a_flat_roof_is_left_out_as_before():
    kit = made(WHOLE + block(5, 5, 6, 6, 8, base=5))
    assert len(parts_of(kit, "skin")) == 4 and any(finding.code == "left-out" for finding in kit.findings)
