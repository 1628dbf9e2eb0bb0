from dataclasses import replace

import manifold3d
import numpy as np
import pytest
import shapely
import trimesh

from halfbat.errors import KitError
from halfbat.parts.lid import build_lid
from halfbat.parts.shell import build_shell
from kit_help import section, settings_with, stack_of
from solids_help import assert_printable_solid

BOX = stack_of([[0, 0], [66, 0], [66, 36], [0, 36]], base=5.0)
L_PLAN = stack_of([[0, 0], [60, 0], [60, 25], [30, 25], [30, 50], [0, 50]])


def built(stack=BOX, **values):
    lid = build_lid(stack, settings_with(**values), "L1")
    assert_printable_solid(lid.solid, crossings=False)
    return lid


def in_place(built):
    vertices = built.solid.vertices @ built.place[:3, :3].T + built.place[:3, 3]
    return trimesh.Trimesh(vertices, built.solid.triangles, process=False)


@pytest.mark.parametrize("stack", [BOX, L_PLAN])
@pytest.mark.parametrize("fit", [0.1, 0.15, 0.3])
def test_plate_and_lip_fit_with_their_clearance_on_every_side(stack, fit):
    settings = settings_with(filament__fit_mm=fit, shell__corner_chamfer_mm=0.0)
    lid = in_place(built(stack, filament__fit_mm=fit))
    shell = in_place(build_shell([stack], settings, "S1"))
    plan = shapely.Polygon(stack.corners_mm)
    top = stack.base_mm + stack.height_mm
    plate = section(lid, top - 0.5)
    backs = plan.buffer(-1.15, join_style="mitre")
    assert plate.exterior.distance(backs.exterior) == pytest.approx(fit, abs=2e-3)
    assert plate.symmetric_difference(backs.buffer(-fit, join_style="mitre")).area < 0.05
    lip = section(lid, top - 2.5)
    inside = shapely.Polygon(section(shell, top - 2.5).interiors[0])
    assert inside.contains(lip)
    assert inside.exterior.distance(lip.exterior) == pytest.approx(fit, abs=2e-3)
    outer, inner = shapely.Polygon(lip.exterior), shapely.Polygon(lip.interiors[0])
    assert inner.symmetric_difference(outer.buffer(-1.26, join_style="mitre")).area < 0.05


def test_heights_and_lead_in():
    lid = in_place(built())
    # A plate of 1.6 flush with the top of the walls, and a lip of 3.6.
    np.testing.assert_allclose(lid.bounds[:, 2], [25.0 - 1.6 - 3.6, 25.0], atol=1e-9)
    whole, tip = (shapely.Polygon(section(lid, z).exterior) for z in (21.0, 25.0 - 1.6 - 3.6 + 1e-3))
    # 0.5 at 45 degrees all round.
    np.testing.assert_allclose(np.subtract(tip.bounds, whole.bounds), [0.5, 0.5, -0.5, -0.5], atol=5e-3)
    half = shapely.Polygon(section(lid, 25.0 - 1.6 - 3.6 + 0.25).exterior)
    np.testing.assert_allclose(np.subtract(half.bounds, whole.bounds), [0.25, 0.25, -0.25, -0.25], atol=5e-3)


def test_it_is_printed_top_down_and_marked_below():
    lid = built()
    assert lid.place[2, 2] == -1
    np.testing.assert_allclose(lid.solid.bounds_mm[0, 2], 0)
    assert lid.mark.depth_mm == pytest.approx(0.6)
    plain = built(mark__make=False)
    area = sum(shapely.Polygon(ring).area for ring in lid.mark.rings_mm)
    assert 0 < plain.solid.volume_mm3 - lid.solid.volume_mm3 <= area * 0.6


@pytest.mark.parametrize(
    "values",
    [
        {"shell__floor_thickness_mm": 10.0, "lid__lip_depth_mm": 20.0},
        {"shell__wall_lines": 12, "lid__lip_thickness_mm": 10.0},
        {"filament__fit_mm": 2.0, "shell__wall_lines": 2},
        {"shell__wall_lines": 2, "filament__line_width_mm": 0.2, "filament__fit_mm": 1.0},
    ],
)
def test_it_always_lies_on_the_walls_and_clears_the_floor(values):
    lid, shell = in_place(built(**values)), in_place(build_shell([BOX], settings_with(**values), "S1"))
    bearing = section(lid, 24.9).intersection(section(shell, 25.0 - 1.6 - 0.05))
    assert bearing.area > 10
    judge = [
        manifold3d.Manifold(manifold3d.Mesh64(body.vertices, body.faces.astype(np.uint64))) for body in (lid, shell)
    ]
    assert (judge[0] ^ judge[1]).volume() < 1e-3


def test_a_narrow_wing_has_no_lip_but_a_cover():
    lid = in_place(built(stack_of([[0, 0], [60, 0], [60, 5], [30, 5], [30, 40], [0, 40]])))
    assert section(lid, 19.5).contains(shapely.Point(50, 2.5))
    assert not section(lid, 17.0).intersects(shapely.box(40, 0, 60, 5))


def test_refusals():
    small = stack_of([[0, 0], [7, 0], [7, 7], [0, 7]])
    with pytest.raises(KitError, match="too small for the lip"):
        build_lid(small, settings_with(), "L1")
    with pytest.raises(KitError, match="too low for the lip"):
        build_lid(replace(BOX, height_mm=1.9), settings_with(shell__ledge_height_mm=0.0), "L1")
