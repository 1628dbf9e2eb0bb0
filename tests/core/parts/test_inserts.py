from dataclasses import replace

import numpy as np
import pytest

from halfbat.kit import make_kit
from halfbat.parts.inserts import CLEARANCE_MM, build_insert
from halfbat.parts.part import SET_IN_FRONT
from halfbat.settings import OpeningRequest
from halfbat.settings.openings import INSERT_CHOICES
from halfbat.units import parse_scale
from kit_help import building_of, common_mm3, manifold, parts_of, settings_with
from solids_help import assert_printable_solid

BOX = [[0, 0], [6, 0], [6, 4], [0, 4]]
OUTLINE = np.array([[10.0, 5.0], [22.0, 5.0], [22.0, 20.0], [10.0, 20.0]])
SEAT = np.array([[9.4, 4.4], [22.6, 20.6]])


def facing():
    kit = make_kit(building_of(BOX), settings_with(kit__scale="1:76.2"), checked=False)
    return kit.plan.walls[0].facing


FACING = facing()


@pytest.mark.parametrize("kind", [kind for kind in INSERT_CHOICES if kind != "none"])
@pytest.mark.parametrize("marks", [True, False])
def test_every_kind_is_one_closed_solid(kind, marks):
    settings = settings_with(kit__scale="1:76.2", mark__make=marks)
    request = OpeningRequest("A", "1 m", "1 m", "1 m", insert=kind, panes="2x3")
    made = build_insert(FACING, OUTLINE, SEAT, request, settings, parse_scale("1:76.2"), "JA1")
    assert_printable_solid(made.solid, crossings=False)
    if not marks:
        assert not made.tabbed
        # The flange fills its seat; a window has as many holes as panes.
        np.testing.assert_allclose(made.solid.size_mm[:2], [13.2, 16.2], atol=2e-3)
    if kind in ("casement window", "metal window") and not marks:
        assert_printable_solid(made.solid, genus=6, crossings=False)
    places = made.solid.vertices @ made.place[:3, :3].T + made.place[:3, 3]
    behind = (FACING.foot_mm - places) @ np.array([*FACING.outward, 0.0])
    # 75 mm behind the brick face, to a layer, and 0.8 behind the skin.
    assert behind.min() >= 75 / 76.2 - 0.05 or made.tabbed
    assert behind.max() == pytest.approx(FACING.depth_mm + 0.8, abs=1e-6)


def test_an_insert_stands_clear_of_its_skin_and_shell():
    request = OpeningRequest("A", "1.5 m", "1 m", "1.2 m", sill_height="0.9 m", insert="sash window")
    settings = replace(settings_with(kit__scale="1:76.2", mark__make=False), openings=(request,))
    kit = make_kit(building_of(BOX), settings, checked=False)
    (insert,) = parts_of(kit, "insert")
    assert insert.wall == "A" and insert.name == "Sash window, wall A"
    body = manifold(insert)
    assert all(common_mm3(body, manifold(other)) < 1e-3 for other in kit.parts if other is not insert)
    # It does stand in the opening: moved sideways by more than its clearance it meets the skin.
    aside = manifold(insert, (CLEARANCE_MM + 0.3, 0.0, 0.0))
    assert max(common_mm3(aside, manifold(skin)) for skin in parts_of(kit, "skin")) > 0.01


@pytest.mark.parametrize("kind", ["casement window", "sash window", "panelled door"])
@pytest.mark.parametrize("ratio", ["1:32", "1:43.5", "1:55", "1:76.2"])
def test_a_leaf_is_as_thick_as_a_flange_at_any_scale(kind, ratio):
    settings = settings_with(kit__scale=ratio, mark__make=False)
    request = OpeningRequest("A", "1 m", "1 m", "1 m", insert=kind, panes="2x3")
    made = build_insert(FACING, OUTLINE, SEAT, request, settings, parse_scale(ratio), "JA1").solid
    tops = made.vertices[np.isin(np.arange(len(made.vertices)), made.triangles)][:, 2]
    assert tops[tops > 1e-3].min() >= 0.8 - 1e-6


def round_outline(middle, radius_mm):
    turns = np.linspace(0.0, 2 * np.pi, 48, endpoint=False)
    return np.asarray(middle) + radius_mm * np.column_stack([np.cos(turns), np.sin(turns)])


@pytest.mark.parametrize("kind", [kind for kind in INSERT_CHOICES if kind != "none"])
@pytest.mark.parametrize("outline", [OUTLINE, round_outline((16.0, 12.0), 5.0)], ids=["square", "round"])
@pytest.mark.parametrize("ratio", ["1:43.5", "1:76.2", "1:148"])
def test_what_fills_a_blind_opening_stands_within_its_skin(kind, outline, ratio):
    settings = settings_with(kit__scale=ratio, mark__make=False)
    request = OpeningRequest("A", "1 m", "1 m", "1 m", insert=kind, panes="2x2")
    made = build_insert(FACING, outline, None, request, settings, parse_scale(ratio), "JA1")
    assert_printable_solid(made.solid, crossings=False)
    places = made.solid.vertices @ made.place[:3, :3].T + made.place[:3, 3]
    behind = (FACING.foot_mm - places) @ np.array([*FACING.outward, 0.0])
    assert behind.max() == pytest.approx(FACING.depth_mm, abs=1e-6)
    assert behind.min() >= 0.0
    np.testing.assert_allclose(made.solid.size_mm[:2], np.ptp(outline, axis=0) - 2 * CLEARANCE_MM, atol=0.01)


@pytest.mark.parametrize("leaf", ["metal window", "vent"])
def test_an_opening_that_the_shell_does_not_open_behind_is_filled_from_the_front(leaf):
    request = OpeningRequest("A", "1.5 m", "1 m", "0.6 m", sill_height="2.3 m", insert=leaf)
    settings = replace(settings_with(kit__scale="1:76.2"), openings=(request,))
    kit = make_kit(building_of(BOX), settings, checked=False)
    (told,) = [found for found in kit.findings if found.code == "opening-backed"]
    assert "blind" in told.text and told.place is not None
    (insert,) = parts_of(kit, "insert")
    assert SET_IN_FRONT in insert.notes
    bare = make_kit(building_of(BOX), replace(settings, mark=replace(settings.mark, make=False)), checked=False)
    (insert,) = parts_of(bare, "insert")
    body = manifold(insert)
    assert all(common_mm3(body, manifold(other)) < 1e-3 for other in bare.parts if other is not insert)
    # The shell is whole behind it.
    plain = make_kit(building_of(BOX), replace(settings, openings=()), checked=False)
    (shell,), (whole,) = parts_of(kit, "shell"), parts_of(plain, "shell")
    assert manifold(shell).volume() == pytest.approx(manifold(whole).volume(), rel=1e-6)


def test_what_fills_a_blind_opening_keeps_off_the_mitre_of_a_corner_and_the_roof():
    # It reaches to half a millimetre from the right corner, and over the top of the skin.
    length, top = FACING.laying.length_mm, float(FACING.face.outline_mm[:, 1].max())
    outline = np.array([[length - 9.0, 5.0], [length - 0.5, 5.0], [length - 0.5, top + 1.0], [length - 9.0, top + 1.0]])
    request = OpeningRequest("A", "1 m", "1 m", "1 m", insert="casement window")
    made = build_insert(FACING, outline, None, request, settings_with(mark__make=False), parse_scale("1:76.2"), "JA1")
    places = made.solid.vertices @ made.place[:3, :3].T + made.place[:3, 3] - FACING.foot_mm
    u, behind = places[:, :2] @ FACING.along, places @ -np.array([*FACING.outward, 0.0])
    # The corner is square: the next skin begins as far from it as one is behind the face.
    assert (u + behind <= length + 1e-6).all()
    assert places[:, 2].max() <= top
    assert np.ptp(u) > 6.0
