"""What every kit keeps, on random buildings: closed parts that fit together, courses and joints that run on.

HALFBAT_EXAMPLES sets how many kits are drawn for each property; the default keeps the suite quick.
"""

import os
from dataclasses import replace
from itertools import pairwise

import manifold3d
import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, assume, given
from hypothesis import settings as examples
from hypothesis import strategies as st

from halfbat.building import building_from_plan
from halfbat.errors import KitError
from halfbat.kit import make_kit, smallest_face_m
from halfbat.output.stl import stl_bytes
from halfbat.parts.cells import Side
from halfbat.parts.toothing import LEAST_TOOTH_MM
from halfbat.settings import SeamRequest
from halfbat.solids.verify import faults
from kit_help import TOUCHING_MM3, manifold, overlaps, parts_of, placed, settings_with

EXAMPLES = int(os.environ.get("HALFBAT_EXAMPLES", "6"))
SCALES = ("1:220", "1:160", "1:148", "1:120", "1:87", "1:76.2")
BONDS = ("stretcher", "header", "english", "flemish", "english_garden_wall", "dutch", "monk", "stack", "rat_trap")
FORMATS = ("uk_metric", "uk_imperial", "us_modular", "german_nf", "dutch_waal", "australian")
PRINTERS = ((0.05, 0.05, 0.05), (0.0285, 0.0285, 0.05), (0.019, 0.024, 0.03), (0.022, 0.022, 0.03))


@st.composite
def plans(draw):
    """Rectangles, L, T, U, bays at 45 degrees, five odd corners; turned."""
    width, depth = draw(st.floats(3.5, 9.0)), draw(st.floats(3.0, 6.0))
    share, other = draw(st.floats(0.25, 0.4)), draw(st.floats(0.6, 0.75))
    x0, x1, y = width * share, width * other, depth * draw(st.floats(0.35, 0.65))
    bay = draw(st.floats(0.5, 1.2))
    kinds = {
        "rectangle": [(0, 0), (width, 0), (width, depth), (0, depth)],
        "L": [(0, 0), (width, 0), (width, y), (x0, y), (x0, depth), (0, depth)],
        "T": [(x0, 0), (x1, 0), (x1, y), (width, y), (width, depth), (0, depth), (0, y), (x0, y)],
        "U": [(0, 0), (width, 0), (width, depth), (x1, depth), (x1, y), (x0, y), (x0, depth), (0, depth)],
        "bay": [(0, 0), (x0, 0), (x0 + bay, -bay), (x1 - bay, -bay), (x1, 0), (width, 0), (width, depth), (0, depth)],
        "five": [(0, 0), (width, 0), (width * (0.6 + share), y), (width * other, depth), (-width * share / 2, y)],
        "odd": [(0, 0), (width, -depth * share), (x1, y), (width * 0.9, depth * 1.1), (-x0, depth * other)],
    }
    plan = np.array(kinds[draw(st.sampled_from(sorted(kinds)))], dtype=float)
    turn = np.radians(draw(st.sampled_from((0.0, 90.0, 17.0, 233.0))))
    plan = plan @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    outline = shapely.Polygon(plan)
    assume(outline.is_valid and outline.exterior.is_ccw)
    return plan


@st.composite
def cases(draw):
    """Plan, foot and height in metres, and settings by name; a building that is refused does not count."""
    x, y, layer = draw(st.sampled_from(PRINTERS))
    values = {
        "kit__scale": draw(st.sampled_from(SCALES)),
        "brick__bond": draw(st.sampled_from(BONDS)),
        "brick__format": draw(st.sampled_from(FORMATS)),
        "brick__top_course": draw(st.sampled_from(("adjust gauge", "cut course"))),
        "seam__hide": draw(st.sampled_from(("cable run", "toothed", "movement joint"))),
        "seam__panel_limit_mm": draw(st.sampled_from((120.0, 50.0))),
        "shell__floor": draw(st.booleans()),
        "resin__pixel_x_mm": x,
        "resin__pixel_y_mm": y,
        "resin__layer_mm": layer,
    }
    plan = draw(plans())
    building = building_from_plan(plan, draw(st.sampled_from((0.0, 1.3))), draw(st.floats(2.2, 3.6)))
    assume(min(wall.length_m for wall in building.walls) >= smallest_face_m(settings_with(**values)))
    assume(all(40 <= wall.corner_deg <= 320 for wall in building.walls))
    return plan.tolist(), building.base_m, building.height_m, values


def made(case, **changes):
    plan, base, height, values = case
    settings = replace(settings_with(**values), **changes)
    try:
        return make_kit(building_from_plan(plan, base, height), settings, checked=False)
    except KitError as refused:
        # A sharp corner may leave a short wall no room; nothing else is a reason here.
        assert "no back left" in str(refused) or "too small" in str(refused)
        assume(False)


quiet = [HealthCheck.filter_too_much, HealthCheck.too_slow]
few = examples(max_examples=EXAMPLES, deadline=None, suppress_health_check=quiet)
fewer = examples(max_examples=max(EXAMPLES // 2, 1), deadline=None, suppress_health_check=quiet)


@few
@given(cases())
def test_every_kit_fits_together(case):
    kit = made(case)
    assert_parts(kit)
    assert_stack(kit)
    assert_assembly(kit)
    for wall in kit.plan.walls:
        assert_tiled(kit, wall)
        assert_seams(kit, wall)


def assert_parts(kit):
    """Parts are closed, numbered once, and lie on the plate round its middle."""
    numbers = [part.number for part in kit.parts]
    assert len(set(numbers)) == len(numbers)
    for part in kit.parts:
        assert faults(part.solid) == ()
        low, high = part.solid.bounds_mm
        assert low[2] == pytest.approx(0, abs=1e-9)
        # A leaning end whose bricks are too narrow to be made ends a little further in than reckoned.
        np.testing.assert_allclose((low + high)[:2] / 2, 0, atol=0.1 if part.kind == "skin" else 1.5e-3)
        np.testing.assert_allclose(part.place[:3, :3] @ part.place[:3, :3].T, np.eye(3), atol=1e-12)


def assert_stack(kit):
    """Brick faces lie in the prototype's face; behind them skin, glue and the shell's whole lines add up."""
    gap, lines = kit.settings.skin.glue_gap_mm, kit.settings.shell.wall_lines * kit.settings.filament.line_width_mm
    shell = placed(parts_of(kit, "shell")[0])
    # Wings too narrow for two walls are solid, and have no inner face.
    mass = kit.plan.masses[0]
    hollow = len(mass.behind(0.0, gap + lines)[0]) == len(mass.corners_mm)
    for wall in kit.plan.walls:
        facing = wall.facing
        outward = np.array([*facing.outward, 0.0])
        for part in parts_of(kit, "skin"):
            if part.wall == wall.wall.letter:
                depth = -(placed(part) - facing.foot_mm) @ outward
                assert depth.min() == pytest.approx(0, abs=1e-3)
                assert depth.max() == pytest.approx(facing.depth_mm, abs=1e-3)
                assert placed(part)[:, 2].min() >= facing.foot_mm[2] - 1e-3
        depth = -(shell - facing.foot_mm) @ outward
        for face in (facing.depth_mm + gap, *([facing.depth_mm + gap + lines] if hollow else [])):
            assert np.abs(depth - face).min() < 1.5e-3


def assert_assembly(kit):
    """No two parts share space, the lid lifts off, and the shell comes up into the ring of skins."""
    assert overlaps(kit) == []
    lids = [manifold(part) for part in parts_of(kit, "lid")]
    others = [manifold(part) for part in kit.parts if part.kind != "lid"]
    for height in (0.05, 0.7, 2.0, 3.3):
        for lid in lids:
            assert all((lid.translate((0, 0, height)) ^ other).volume() < TOUCHING_MM3 for other in others)
    shell = manifold(parts_of(kit, "shell")[0])
    skins = [manifold(part) for part in parts_of(kit, "skin")]
    for depth in (0.05, 1.0, 5.0, 20.0):
        assert all((shell.translate((0, 0, -depth)) ^ skin).volume() < TOUCHING_MM3 for skin in skins)


def assert_tiled(kit, wall):
    """Panels and the gaps between them are the wall, and their bricks are its bricks."""
    gap, facing, seams = kit.settings.seam.gap_mm, wall.facing, wall.seams
    length, height = facing.laying.length_mm, facing.laying.height_mm
    area = sum(shapely.Polygon(cell.outline).area for cell in seams.panels)
    across = sum(np.abs(np.diff(cut.line, axis=0)).sum() for cut in seams.cuts)
    corners = sum(len(cut.line) // 2 - 1 for cut in seams.cuts)
    lost = gap * (across + length * len(seams.rows_mm)) - gap * gap * len(seams.cuts) * len(seams.rows_mm)
    assert area + lost == pytest.approx(length * height, abs=gap * gap * corners + 1e-6)
    bricks = sum(len(facing.laying.patterns[k].kinds) for k in facing.laying.course_pattern)
    counted = [sum(part.counts.values()) for part in parts_of(kit, "skin") if part.wall == wall.wall.letter]
    assert sum(counted) == bricks


def assert_seams(kit, wall):
    """Seams keep off each other and the corners, panels keep the limits, and the shell stands behind every seam."""
    facing, seams = wall.facing, wall.seams
    length = facing.laying.length_mm
    ends = [(0.0, 0.0), *((cut.low_mm, cut.high_mm) for cut in seams.cuts), (length, length)]
    assert all(right[0] - left[1] >= 3.0 - 1e-6 for left, right in pairwise(ends))
    for cut in seams.cuts:
        assert cut.low_mm > facing.left.reach_mm and length - cut.high_mm > facing.right.reach_mm
        if len(cut.line) > 2:
            assert np.abs(np.diff(cut.line, axis=0))[1::2, 0].min() >= LEAST_TOOTH_MM - 1e-6
        for u in (cut.low_mm, cut.high_mm):
            assert_backed(kit, facing, u)
    for cell in seams.panels:
        u0, v0, u1, v1 = cell.bounds
        u0 -= max(0.0, -facing.left.outermost_mm) * (Side.LEFT in cell.sides)
        u1 += max(0.0, -facing.right.outermost_mm) * (Side.RIGHT in cell.sides)
        assert u1 - u0 <= kit.settings.seam.panel_limit_mm + 1e-6
        assert v1 - v0 <= kit.settings.resin.usable_y_mm + 1e-6


def assert_backed(kit, facing, u):
    """The shell's face runs on for 3 mm to both sides of a place along a wall, or to the shell's corner."""
    shell = manifold(parts_of(kit, "shell")[0])
    depth = facing.depth_mm + kit.settings.skin.glue_gap_mm
    along, outward = np.array([*facing.along, 0.0]), np.array([*facing.outward, 0.0])
    at = facing.foot_mm + along * u - outward * (depth + 0.2) + np.array([0, 0, 5.0])
    probe = manifold3d.Manifold.cube((0.1, 0.1, 0.1), True)
    reach = min(3.0, u - depth - 1.0, facing.laying.length_mm - u - depth - 1.0)
    for side in (-reach, 0.0, reach):
        assert (probe.translate(tuple(at + along * side)) ^ shell).volume() == pytest.approx(1e-3, rel=1e-3)


@fewer
@given(cases(), st.integers(0, 7))
def test_same_input_same_bytes_and_numbers_of_other_walls_stay(case, which):
    kit, again = made(case), made(case)
    assert [(a.number, stl_bytes(a.solid)) for a in kit.parts] == [(b.number, stl_bytes(b.solid)) for b in again.parts]
    wall = kit.building.walls[which % len(kit.building.walls)]
    # A little off the middle, so that no seam is there yet.
    request = SeamRequest(wall.letter, f"{wall.length_m * 0.45:.3f} m", "cable run")
    try:
        changed = make_kit(kit.building, replace(kit.settings, seams=(request,)), checked=False)
    except KitError as refused:
        assert "seam" in str(refused)
        return
    before = {part.number for part in kit.parts if part.wall != wall.letter}
    assert before == {part.number for part in changed.parts if part.wall != wall.letter}
    asked = next(plan for plan in changed.plan.walls if plan.wall.letter == wall.letter).seams.cuts
    assert sum(cut.asked for cut in asked) == 1


@fewer
@given(cases(), st.sampled_from(("name", "lid", "mark")))
def test_a_setting_of_one_part_does_not_change_others(case, which):
    values = settings_with(**case[3])
    changes = {
        "name": {"kit": replace(values.kit, name="Other")},
        "lid": {"lid": replace(values.lid, make=False)},
        "mark": {"mark": replace(values.mark, filament_height_mm=4.0)},
    }[which]
    kept = {"name": ("shell", "lid", "skin", "cover"), "lid": ("skin", "cover"), "mark": ("skin", "cover")}[which]
    first, second = made(case), made(case, **changes)
    for kind in kept:
        one, other = ([stl_bytes(part.solid) for part in parts_of(kit, kind)] for kit in (first, second))
        assert one == other
