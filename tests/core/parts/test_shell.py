from dataclasses import replace

import numpy as np
import pytest
import shapely
from shapely.affinity import translate

from halfbat.errors import KitError
from halfbat.parts.shell import build_shell
from kit_help import section, settings_with, stack_of
from solids_help import assert_printable_solid

BOX = stack_of([[0, 0], [66, 0], [66, 36], [0, 36]], [1.32, 1.12, 1.32, 1.12], 5.0)
L_PLAN = stack_of([[0, 0], [60, 0], [60, 25], [30, 25], [30, 50], [0, 50]])
TURNED = stack_of(L_PLAN.corners_mm @ np.array([[0.8, 0.6], [-0.6, 0.8]]))


def built(stack=BOX, **values):
    shell = build_shell([stack], settings_with(**values), "S1")
    assert_printable_solid(shell.solid, crossings=False)
    return shell


def cut_at(shell, height_mm):
    """Cut through the shell, in the building's frame, at a height above its own foot."""
    return translate(section(shell.solid, height_mm), *shell.place[:2, 3])


@pytest.mark.parametrize("stack", [BOX, L_PLAN, TURNED])
def test_walls_are_whole_lines_behind_skin_and_glue(stack):
    shell = built(stack, shell__corner_chamfer_mm=0.0)
    cut = cut_at(shell, 10.0)
    outer, inner = shapely.Polygon(cut.exterior), shapely.Polygon(cut.interiors[0])
    plan = shapely.Polygon(stack.corners_mm)
    if len(set(stack.rings[0].skin_mm.tolist())) == 1:
        for ring, behind in ((outer, 1.15 + 0.12), (inner, 1.15 + 0.12 + 4 * 0.42)):
            judge = plan.buffer(-behind, join_style="mitre")
            assert ring.symmetric_difference(judge).area < 0.05
            assert ring.hausdorff_distance(judge) < 2e-3
    else:
        np.testing.assert_allclose(outer.bounds, [1.24, 1.44, 64.76, 34.56], atol=1e-3)
        np.testing.assert_allclose(inner.bounds, [2.92, 3.12, 63.08, 32.88], atol=1e-3)


def test_heights():
    settings = settings_with()
    shell = built()
    # 20 mm of wall less 1.6 of lid on a ledge of 1.0: whole layers of 0.2.
    assert BOX.shell_top_mm(settings) == pytest.approx(19.4)
    np.testing.assert_allclose(shell.solid.size_mm[2], 19.4)
    assert shell.place[2, 3] == pytest.approx(5.0 - 1.0)
    assert built(lid__make=False).solid.size_mm[2] == pytest.approx(21.0)
    assert replace(BOX, height_mm=20.13).shell_top_mm(settings) == pytest.approx(19.4)


def test_ledge():
    # 0.8 under the skins, at most to 0.2 behind the face.
    bounds = cut_at(built(shell__corner_chamfer_mm=0.0), 0.5).bounds
    np.testing.assert_allclose(bounds, [0.44, 0.64, 65.56, 35.36], atol=1e-3)
    bounds = cut_at(built(shell__corner_chamfer_mm=0.0, shell__ledge_depth_mm=5.0), 0.5).bounds
    np.testing.assert_allclose(bounds, [0.2, 0.2, 65.8, 35.8], atol=1e-3)
    bounds = cut_at(built(shell__corner_chamfer_mm=0.0), 1.01).bounds
    np.testing.assert_allclose(bounds, [1.24, 1.44, 64.76, 34.56], atol=1e-3)
    assert built(shell__ledge_height_mm=0.0).solid.size_mm[0] == pytest.approx(66 - 2.48, abs=1e-3)


def test_floor_and_open_top():
    shell = built(mark__make=False)
    assert cut_at(shell, 1.1).interiors[:] == []
    assert len(cut_at(shell, 1.3).interiors) == 1
    assert len(cut_at(shell, 19.39).interiors) == 1
    floorless = built(shell__floor=False, mark__make=False)
    assert len(cut_at(floorless, 0.1).interiors) == 1


def test_chamfers_at_convex_corners_only():
    plain, cut = (cut_at(built(L_PLAN, shell__corner_chamfer_mm=c), 10.0) for c in (0.0, 0.5))
    assert plain.area - cut.area == pytest.approx(5 * 0.125, abs=2e-3)


def test_number_on_the_floor_and_on_a_pad():
    shell = built()
    assert (shell.mark.height_mm, shell.mark.stroke_mm, shell.mark.depth_mm) == (3.5, 0.5, pytest.approx(0.6))
    pad = built(shell__floor=False)
    assert pad.mark is not None
    floor = cut_at(pad, 0.3)
    assert floor.area > cut_at(built(shell__floor=False, mark__make=False), 0.3).area + 50


@pytest.mark.parametrize("size", [(9, 60), (60, 9), (11.5, 11.5), (8, 8)])
def test_a_pad_never_reaches_through_a_wall(size):
    x, y = size
    stack = stack_of([[0, 0], [x, 0], [x, y], [0, y]])
    pad = built(stack, shell__floor=False, shell__floor_thickness_mm=3.0, shell__corner_chamfer_mm=0.0)
    assert shapely.Polygon(cut_at(pad, 2.0).exterior).area == pytest.approx((x - 2.54) * (y - 2.54), abs=0.05)


def test_a_thick_skin_of_one_wall_and_wings_too_narrow_for_walls():
    shell = built(stack_of([[0, 0], [60, 0], [60, 5], [30, 5], [30, 40], [0, 40]]))
    # The wing of 5 mm is solid: 5 - 2 * 1.27 wide.
    cut = cut_at(shell, 10.0)
    assert cut.contains(shapely.Point(50, 2.5))
    assert len(cut.interiors) == 1


@pytest.mark.parametrize(
    ("plan", "height", "what"),
    [
        ([[0, 0], [6, 0], [6, 6], [0, 6]], 20.0, "too small for the walls of its shell"),
        ([[0, 0], [4, 0], [4, 4], [0, 4]], 20.0, "too small for the walls of its shell"),
        ([[0, 0], [40, 0], [40, 40], [0, 40]], 1.7, "too low"),
    ],
)
def test_refusals(plan, height, what):
    stack = stack_of(plan, height=height)
    with pytest.raises(KitError, match=what):
        build_shell([stack], settings_with(), "S1")


def test_a_pad_where_a_wing_is_too_narrow_for_walls():
    wing = stack_of([[0, 0], [22, 0], [22, 5], [12, 5], [12, 19], [0, 19]])
    assert built(wing, shell__floor=False).solid.volume_mm3 > 0


def test_a_solid_wing_keeps_the_faces_of_its_walls():
    wing = stack_of([[0, 0], [22, 0], [22, 9.4], [5.5, 9.4], [5.5, 19], [0, 19]])
    for floor in (True, False):
        cut = cut_at(built(wing, shell__floor=floor, shell__corner_chamfer_mm=0.0), 10.0)
        outer = shapely.Polygon(wing.corners_mm).buffer(-1.27, join_style="mitre")
        assert shapely.Polygon(cut.exterior).symmetric_difference(outer).area < 0.05
