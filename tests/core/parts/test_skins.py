import numpy as np
import pytest
from shapely import Polygon, box, contains_xy, unary_union
from shapely.affinity import scale as scaled
from shapely.affinity import translate

from halfbat.building.plain import structure_from_building
from halfbat.errors import KitError
from halfbat.parts.corners import Fits, corner_ends
from halfbat.parts.glyphs import text_strokes
from halfbat.parts.kit_plan import plan_kit
from halfbat.parts.skins import build_panel
from halfbat.parts.wall_face import wall_face
from halfbat.surfaces import Kind
from halfbat.units import parse_scale
from kit_help import building_of, kit_of, mesh, parts_of, section, settings_with
from solids_help import assert_printable_solid

BOX = [(0, 0), (9.9, 0), (9.9, 5.4), (0, 5.4)]
L_PLAN = [(0, 0), (8, 0), (8, 3), (4, 3), (4, 6), (0, 6)]


def panels(plan=BOX, height=3.0, **values):
    settings = settings_with(**values)
    planned = plan_kit(structure_from_building(building_of(plan, height)), settings, parse_scale(settings.kit.scale))
    return [
        (wall, cell, build_panel(wall.facing, cell, settings, f"W{wall.wall.letter}{cell.index}"))
        for wall in planned.walls
        for cell in wall.seams.panels
    ]


@pytest.mark.parametrize("plan", [BOX, L_PLAN])
@pytest.mark.parametrize("bond", ["english", "rat_trap"])
def test_panels_are_printable_and_lie_on_their_backs(plan, bond):
    for wall, _, panel in panels(plan, brick__bond=bond):
        assert_printable_solid(panel.solid, crossings=False)
        low, high = panel.solid.bounds_mm
        assert low[2] == 0
        assert high[2] == pytest.approx(wall.facing.base_mm + wall.facing.joints.depth_mm)
        np.testing.assert_allclose((low + high)[:2] / 2, 0, atol=1e-3)


def test_thickness_and_relief():
    (wall, _, panel), *_ = panels()
    # 9.9 m at 1:148 is 67 mm, so the base is 1.2; the joint is 0.12 in layers of 0.05, rounded to 0.10.
    assert wall.facing.base_mm == pytest.approx(1.2)
    assert wall.facing.joints.depth_mm == pytest.approx(0.1)
    heights = np.unique(np.round(panel.solid.vertices[:, 2], 4))
    assert {1.2, 1.3} <= set(heights.tolist())


def test_bricks_counted_over_all_panels_are_the_bricks_laid():
    for values in ({}, {"seam__panel_limit_mm": 30.0}, {"seam__panel_limit_mm": 20.0, "brick__bond": "flemish"}):
        made = panels(**values)
        for wall in {id(wall): wall for wall, _, _ in made}.values():
            laying = wall.facing.laying
            laid = sum(len(laying.patterns[k].kinds) for k in laying.course_pattern)
            assert sum(sum(panel.counts.values()) for own, _, panel in made if own is wall) == laid
    assert set(made[0][2].counts) <= {kind.label for kind in Kind}


def outer_rim(panel):
    back = section(panel.solid, 0.02)
    return max(getattr(back, "geoms", [back]), key=lambda piece: piece.area).exterior


def engraved(panel):
    """What is cut into the back."""
    return Polygon(outer_rim(panel)).difference(section(panel.solid, 0.02))


def test_the_number_reads_right_seen_from_behind():
    """Rasterise what is cut into the back, as seen from there, and compare it with the glyphs."""
    for wall, cell, panel in panels(seam__panel_limit_mm=40.0):
        mark = panel.mark
        seen = scaled(engraved(panel), xfact=-1, origin=(0, 0))
        text = f"\u2191W{wall.wall.letter}{cell.index}"
        strokes = unary_union([Polygon(ring) for ring in text_strokes(text, mark.height_mm, mark.stroke_mm)])
        strokes = translate(strokes, *np.subtract(seen.bounds[:2], strokes.bounds[:2]))
        np.testing.assert_allclose(seen.bounds, strokes.bounds, atol=3e-3)
        x0, y0, x1, y1 = seen.bounds
        x, y = np.meshgrid(np.arange(x0, x1, 0.1) + 0.05, np.arange(y0, y1, 0.1) + 0.05)
        here, wanted = contains_xy(seen, x, y), contains_xy(strokes, x, y)
        assert (here == wanted).mean() > 0.985
        assert (here[:, ::-1] == wanted).mean() < 0.9


@pytest.mark.parametrize("limit", [120.0, 40.0])
def test_marks_keep_off_the_rim_and_leave_half_a_millimetre(limit):
    for wall, _, panel in panels(seam__panel_limit_mm=limit, seam__hide="toothed"):
        mark = panel.mark
        flat = box(*panel.solid.bounds_mm[:, :2].ravel())
        shape = unary_union([Polygon(ring) for ring in mark.rings_mm])
        width, height = shape.bounds[2] - shape.bounds[0], shape.bounds[3] - shape.bounds[1]
        assert wall.facing.base_mm - mark.depth_mm >= 0.5 - 1e-9
        assert width <= flat.bounds[2] - flat.bounds[0] - 4 and height <= flat.bounds[3] - flat.bounds[1] - 4
        assert outer_rim(panel).distance(engraved(panel)) >= 2 - 1e-3


def test_small_panels_carry_a_tab_above_the_wall():
    plan = [(0, 0), (9, 0), (9, 1.0), (12, 1.0), (12, 6), (0, 6)]
    made = {wall.wall.letter: (wall, panel) for wall, _, panel in panels(plan)}
    wall, panel = made["B"]
    assert panel.tabbed and panel.mark is None
    assert_printable_solid(panel.solid, crossings=False)
    tops = (panel.solid.vertices @ panel.place[:3, :3].T + panel.place[:3, 3])[:, 2]
    # In place it stands above the top of the wall, behind the bricks.
    assert tops.max() > wall.facing.laying.height_mm + 4
    above = panel.solid.vertices[tops > wall.facing.laying.height_mm + 0.01]
    assert above[:, 2].max() <= max(1.0, wall.facing.base_mm) + 1e-9
    assert not any(panel.tabbed for letter, (_, panel) in made.items() if letter != "B")
    kit = kit_of(plan)
    part = next(part for part in parts_of(kit, "skin") if part.wall == "B")
    assert part.notes == ("Cut the tab off when it is glued on.",)
    assert mesh(part).is_volume
    assert "mark-missing" not in {finding.code for finding in kit.findings}


def test_a_wall_too_narrow_for_its_corners_is_left_bare_or_refused():
    kit = kit_of([(0, 0), (9, 0), (9, 0.45), (12, 0.45), (12, 6), (0, 6)], mark__make=False)
    assert "B" not in {part.wall for part in parts_of(kit, "skin")}
    assert "walls B" in next(finding.text for finding in kit.findings if finding.code == "wall-bare")
    ends = corner_ends(90, (1.3, 1.3), Fits(0.2, 0.1, 0.3))[::-1]
    outline = np.array([[0, 0], [3.5, 0], [3.5, 20], [0, 20]])
    assert wall_face(outline * (2, 1), *ends, 1.3, "wall B").strips_mm
    with pytest.raises(KitError, match="no back left between its corners"):
        wall_face(outline, *ends, 1.3, "wall B")


def test_no_brick_stands_over_a_leaning_end_face():
    for angle in (35, 45, 60, 75):
        slant = 5 / np.tan(np.radians(angle))
        plan = [(0, 0), (9 + slant, 0), (9, 5), (0, 5)]
        for values in ({}, {"brick__joint_depth_mm": 0.6, "skin__base_thickness_mm": 1.2}):
            for _, _, panel in panels(plan, kit__scale="1:76.2", **values):
                assert_printable_solid(panel.solid, crossings=False)


def test_the_first_panel_of_a_wall_near_the_largest_ends_at_its_seam():
    long = [(0, 0), (20, 0), (20, 3), (0, 3)]
    made = panels(long, 1.0, kit__scale="1:22", brick__bond="stack", mark__make=False)
    firsts = [(cell, panel) for wall, cell, panel in made if wall.wall.index == 0]
    assert len(firsts) == 8
    for cell, panel in (firsts[0], firsts[-1]):
        assert_printable_solid(panel.solid, crossings=False)
        assert panel.solid.size_mm[0] == pytest.approx(cell.bounds[2] - cell.bounds[0], abs=1.0)
