"""A cover above a roof that lifts off is told, with the place; one beside it, or under eaves, is not."""

import numpy as np
import pytest

from covered_kits import house
from halfbat.findings import Severity
from halfbat.printing.checks.lifting import check_lifting, heights
from halfbat.settings import CableRunRequest, CoverRequest
from halfbat.solids.solid import Solid
from kit_help import lift_fouls, parts_of
from roof_solids import block, gabled, lean_to, mesh_of_solid, union


def with_lean_to(style, at, **values):
    """A tall block with a lean-to before a part of its front, and a cover on that front."""
    mesh = mesh_of_solid(union(block(0, 0, 8, 5, 4.0), lean_to(1, -2, 5, 0.01, 2.6, 2.0)), 0.0, "lean.obj")
    plain = house(mesh)
    letter = next(
        wall.wall.letter
        for wall in plain.plan.walls
        if wall.facing.outward[1] < -0.9 and abs(float(wall.facing.foot_mm[1])) < 1.0 and wall.wall.length_m > 7
    )
    asked = {style: ((CoverRequest if style == "downpipes" else CableRunRequest)(letter, at),)}
    return house(mesh, **asked, **values)


def told(kit):
    return check_lifting(kit.parts, kit.plan, kit.settings)


@pytest.mark.parametrize("style", ["downpipes", "cable_runs"])
def test_a_cover_above_a_lean_to_is_told_with_its_place(style):
    kit = with_lean_to(style, "3 m")
    (finding,) = told(kit)
    (cover,) = parts_of(kit, "cover")
    assert (finding.code, finding.severity, finding.part) == ("cover-over-roof", Severity.WARNING, cover.number)
    named = {
        part.number for part in kit.parts if part.number in finding.text.split(" over ")[1].replace(",", " ").split()
    }
    # Those that really meet it on the way up, and no others.
    assert named == {roof for roof, other, _ in lift_fouls(kit) if other == cover.number}
    assert named
    low, high = cover.solid.bounds_mm
    assert (np.array(finding.place.low_mm) >= low - 1e-3).all()
    assert (np.array(finding.place.high_mm) <= high + 1e-3).all()
    assert "glue that roof on" in finding.remedy


@pytest.mark.parametrize("at", ["6.5 m", "0.4 m"])
def test_beside_the_lean_to_it_is_not(at):
    kit = with_lean_to("downpipes", at)
    assert parts_of(kit, "cover")
    assert told(kit) == ()


@pytest.mark.parametrize("top", ["swan neck", "plain", "hopper head"])
def test_a_pipe_under_eaves_hinders_no_roof(top):
    mesh = mesh_of_solid(gabled(0, 0, 8, 5, 2.4, 1.5), 0.0, "plain.obj")
    letter = next(wall.wall.letter for wall in house(mesh).plan.walls if wall.wall.length_m > 7)
    pipe = (CoverRequest(letter, "2 m"),)
    kit = house(mesh, downpipes=pipe, downpipe__top=top, roof__eaves_overhang_mm=250.0)
    assert parts_of(kit, "cover")
    assert told(kit) == ()


def test_heights_of_a_solid_over_spots():
    points = np.array([[0, 0, 1], [4, 0, 1], [0, 4, 1], [0, 0, 5.0]])
    body = Solid(points, np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]]))
    low, high = heights(body, np.array([[1.0, 1.0], [3.0, 3.0]]))
    assert (low[0], high[0]) == pytest.approx((1.0, 3.0))
    assert np.isinf([low[1], high[1]]).all()
