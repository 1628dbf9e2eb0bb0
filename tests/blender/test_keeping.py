import os
import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import bpy
import pytest
from random_settings import random_settings

from halfbat.printing.processes import preset_process
from halfbat.settings import (
    BrickSettings,
    KitSettings,
    OrientationSettings,
    RoofSettings,
    SeamRequest,
    SeamSettings,
    Settings,
    group_classes,
    settings_of,
)

HERE = Path(__file__).parent
VERSION_1 = HERE / "data" / "version_1.blend"
"""Saved by the extension as it was when its settings had version 1, in Blender 4.2.0."""
IN_VERSION_1 = Settings(
    kit=KitSettings(name="Lodge", scale="OO"),
    brick=BrickSettings(
        format="custom",
        custom_length_mm=440.0,
        custom_width_mm=215.0,
        custom_height_mm=215.0,
        custom_gauge_mm=225.0,
        bond="english_garden_wall",
        top_course="cut course",
    ),
    roof=RoofSettings(covering="felt", slate_size="us 12 x 8", ridge="none"),
    seam=SeamSettings(hide="movement joint", cover_made_as="wire"),
    orientation=OrientationSettings(lid="on short edge"),
    resin=replace(preset_process("resin 0.035 mm"), min_wall_mm=0.9),
    seams=(SeamRequest("A", "3 m", "toothed"), SeamRequest("C", "2 m")),
)


def assert_brought_over(addon, item) -> None:
    assert addon("settings_io").read_settings(item) == IN_VERSION_1
    assert item.halfbat.settings_version == addon("properties").SETTINGS_VERSION
    for group, group_class in group_classes(Settings).items():
        for record in settings_of(group_class):
            name = addon("setting_properties").property_name(record)
            assert getattr(item.halfbat, group).is_property_set(name), f"{group}.{name}"


def take_in(path: Path, *, link: bool) -> bpy.types.Object:
    bpy.ops.wm.link(directory=f"{path}/Object/", filename="Lodge") if link else bpy.ops.wm.append(
        directory=f"{path}/Object/", filename="Lodge"
    )
    bpy.context.view_layer.update()
    found = next(item for item in bpy.data.objects if item.name == "Lodge" and bool(item.library) == link)
    bpy.context.view_layer.objects.active = found
    return found


def test_a_file_of_version_1_opens_with_what_was_set_in_it(addon) -> None:
    bpy.ops.wm.open_mainfile(filepath=str(VERSION_1))
    assert_brought_over(addon, bpy.data.objects["Lodge"])


@pytest.mark.parametrize("link", [False, True], ids=["appended", "linked"])
def test_a_building_of_version_1_is_brought_over_when_it_comes_in(addon, link, tmp_path) -> None:
    path = tmp_path / "old.blend"
    shutil.copy(VERSION_1, path)
    assert_brought_over(addon, take_in(path, link=link))


def test_every_older_version_has_its_step_and_steps_are_taken_in_turn(addon, plain_box) -> None:
    migration = addon("migration")
    assert sorted(migration.STEPS) == list(range(1, addon("properties").SETTINGS_VERSION))
    plain_box.halfbat.settings_version = 5
    taken: list[int] = []
    steps = {5: lambda _item: taken.append(5), 6: lambda _item: taken.append(6)}
    assert migration.migrate(plain_box, steps, 7)
    assert (taken, plain_box.halfbat.settings_version) == ([5, 6], 7)
    assert not migration.migrate(plain_box, steps, 7)


def test_choices_are_stored_under_numbers_of_their_own(addon) -> None:
    for group, group_class in group_classes(Settings).items():
        properties = addon("properties").GROUP_TYPES[group].bl_rna.properties
        for record in settings_of(group_class):
            if record.kind == "choice":
                numbers = [item.value for item in properties[record.key].enum_items]
                assert numbers == [addon("setting_properties").stored_number(key) for key in record.choices]
                assert len(set(numbers)) == len(numbers)


def test_what_a_newer_version_kept_is_left_alone(addon, plain_box) -> None:
    plain_box.halfbat.settings_version = 99
    assert not addon("migration").migrate(plain_box)
    with pytest.raises(RuntimeError, match="Update Halfbat"):
        bpy.ops.halfbat.make_kit()
    assert plain_box.halfbat.settings_version == 99


def test_a_linked_building_is_read_only_and_says_so(addon, box, tmp_path) -> None:
    path = tmp_path / "yard.blend"
    bpy.ops.wm.save_as_mainfile(filepath=str(path))
    bpy.ops.wm.read_homefile(use_empty=True)
    linked = take_in(path, link=True)
    assert linked.halfbat.brick.custom_gauge_mm == 225.0
    for operator in ("make_kit", "add_seam", "add_feature", "read_walls", "load_preset", "forget_building"):
        with pytest.raises(RuntimeError, match="linked from another file"):
            getattr(bpy.ops.halfbat, operator)()
    assert bpy.ops.halfbat.save_kit_file(filepath=str(tmp_path / "yard")) == {"FINISHED"}
    assert bpy.ops.halfbat.export_coupon(directory=str(tmp_path)) == {"FINISHED"}


def test_an_appended_building_comes_with_its_kit_and_can_be_made_again(addon, box, tmp_path) -> None:
    bpy.ops.halfbat.make_kit()
    path = tmp_path / "yard.blend"
    bpy.ops.wm.save_as_mainfile(filepath=str(path))
    bpy.ops.wm.read_homefile(use_empty=True)
    appended = take_in(path, link=False)
    settings = addon("settings_io").read_settings(appended)
    assert settings.brick.custom_gauge_mm == 225.0
    assert bpy.ops.halfbat.make_kit() == {"FINISHED"}
    shown = addon("scene_out").part_objects(appended)
    assert {"S1", "L1", "WA1"} <= set(shown)
    assert all(item.name in bpy.context.view_layer.objects for item in shown.values())
    assert bpy.ops.halfbat.export_kit(directory=str(tmp_path)) == {"FINISHED"}


def test_windows_cutters_and_materials_come_along_when_a_building_is_appended(addon, box, tmp_path) -> None:
    bpy.context.scene.cursor.location = (2.0, 0.5, 1.2)
    bpy.ops.halfbat.add_opening()
    bpy.context.view_layer.objects.active = box
    bpy.ops.halfbat.make_kit()
    bpy.ops.mesh.primitive_cube_add(size=1.0, location=(6.0, 3.0, 1.0))
    bpy.data.collections["Cutters"].objects.link(bpy.context.active_object)
    blue = bpy.data.materials.new("Engineering blue")
    addon("scene_out").part_objects(box)["WB1"].data.materials[0] = blue
    path = tmp_path / "yard.blend"
    bpy.ops.wm.save_as_mainfile(filepath=str(path))
    settings = addon("settings_io").read_settings(box)
    bpy.context.view_layer.objects.active = box
    bpy.ops.halfbat.export_kit(directory=str(tmp_path / "there"))
    bpy.ops.wm.read_homefile(use_empty=True)
    appended = take_in(path, link=False)
    addon("watching").catch_up()
    bpy.context.view_layer.objects.active = appended
    assert addon("settings_io").read_settings(appended) == settings
    (window,) = addon("placed").placed_on(appended)
    assert window.name in bpy.context.view_layer.objects
    assert bpy.ops.halfbat.make_kit() == {"FINISHED"}
    assert len(appended.halfbat.cutters.objects) == 1
    assert all(item.name in bpy.context.view_layer.objects for item in appended.halfbat.cutters.objects)
    assert addon("scene_out").part_objects(appended)["WB1"].data.materials[0].name == "Engineering blue"
    bpy.ops.halfbat.export_kit(directory=str(tmp_path / "here"))
    there, here = (
        {file.name: file.read_bytes() for file in (tmp_path / folder).rglob("*.stl")} for folder in ("there", "here")
    )
    assert there == here and len(there) > 5


@pytest.mark.parametrize("linked", [False, True], ids=["Shift D", "Alt D"])
def test_a_copy_has_settings_windows_and_a_kit_of_its_own(addon, box, linked) -> None:
    bpy.context.scene.cursor.location = (2.0, 0.5, 1.2)
    bpy.ops.halfbat.add_opening()
    bpy.ops.object.select_all(action="DESELECT")
    box.select_set(True)
    bpy.context.view_layer.objects.active = box
    bpy.ops.halfbat.make_kit()
    bpy.ops.object.duplicate(linked=linked)
    copy = bpy.context.active_object
    copy.location.x += 20.0
    bpy.context.view_layer.update()
    addon("watching").catch_up()
    copy.halfbat.brick.bond = "english"
    (window,) = addon("placed").placed_on(copy)
    window.halfbat_placed.openings.width = "1.4 m"
    bpy.context.view_layer.update()
    addon("watching").catch_up()
    bpy.ops.halfbat.make_kit()
    read = addon("settings_io").read_settings
    assert (read(box).brick.bond, read(copy).brick.bond) == ("stretcher", "english")
    assert read(box).openings[0].width != read(copy).openings[0].width == "1.4 m"
    shown = addon("scene_out").part_objects
    assert not set(shown(box).values()) & set(shown(copy).values())


def test_a_copied_building_keeps_its_settings_and_makes_a_kit_of_its_own(addon, box) -> None:
    bpy.ops.halfbat.make_kit()
    first = set(addon("scene_out").part_objects(box).values())
    for item in bpy.context.selected_objects:
        item.select_set(False)
    box.select_set(True)
    bpy.context.view_layer.objects.active = box
    bpy.ops.object.duplicate()
    copy = bpy.context.active_object
    assert copy is not box
    assert addon("settings_io").read_settings(copy) == addon("settings_io").read_settings(box)
    assert addon("scene_out").kit_collection(copy) is None
    copy.location.x += 20.0
    copy.halfbat.brick.bond = "english"
    bpy.context.view_layer.update()
    bpy.ops.halfbat.make_kit()
    second = set(addon("scene_out").part_objects(copy).values())
    assert first == set(addon("scene_out").part_objects(box).values())
    assert not first & second
    assert box.halfbat.brick.bond == "stretcher"


def test_a_friend_without_the_extension_loses_nothing(addon, box, tmp_path) -> None:
    settings = random_settings(11)
    shed = box.copy()
    shed.name = "Shed"
    bpy.context.scene.collection.objects.link(shed)
    addon("settings_io").write_settings(shed, settings)
    bpy.ops.halfbat.make_kit()
    lodge = addon("settings_io").read_settings(box)
    walls = [(wall.name, wall.length_m) for wall in box.halfbat.walls]
    numbers = set(addon("scene_out").part_objects(box))
    path = tmp_path / "lent.blend"
    bpy.ops.wm.save_as_mainfile(filepath=str(path))
    script = HERE / "without_extension.py"
    bare = os.environ | {"BLENDER_USER_RESOURCES": str(tmp_path / "bare")}
    subprocess.run([sys.executable, str(script), str(path)], check=True, env=bare, timeout=300, capture_output=True)
    bpy.ops.wm.open_mainfile(filepath=str(path))
    box = bpy.data.objects["Lodge"]
    assert box.location.x == 3.0
    assert addon("settings_io").read_settings(box) == lodge
    assert addon("settings_io").read_settings(bpy.data.objects["Shed"]) == settings
    assert [(wall.name, wall.length_m) for wall in box.halfbat.walls] == walls
    assert set(addon("scene_out").part_objects(box)) == numbers
    assert box.halfbat.collection.halfbat_kit.building == box
