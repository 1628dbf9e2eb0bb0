from dataclasses import replace

import manifold3d
import numpy as np
import pytest
import shapely
import trimesh

from halfbat.errors import KitError
from halfbat.parts.lid import build_lid, has_lip
from halfbat.parts.lip import BUMP_MM, TOUCH_MM
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
    # Bumps reach to a hair of the shell, all else keeps the fit.
    assert inside.exterior.distance(lip) == pytest.approx(TOUCH_MM, abs=2e-3)
    outer = inside.buffer(-fit, join_style="mitre")
    bumps = [one for one in pieces(lip.difference(outer.buffer(1e-3))) if one.area > 1e-3]
    assert all(one.area == pytest.approx(np.mean(BUMP_MM) * (fit - TOUCH_MM), rel=0.1) for one in bumps)
    sides = [step for step in np.linalg.norm(np.diff(np.array(outer.exterior.coords), axis=0), axis=1) if step > 4.8]
    assert len(bumps) == sum(2 if side > 12 else 1 for side in sides)
    # But for two gaps for a finger the lip goes all round.
    gaps = pieces(outer.difference(outer.buffer(-1.26, join_style="mitre")).difference(lip))
    assert sum(one.area for one in gaps if one.area > 0.5) == pytest.approx(2 * 12.0 * 1.26, abs=0.1)


def pieces(shape):
    """The polygons that a shape is made of."""
    return list(getattr(shape, "geoms", [shape]))


def judged(body, move=(0.0, 0.0, 0.0)):
    return manifold3d.Manifold(manifold3d.Mesh64(body.vertices + move, body.faces.astype(np.uint64)))


@pytest.mark.parametrize("stack", [BOX, L_PLAN])
def test_it_holds_by_its_bumps_alone_and_lifts_straight_off(stack):
    settings = settings_with(mark__make=False)
    lid, shell = in_place(built(stack, mark__make=False)), in_place(build_shell([stack], settings, "S1"))
    fit = settings.filament.fit_mm
    for up in (0.0, 0.3, 1.5, 4.0, 10.0):
        assert (judged(lid, (0.0, 0.0, up)) ^ judged(shell)).volume() < 1e-6
    for push in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        shared = (judged(lid, (push[0] * fit / 2, push[1] * fit / 2, 0.0)) ^ judged(shell)).volume()
        assert 0 < shared < 4 * BUMP_MM[0] * fit * settings.lid.lip_depth_mm


def test_bumps_begin_where_the_lip_already_guides():
    lid = in_place(built())
    low = 25.0 - 1.6 - 3.6
    wide = [np.ptp(np.array(section(lid, z).bounds)[[0, 2]]) for z in (low + 0.98, low + 1.02)]
    assert wide[1] - wide[0] == pytest.approx(2 * (settings_with().filament.fit_mm - TOUCH_MM), abs=1e-3)


def test_a_short_lip_has_no_gap_for_a_finger():
    lip = section(in_place(built(stack_of([[0, 0], [20, 0], [20, 18], [0, 18]]))), 17.0)
    assert len(pieces(lip)) == 1


def test_heights_and_lead_in():
    lid = in_place(built())
    # A plate of 1.6 flush with the top of the walls, and a lip of 3.6.
    np.testing.assert_allclose(lid.bounds[:, 2], [25.0 - 1.6 - 3.6, 25.0], atol=1e-9)
    # Over its bumps, which begin where the lead-in is long past.
    whole, tip = (shapely.MultiPolygon(pieces(section(lid, z))) for z in (20.7, 25.0 - 1.6 - 3.6 + 1e-3))
    # 0.5 at 45 degrees all round.
    np.testing.assert_allclose(np.subtract(tip.bounds, whole.bounds), [0.5, 0.5, -0.5, -0.5], atol=5e-3)
    half = section(lid, 25.0 - 1.6 - 3.6 + 0.25)
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


def test_without_room_for_a_lip_it_is_a_plate():
    """Walls that leave a hollow of less than a square millimetre, and walls too low for a lip."""
    low = replace(BOX, height_mm=1.9), settings_with(shell__ledge_height_mm=0.0)
    for mass, settings in ((stack_of([[0, 0], [7, 0], [7, 7], [0, 7]]), settings_with()), low):
        assert not has_lip(mass, settings)
        lid = build_lid(mass, settings, "L1")
        assert_printable_solid(lid.solid)
        # The same height all over.
        assert lid.solid.volume_mm3 == pytest.approx(lid.solid.size_mm.prod())


def test_a_wedge_nowhere_wide_enough_to_hold_is_no_lip():
    """A strip that widens to 6.8 mm, between walls that leave 0 to 0.7 mm of it."""
    assert not has_lip(stack_of([[0, 0], [40, 0], [40, 6.9], [0, 5.2]]), settings_with())
    assert has_lip(stack_of([[0, 0], [40, 0], [40, 9.0], [0, 5.2]]), settings_with())


def test_a_mass_too_small_for_a_plate_is_refused():
    with pytest.raises(KitError, match="too small for a lid at this scale"):
        build_lid(stack_of([[0, 0], [3, 0], [3, 3], [0, 3]]), settings_with(), "L1")
