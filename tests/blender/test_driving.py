"""Parts follow the sliders of their building by drivers that need no Python, and that are the maker's to change."""

import os
import subprocess
import sys
from pathlib import Path

import bpy
import numpy as np
import pytest
from mathutils import Matrix

HERE = Path(__file__).parent
EXPLODE, ON_PLATES = "halfbat_explode", "halfbat_on_plates"


@pytest.fixture
def kit(box):
    bpy.ops.halfbat.make_kit()
    bpy.context.view_layer.update()
    return box


def part(building, number="L1"):
    return building.halfbat.collection.objects[number]


def slide(building, share, slider=EXPLODE):
    building[slider] = share
    building.update_tag()
    bpy.context.view_layer.update()


def height(item) -> float:
    bpy.context.view_layer.update()
    return item.matrix_world.translation.z


def drivers(item):
    return {(curve.data_path, curve.array_index): curve.driver for curve in item.animation_data.drivers}


def exported(folder) -> dict[str, bytes]:
    assert bpy.ops.halfbat.export_kit(directory=str(folder)) == {"FINISHED"}
    return {path.name: path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_no_driver_needs_python(kit) -> None:
    for item in kit.halfbat.collection.objects:
        known = drivers(item)
        assert len(known) == 6
        assert all(driver.is_simple_expression and driver.is_valid for driver in known.values())


def test_the_slider_may_be_animated(kit) -> None:
    low = height(part(kit))
    for frame, share in ((1, 0.0), (11, 1.0)):
        kit[EXPLODE] = share
        kit.keyframe_insert(f'["{EXPLODE}"]', frame=frame)
    seen = []
    for frame in (1, 6, 11):
        bpy.context.scene.frame_set(frame)
        seen.append(height(part(kit)) - low)
    assert seen[0] == pytest.approx(0.0, abs=1e-5) and seen[1] == pytest.approx(seen[2] / 2, rel=0.01) and seen[2] > 1.0
    assert kit.halfbat.look == "EXPLODED"


def test_from_the_plates_to_the_building_in_between(kit) -> None:
    there = np.array(part(kit, "WA1").matrix_world.translation)
    slide(kit, 1.0, ON_PLATES)
    lying = np.array(part(kit, "WA1").matrix_world.translation)
    slide(kit, 0.5, ON_PLATES)
    assert np.array(part(kit, "WA1").matrix_world.translation) == pytest.approx((there + lying) / 2, abs=1e-4)
    assert kit.halfbat.look == "PLATES"


@pytest.mark.parametrize("again", ["make_kit", "live"])
def test_what_the_maker_changed_is_kept_when_the_kit_is_made_again(addon, kit, again) -> None:
    lid, front = part(kit), part(kit, "WA1")
    lid["halfbat_apart"][2] = 7.5
    lid.update_tag()
    drivers(front)["delta_location", 1].expression = "-2 * explode"
    front.driver_remove("delta_location", 0)
    slide(kit, 1.0)
    rest = kit.dimensions.z
    before = {name: np.array(part(kit, name).matrix_world) for name in ("L1", "WA1", "WB1")}
    if again == "make_kit":
        bpy.ops.halfbat.make_kit()
    else:
        making = addon("making")
        order = making.take_order(kit, bpy.context)
        making.show(kit, bpy.context, order, order.make(), only_changed=True)
    bpy.context.view_layer.update()
    for name, matrix in before.items():
        assert np.array(part(kit, name).matrix_world) == pytest.approx(matrix, abs=1e-4)
    assert part(kit)["halfbat_apart"][2] == 7.5
    assert drivers(part(kit, "WA1"))["delta_location", 1].expression == "-2 * explode"
    assert ("delta_location", 0) not in drivers(part(kit, "WA1"))
    assert part(kit, "WA1").delta_location.y == pytest.approx(-2.0)
    assert rest == kit.dimensions.z


def test_what_nobody_changed_follows_the_building(kit) -> None:
    slide(kit, 1.0)
    before = part(kit, "WB1")["halfbat_apart"][0]
    kit.scale.x *= 2.0
    bpy.context.view_layer.update()
    bpy.ops.halfbat.make_kit()
    bpy.context.view_layer.update()
    assert part(kit, "WB1")["halfbat_apart"][0] > 1.2 * before
    assert part(kit, "WB1").delta_location.x == pytest.approx(part(kit, "WB1")["halfbat_apart"][0])


def test_apart_and_on_plates_parts_go_with_the_building(kit) -> None:
    for slider in (EXPLODE, ON_PLATES):
        kit.matrix_world = Matrix.Identity(4) @ Matrix.Diagonal((8.0, 5.0, 3.0, 1.0))
        slide(kit, 1.0, slider)
        before = np.array(part(kit, "WC1").matrix_world)
        move = Matrix.Translation((5.0, -2.0, 0.0)) @ Matrix.Rotation(np.pi / 2, 4, "Z")
        kit.matrix_world = move @ kit.matrix_world
        bpy.context.view_layer.update()
        assert np.array(part(kit, "WC1").matrix_world) == pytest.approx(np.array(move) @ before, abs=1e-4)
        slide(kit, 0.0, slider)


@pytest.mark.parametrize("how", ["animated", "own driver", "own keyframes"])
def test_exports_do_not_follow_the_drivers(kit, tmp_path, how) -> None:
    bpy.ops.mesh.primitive_cube_add(size=0.5, location=(2.0, 0.5, 1.0))
    cutter = bpy.context.active_object
    for collection in list(cutter.users_collection):
        collection.objects.unlink(cutter)
    kit.halfbat.cutters.objects.link(cutter)
    bpy.context.view_layer.objects.active = kit
    bpy.context.view_layer.update()
    plain = exported(tmp_path / "plain")
    if how == "animated":
        kit[EXPLODE] = 1.0
        kit.keyframe_insert(f'["{EXPLODE}"]', frame=1)
    elif how == "own driver":
        drivers(part(kit, "WA1"))["delta_location", 1].expression = "3 + explode"
    else:
        part(kit, "WA1").driver_remove("delta_location", 1)
        part(kit, "WA1").delta_location.y = -4.0
        part(kit, "WA1").keyframe_insert("delta_location", index=1, frame=1)
    bpy.context.scene.frame_set(1)
    seen = np.array(part(kit, "WA1").matrix_world)
    assert abs(seen[1, 3] - part(kit, "WA1").location.y) > 0.5
    assert exported(tmp_path / "apart") == plain
    bpy.context.scene.frame_set(1)
    assert np.array(part(kit, "WA1").matrix_world) == pytest.approx(seen, abs=1e-5)
    assert not any(curve.mute for curve in part(kit, "WA1").animation_data.drivers)


def test_undo_takes_the_look_back(kit) -> None:
    bpy.ops.ed.undo_push(message="made")
    low = height(part(kit))
    kit.halfbat.look = "EXPLODED"
    bpy.context.view_layer.update()
    bpy.ops.ed.undo_push(message="apart")
    assert height(bpy.data.objects["L1"]) > low + 1.0
    bpy.ops.ed.undo()
    assert height(bpy.data.objects["L1"]) == pytest.approx(low, abs=1e-5)
    bpy.ops.ed.redo()
    assert height(bpy.data.objects["L1"]) > low + 1.0
    assert bpy.data.objects["Lodge"].halfbat.look == "EXPLODED"


@pytest.mark.parametrize("how", ["reopened", "appended", "linked", "overridden", "copied"])
def test_the_slider_works_wherever_the_building_goes(kit, tmp_path, how) -> None:
    path = tmp_path / "yard.blend"
    yard = bpy.data.collections.new("Yard")
    bpy.context.scene.collection.children.link(yard)
    yard.objects.link(kit)
    yard.children.link(kit.halfbat.collection)
    bpy.ops.wm.save_as_mainfile(filepath=str(path))
    if how == "copied":
        for item in [kit, *kit.halfbat.collection.objects]:
            item.select_set(True)
        bpy.ops.object.duplicate()
        building = next(item for item in bpy.context.selected_objects if item.halfbat.is_building)
        lid = next(item for item in bpy.context.selected_objects if item.halfbat_part.number == "L1")
        assert lid.name != "L1"
    elif how == "reopened":
        bpy.ops.wm.open_mainfile(filepath=str(path))
        building, lid = bpy.data.objects["Lodge"], bpy.data.objects["L1"]
    else:
        bpy.ops.wm.read_homefile(use_empty=True)
        with bpy.data.libraries.load(str(path), link=how != "appended") as (_, wanted):
            wanted.collections = ["Yard"]
        yard = wanted.collections[0]
        bpy.context.scene.collection.children.link(yard)
        if how == "overridden":
            yard = yard.override_hierarchy_create(bpy.context.scene, bpy.context.view_layer)
        building = next(item for item in yard.all_objects if item.halfbat.is_building)
        lid = next(item for item in yard.all_objects if item.halfbat_part.number == "L1")
    low = height(lid)
    if how == "linked":
        assert lid.animation_data.drivers[0].driver.is_valid  # follows its own file's slider, which is fixed here
        return
    slide(building, 1.0)
    assert height(lid) > low + 1.0


def test_without_the_extension_and_with_scripts_forbidden_the_slider_works(kit, tmp_path) -> None:
    path = tmp_path / "friend.blend"
    bpy.ops.wm.save_as_mainfile(filepath=str(path))
    environment = {**os.environ, "BLENDER_USER_RESOURCES": str(tmp_path / "nobody")}
    command = [sys.executable, str(HERE / "slider_without_extension.py"), str(path)]
    done = subprocess.run(command, check=False, capture_output=True, text=True, env=environment, timeout=240)
    assert "moved" in done.stdout, done.stdout + done.stderr
    bpy.ops.wm.open_mainfile(filepath=str(path))
    assert bpy.data.objects["Lodge"].halfbat.look == "EXPLODED"
    assert bpy.data.objects["L1"].delta_location.z > 1.0


def test_a_file_of_version_2_gets_its_drivers_and_looks_as_it_was_left(addon) -> None:
    bpy.ops.wm.open_mainfile(filepath=str(HERE / "data" / "version_2.blend"))
    lodge, lid = bpy.data.objects["Lodge"], bpy.data.objects["L1"]
    assert lodge.halfbat.settings_version == addon("properties").SETTINGS_VERSION
    assert lodge.halfbat.look == "EXPLODED" and lodge[EXPLODE] == pytest.approx(0.5)
    bpy.context.view_layer.update()
    assert lid.delta_location.z == pytest.approx(1.3192768, abs=1e-4)
    assert len(drivers(lid)) == 6
    slide(lodge, 1.0)
    assert lid.delta_location.z == pytest.approx(2 * 1.3192768, abs=1e-4)
    bpy.context.view_layer.objects.active = lodge
    bpy.ops.halfbat.make_kit()
    slide(lodge, 0.0)
    assert lid.delta_location.z == pytest.approx(0.0, abs=1e-6)
