from itertools import combinations

import numpy as np
import pytest

from covered_kits import house
from halfbat.drawings.drawing import Dimension, Label, dimension_line
from halfbat.drawings.paper import ROOM_MM
from halfbat.drawings.plans import cut_height_mm, plan, plan_size
from halfbat.drawings.sections import level_section
from halfbat.drawings.wall_lengths import round_mm, wall_lines
from made_kits import l_shape, long_box
from roof_solids import block, lean_to, mesh_of_solid, union


def u_shape():
    """A U of three wings, where walls face each other."""
    return house(mesh_of_solid(union(block(0, 0, 12, 4, 3), block(0, 0, 3, 9, 3), block(9, 0, 12, 7, 3))))


def with_lean_to():
    """A tall house with a low lean-to before its long wall."""
    return house(mesh_of_solid(union(block(0, 0, 8, 5, 5.0), lean_to(8, 1, 11, 4, 3.0, 2.0))))


KITS = [long_box, l_shape, u_shape, with_lean_to]


def lines_of(kit):
    return [dimension_line(item)[:2] for item in plan(kit).items if isinstance(item, Dimension)]


def apart_mm(one, other):
    """Least distance of two straight lines drawn."""
    points = [start + (end - start) * share for start, end in (one,) for share in np.linspace(0, 1, 60)]
    start, end = other
    side = end - start
    shares = [np.clip((p - start) @ side / (side @ side), 0, 1) for p in points]
    return min(np.hypot(*(p - start - side * share)) for p, share in zip(points, shares, strict=True))


@pytest.mark.parametrize("kit", KITS)
def test_no_line_of_a_plan_meets_another_that_runs_its_way(kit):
    lines = lines_of(kit())
    assert len(lines) == len(kit().plan.walls)
    for one, other in combinations(lines, 2):
        ways = [(end - start) / np.hypot(*(end - start)) for start, end in (one, other)]
        chained = any(np.allclose(a, b) for a in one for b in other)  # end to end in one chain of sizes
        if abs(ways[0] @ ways[1]) > 0.99 and not chained:
            assert apart_mm(one, other) > 5.0


@pytest.mark.parametrize("kit", KITS)
def test_plans_fit_the_page_with_their_lines(kit):
    made = kit()
    size, lines = plan_size(made)
    extent = np.ptp(made.plan.corners_mm, axis=0) * float(size)
    assert (extent + 2 * round_mm(lines) <= ROOM_MM).all()


@pytest.mark.parametrize("kit", KITS)
def test_no_number_of_a_plan_stands_on_another(kit):
    labels = [item for item in plan(kit()).items if isinstance(item, Label)]
    for one, other in combinations(labels, 2):
        (x, y), (u, v) = one.at, other.at
        assert abs(x - u) > 1.5 or abs(y - v) > 2.0


def test_a_plan_is_cut_through_the_lowest_mass():
    kit = with_lean_to()
    level = kit.plan.base_mm + cut_height_mm(kit)
    skins = [part for part in kit.parts if part.kind == "skin"]
    assert all(level_section(part.solid, part.place, level) for part in skins if part.wall != "C")
    assert cut_height_mm(kit) == pytest.approx(0.72 * 20.0, abs=0.1)


def test_lines_stand_outside_of_everything():
    kit = u_shape()
    for line in wall_lines(kit.plan.walls, kit.plan.corners_mm, 1.0):
        facing = line.wall.facing
        beyond = float((kit.plan.corners_mm @ facing.outward).max())
        assert line.away_mm(1.0) + float(facing.foot_mm[:2] @ facing.outward) >= beyond + 14.9
