"""Roof lights as objects on the slopes of a building."""

from dataclasses import replace

import bpy
import numpy as np
import pytest

from halfbat.settings import RoofLightRequest

LIGHT = RoofLightRequest("A", "2 m", up="0.6 m", width="0.6 m", height="0.8 m")


@pytest.fixture
def lodge(addon):
    """The example building, with a slate roof."""
    bpy.ops.halfbat.add_example_building()
    bpy.context.view_layer.update()
    return bpy.context.active_object


def put_on(addon, building, *lights):
    io = addon("settings_io")
    io.write_settings(building, replace(io.read_settings(building), roof_lights=lights))
    addon("following").put_all(building, bpy.context.evaluated_depsgraph_get(), bpy.context.scene)
    bpy.context.view_layer.update()
    return addon("placed").placed_on(building, "roof_lights")


def text(item):
    return item.halfbat_placed.roof_lights


def test_it_lies_on_its_slope(addon, lodge) -> None:
    (item,) = put_on(addon, lodge, LIGHT)
    assert not item.halfbat_placed.trouble and item.type == "MESH" and item.parent == lodge
    up = np.array(item.matrix_world.col[2].xyz)
    assert up[2] > 0.3 and abs(up[0]) < 1e-6
    corners = np.array([item.matrix_world @ vertex.co for vertex in item.data.vertices])
    assert np.ptp(corners[:, 0]) == pytest.approx(0.6, abs=1e-4)
    assert addon("settings_io").read_settings(lodge).roof_lights == (LIGHT,)


def test_moving_it_writes_where_it_is(addon, lodge) -> None:
    (item,) = put_on(addon, lodge, LIGHT)
    lodge.halfbat.snap = False
    before = item.matrix_world.translation.copy()
    item.location.x += 0.5
    item.location.z += 0.5  # off the slope: it comes back onto it
    bpy.context.view_layer.update()
    assert text(item).at == "2.5 m" and text(item).slope == "A"
    assert float(text(item).up.removesuffix(" m")) > 0.6
    away = np.array(item.matrix_world.translation - before)
    normal = np.array(item.matrix_world.col[1].xyz)
    assert abs(away @ normal) < 1e-4


def test_it_snaps_to_courses_of_the_covering(addon, lodge) -> None:
    (item,) = put_on(addon, lodge, replace(LIGHT, up="3 courses"))
    item.location.z += 0.21
    bpy.context.view_layer.update()
    count, _, unit = text(item).up.partition(" ")
    assert unit in ("course", "courses") and int(count) > 3


def test_over_the_ridge_it_is_on_the_other_slope_and_far_away_on_none(addon, lodge) -> None:
    (item,) = put_on(addon, lodge, LIGHT)
    deep = max(corner[1] for corner in lodge.bound_box) - min(corner[1] for corner in lodge.bound_box)
    item.location.y += 0.75 * deep
    bpy.context.view_layer.update()
    assert text(item).slope != "A" and not item.halfbat_placed.off_wall
    item.location.z += 30.0
    bpy.context.view_layer.update()
    assert item.halfbat_placed.off_wall and "slope" in item.halfbat_placed.trouble
    assert addon("settings_io").read_settings(lodge).roof_lights == ()


def test_one_that_reaches_over_an_edge_is_red_and_says_so(addon, lodge) -> None:
    (item,) = put_on(addon, lodge, replace(LIGHT, height="9 m"))
    assert "does not lie wholly" in item.halfbat_placed.trouble
    assert item.data.materials[0].name == "Halfbat trouble"


def test_the_kit_has_it_where_the_object_stands(addon, lodge) -> None:
    (item,) = put_on(addon, lodge, replace(LIGHT, count=2, spacing="1.2 m"))
    assert bpy.ops.halfbat.make_kit() == {"FINISHED"}
    parts = [part for part in lodge.halfbat.collection.objects if part.halfbat_part.kind == "roof light"]
    assert len(parts) == 2
    first = min(parts, key=lambda part: part.matrix_world.translation.x)
    assert first.matrix_world.translation.x == pytest.approx(item.matrix_world.translation.x, abs=0.01)


def test_it_is_removed_with_its_button(addon, lodge) -> None:
    put_on(addon, lodge, LIGHT)
    (item,) = addon("placed").placed_on(lodge, "roof_lights")
    bpy.context.view_layer.objects.active = item
    assert bpy.ops.halfbat.remove_placed() == {"FINISHED"}
    assert addon("settings_io").read_settings(lodge).roof_lights == ()
