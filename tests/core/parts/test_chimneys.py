from dataclasses import replace

import numpy as np
import pytest

from gabled_plans import settings_of, structure_of
from halfbat.building.erect import structure_from_mesh
from halfbat.errors import KitError
from halfbat.kit import make_kit
from halfbat.printing.checks.overhangs import check_islands, check_overhangs
from halfbat.printing.checks.subject import Subject
from halfbat.settings import ChimneyRequest
from kit_help import overlaps, parts_of, placed
from roof_solids import block, gabled, hull, lean_to, mesh_of_solid
from solids_help import assert_printable_solid

SCALE = 76.2
ASTRIDE = ChimneyRequest("A", "2.0 m")
ON_SLOPE = ChimneyRequest("A", "5.5 m", behind="1.3 m", width="465 mm", pots=1)


def kit_with(*chimneys, structure=None, scale="1:76.2"):
    settings = replace(settings_of(kit__scale=scale, mark__make=False), chimneys=chimneys)
    return make_kit(structure or structure_of("gable"), settings, checked=False)


@pytest.mark.parametrize("scale", ["1:76.2", "1:148", "1:43.5"])
def test_closed_bodies_that_overlap_nothing(scale):
    kit = kit_with(ASTRIDE, ON_SLOPE, scale=scale)
    chimneys, pots = parts_of(kit, "chimney"), parts_of(kit, "pot")
    assert len(chimneys) == 2 and [pot.number for pot in pots] == ["P1", "P2", "P3"]
    numbers = {part.number for part in [*chimneys, *pots]}
    for part in [*chimneys, *pots]:
        assert_printable_solid(part.solid)
        subject = Subject.of(part, kit.settings)
        assert check_overhangs(subject) == () and check_islands(subject) == ()
    for kind in ("roof skin", "former", "ridge"):
        for part in parts_of(kit, kind):
            assert_printable_solid(part.solid, crossings=False)
    assert not [found for found in overlaps(kit) if numbers & set(found[:2])]


def test_it_stands_where_it_is_asked_to_and_so_high():
    kit = kit_with(ASTRIDE, ON_SLOPE)
    astride, on_slope = (placed(part) for part in parts_of(kit, "chimney"))
    # Eaves at 2.4 m, a pitch of 0.6, ridge at 3.9 m and 2.5 m behind wall A.
    body = astride[astride[:, 2] < 3900 / SCALE + 5]
    np.testing.assert_allclose(body[:, :2].min(axis=0), [(2000 - 345) / SCALE, (2500 - 232.5) / SCALE], atol=2e-3)
    np.testing.assert_allclose(body[:, :2].max(axis=0), [(2000 + 345) / SCALE, (2500 + 232.5) / SCALE], atol=2e-3)
    # Flaunching of half a millimetre holds the pots.
    assert astride[:, 2].max() == pytest.approx((3900 + 900) / SCALE + 0.5, abs=2e-3)
    highest = 2400 + 0.6 * (1300 + 232.5)
    assert on_slope[:, 2].max() == pytest.approx((highest + 900) / SCALE + 0.5, abs=2e-3)


def test_the_ridge_stops_on_both_sides():
    assert len(parts_of(kit_with(), "ridge")) == 1
    runs = [placed(part) for part in parts_of(kit_with(ASTRIDE), "ridge")]
    assert len(runs) == 2
    left, right = sorted(runs, key=lambda run: run[:, 0].min())
    assert left[:, 0].max() <= (2000 - 345) / SCALE and right[:, 0].min() >= (2000 + 345) / SCALE


def test_courses_follow_the_gauge_of_the_walls():
    kit = kit_with(ASTRIDE)
    (chimney,) = kit.plan.chimneys
    courses = (chimney.site.top_mm - min(chimney.low_mm)) / kit.plan.coursing.gauge_mm
    (part,) = parts_of(kit, "chimney")
    # Three bricks on the long sides and two on the short ones, half a brick more where a course begins with a header.
    per_course = part.counts["chimney brick"] / round(courses)
    assert 2 * (3 + 2) <= per_course <= 2 * (3 + 2) + 4


def test_a_chimney_of_the_mesh():
    solid = gabled(0, 0, 8, 5, 2.4, 1.5) + block(2, 1.0, 2.7, 1.5, 4.6)
    structure = structure_from_mesh(mesh_of_solid(solid), smallest_face_m=0.5)
    kit = kit_with(structure=structure)
    (part,) = parts_of(kit, "chimney")
    assert "left-out" not in {finding.code for finding in kit.findings}
    corners = placed(part)
    body = corners[corners[:, 2] < 3.2 * 1000 / SCALE]
    np.testing.assert_allclose(body[:, :2].min(axis=0), [2000 / SCALE, 1000 / SCALE], atol=5e-3)
    numbers = {part.number for kind in ("chimney", "pot") for part in parts_of(kit, kind)}
    assert not [found for found in overlaps(kit) if numbers & set(found[:2])]


@pytest.mark.parametrize(
    ("request_", "text"),
    [
        (ChimneyRequest("A", "20 m"), "no ridge behind the wall"),
        (ChimneyRequest("A", "0.1 m"), "wholly on a pitched roof"),
        (ChimneyRequest("A", "3 m", behind="0.24 m"), "too near the eaves"),
        (ChimneyRequest("Z", "3 m"), "no wall 'Z'"),
    ],
)
def test_refusals(request_, text):
    with pytest.raises(KitError, match=text):
        kit_with(request_)


def test_lead_lies_over_the_tiles_where_a_roof_meets_a_wall():
    solid = gabled(0, 0, 8, 5, 3.4, 1.5) + lean_to(2, 5, 6, 8, 1.8, 2.8)
    structure = structure_from_mesh(mesh_of_solid(solid), smallest_face_m=0.5)
    kit = kit_with(structure=structure)
    face = next(face for face in kit.plan.roofs if face.lead_mm)
    (lead,) = face.lead_mm
    # The lean-to falls from 2.8 to 1.8 m over 4 m beside the wall.
    assert np.ptp(lead, axis=0).max() == pytest.approx(np.hypot(4, 1) * 1000 / SCALE, abs=2e-3)
    letter = "ABC"[face.slope.index]
    skin = next(part for part in parts_of(kit, "roof skin") if part.number.startswith(f"R{letter}"))
    assert_printable_solid(skin.solid, crossings=False)
    # Seen square to the slope, the 150 mm along the wall are level at the full height of the tiles.
    top = skin.solid.bounds_mm[1, 2]
    flat = skin.solid.vertices[np.abs(skin.solid.vertices[:, 2] - top) < 2e-3]
    assert np.ptp(flat[:, 1]) > 3900 / SCALE


@pytest.mark.parametrize("scale", ["1:43.5", "1:148"])
@pytest.mark.parametrize("ridge_m", [2.0, 1.5])
def test_astride_slopes_of_unequal_pitch_it_clears_both(scale, ridge_m):
    foot = [(x, y, z) for x in (0.0, 8.0) for y in (0.0, 5.0) for z in (0.0, 3.2)]
    mesh = mesh_of_solid(hull([*foot, (0.0, ridge_m, 5.2), (8.0, ridge_m, 5.2)]))
    kit = kit_with(
        replace(ASTRIDE, at="5.0 m", width="3 bricks"),
        structure=structure_from_mesh(mesh, smallest_face_m=0.1),
        scale=scale,
    )
    (chimney,) = parts_of(kit, "chimney")
    assert_printable_solid(chimney.solid)
    subject = Subject.of(chimney, kit.settings)
    assert check_overhangs(subject) == () and check_islands(subject) == ()
    assert not [found for found in overlaps(kit) if chimney.number in found[:2]]
