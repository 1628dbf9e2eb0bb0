"""What makers do to objects and collections that an extension did not have in mind."""

import bpy
import numpy as np
import pytest
from recording_layout import drawn_panels


def only(item) -> None:
    bpy.ops.object.select_all(action="DESELECT")
    item.select_set(True)
    bpy.context.view_layer.objects.active = item


@pytest.fixture
def made(addon, box):
    only(box)
    assert bpy.ops.halfbat.make_kit() == {"FINISHED"}
    return box


def parts(addon, box) -> dict[str, bpy.types.Object]:
    return addon("scene_out").part_objects(box)


def make(box) -> None:
    only(box)
    assert bpy.ops.halfbat.make_kit() == {"FINISHED"}


def test_a_deleted_building_is_told_and_can_be_brought_back(addon, made) -> None:
    part = parts(addon, made)["WB1"]
    only(made)
    bpy.ops.object.delete()
    only(part)
    with pytest.raises(RuntimeError, match="Use as Building"):
        bpy.ops.halfbat.make_kit()
    shown = drawn_panels(addon("registration"))["HALFBAT_PT_first_steps"]
    assert "Lodge was deleted" in " ".join(shown["labels"])
    assert "halfbat.bring_back_building" in shown["operators"]
    assert bpy.ops.halfbat.bring_back_building() == {"FINISHED"}
    assert bpy.context.active_object == made
    assert bpy.ops.halfbat.make_kit() == {"FINISHED"}
    with pytest.raises(RuntimeError, match="whose building was deleted"):
        bpy.ops.halfbat.bring_back_building()


def test_parts_in_other_collections_are_still_the_parts(addon, made) -> None:
    own = parts(addon, made)
    fronts = bpy.data.collections.new("Fronts")
    bpy.context.scene.collection.children.link(fronts)
    inner = bpy.data.collections.new("Inner")
    made.halfbat.collection.children.link(inner)
    for number, collection in (("WA1", fronts), ("S1", inner)):
        collection.objects.link(own[number])
        made.halfbat.collection.objects.unlink(own[number])
    made.halfbat.look = "EXPLODED"
    bpy.context.view_layer.update()
    assert own["WA1"].delta_location.length > 0
    make(made)
    assert parts(addon, made) == own
    assert list(own["WA1"].users_collection) == [fronts]
    bpy.ops.halfbat.remove_kit()
    assert "WA1" not in bpy.data.objects
    assert "Inner" in [item.name for item in bpy.context.scene.collection.children]


@pytest.mark.parametrize("objects_too", [False, True])
def test_deleting_the_collection_of_a_kit_leaves_the_building_as_it_was(addon, made, objects_too) -> None:
    own = parts(addon, made)
    material = bpy.data.materials.new("Engineering blue")
    own["WA1"].data.materials[0] = material
    if objects_too:
        for item in own.values():
            bpy.data.objects.remove(item)
    bpy.data.collections.remove(made.halfbat.collection)
    bpy.context.view_layer.update()
    addon("watching").catch_up()
    assert made.display_type == "TEXTURED"
    make(made)
    assert len([item for item in bpy.data.objects if item.name.startswith("WA1")]) == 1
    assert (parts(addon, made)["WA1"].data.materials[0] == material) is not objects_too
    assert all(item.name in bpy.context.view_layer.objects for item in parts(addon, made).values())
    bpy.ops.halfbat.remove_kit()
    assert made.display_type == "TEXTURED"


def test_cutters_cut_again_after_their_collection_was_deleted(addon, made) -> None:
    bpy.data.collections.remove(bpy.data.collections["Cutters"])
    make(made)
    assert {item.modifiers["Cutters"].collection for item in parts(addon, made).values()} == {made.halfbat.cutters}


def test_a_boolean_renamed_is_not_given_twice_and_one_applied_comes_back(addon, made) -> None:
    own = parts(addon, made)
    own["WA1"].modifiers["Cutters"].name = "Signs"
    bevel = own["WB1"].modifiers.new("Mine", "BEVEL")
    bevel.show_viewport = False
    own["WB1"].modifiers.remove(own["WB1"].modifiers["Cutters"])
    make(made)
    assert [modifier.name for modifier in own["WA1"].modifiers] == ["Signs"]
    assert [modifier.name for modifier in own["WB1"].modifiers] == ["Mine", "Cutters"]


def test_a_cutter_that_is_no_mesh_is_told(addon, made) -> None:
    bpy.ops.object.text_add(location=(2.0, 0.5, 1.0))
    made.halfbat.cutters.objects.link(bpy.context.active_object)
    make(made)
    assert any("cuts nothing" in item.text for item in made.halfbat.findings)
    bpy.ops.object.empty_add()
    lamp = bpy.context.active_object
    made.halfbat.cutters.objects.link(lamp)
    make(made)
    assert not any(lamp.name in item.text for item in made.halfbat.findings)


def test_a_full_copy_of_the_scene_has_a_building_and_a_kit_of_its_own(addon, made) -> None:
    own = parts(addon, made)
    bpy.ops.scene.new(type="FULL_COPY")
    copy = next(item for item in bpy.context.scene.objects if item.halfbat.is_building)
    assert copy != made
    make(copy)
    assert not set(parts(addon, copy).values()) & set(own.values())
    assert parts(addon, made) == own
    assert copy.halfbat.cutters != made.halfbat.cutters


def test_applying_scale_keeps_the_parts_where_they_are(addon, made) -> None:
    made.halfbat.look = "PLATES"
    bpy.context.view_layer.update()
    part = parts(addon, made)["WA1"]
    stood = np.array(part.matrix_world)
    only(made)
    bpy.ops.object.transform_apply(location=False, rotation=False, scale=True)
    bpy.context.view_layer.update()
    addon("watching").catch_up()
    made.halfbat.look = "ASSEMBLED"
    made.halfbat.look = "PLATES"
    bpy.context.view_layer.update()
    assert np.allclose(np.array(part.matrix_world), stood, atol=1e-3)


def test_scaling_a_building_does_not_scale_its_parts(addon, made) -> None:
    part = parts(addon, made)["WA1"]
    stood = np.array(part.matrix_world)
    made.scale.x *= 1.5
    bpy.context.view_layer.update()
    addon("watching").catch_up()
    bpy.context.view_layer.update()
    assert np.allclose(np.array(part.matrix_world), stood, atol=1e-3)


@pytest.mark.parametrize("place", [(5e5, 4.2e6, 120.0), (-3e4, 0.0, 0.0)])
def test_a_building_may_stand_anywhere(addon, box, place) -> None:
    make(box)
    before = {number: item.halfbat_part.made_of for number, item in parts(addon, box).items()}
    box.location = place
    bpy.context.view_layer.update()
    make(box)
    assert {number: item.halfbat_part.made_of for number, item in parts(addon, box).items()} == before


@pytest.mark.parametrize(("off", "told"), [(600.0, False), (5e5, True)])
def test_a_mesh_far_from_its_origin_is_made_or_told(addon, box, off, told) -> None:
    for vertex in box.data.vertices:
        vertex.co.x += off / 8
    box.data.update()
    bpy.context.view_layer.update()
    only(box)
    if told:
        with pytest.raises(RuntimeError, match="500 km from its object's origin"):
            bpy.ops.halfbat.make_kit()
    else:
        assert bpy.ops.halfbat.make_kit() == {"FINISHED"}
        bpy.context.view_layer.update()
        assert parts(addon, box)["WB1"].matrix_world.translation.x == pytest.approx(6.0 + off, abs=0.3)


def test_numbers_are_left_out_of_a_view_that_does_not_show_the_parts(addon, made) -> None:
    overlay = addon("overlay")
    made.halfbat.numbers = True
    space = next(area.spaces.active for area in bpy.data.screens[0].areas if area.type == "VIEW_3D")
    region = next(
        region
        for area in bpy.data.screens[0].areas
        if area.type == "VIEW_3D"
        for region in area.regions
        if region.type == "WINDOW"
    )
    for item in parts(addon, made).values():
        item.hide_set(True)
    assert list(overlay.numbers_seen(space.region_3d, region, space)) == []


def test_joining_two_parts_is_put_right_by_making_again(addon, made) -> None:
    own = parts(addon, made)
    only(own["WA1"])
    own["WC1"].select_set(True)
    bpy.ops.object.join()
    make(made)
    assert set(parts(addon, made)) == set(own) or {"WA1", "WC1"} <= set(parts(addon, made))
    assert bpy.context.view_layer.objects.active == made


@pytest.mark.parametrize("how", ["hide", "disable", "exclude"])
def test_hidden_buildings_and_kits_are_made_and_exported(addon, made, how, tmp_path) -> None:
    if how == "hide":
        made.hide_set(True)
    elif how == "disable":
        made.hide_viewport = True
    else:
        bpy.context.view_layer.layer_collection.children[made.halfbat.collection.name].exclude = True
    bpy.context.view_layer.objects.active = made
    assert bpy.ops.halfbat.make_kit() == {"FINISHED"}
    assert bpy.ops.halfbat.export_kit(directory=str(tmp_path)) == {"FINISHED"}
