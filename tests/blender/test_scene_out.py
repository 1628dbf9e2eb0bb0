import bpy
import numpy as np
import pytest


def world_box(items) -> np.ndarray:
    points = []
    for item in items:
        flat = np.empty(3 * len(item.data.vertices), dtype=np.float32)
        item.data.vertices.foreach_get("co", flat)
        matrix = np.array(item.matrix_world)
        points.append(flat.reshape(-1, 3) @ matrix[:3, :3].T + matrix[:3, 3])
    together = np.concatenate(points)
    return np.stack((together.min(axis=0), together.max(axis=0)))


def parts(building) -> dict[str, bpy.types.Object]:
    return {item.halfbat_part.number: item for item in building.halfbat.collection.objects}


def skins(building) -> list[bpy.types.Object]:
    return [item for item in parts(building).values() if item.halfbat_part.kind == "skin"]


def test_the_skins_stand_exactly_in_the_faces_of_the_building(box) -> None:
    bpy.ops.halfbat.make_kit()
    bpy.context.view_layer.update()
    low, high = world_box(skins(box))
    assert low == pytest.approx([-2.0, 0.5, 0.0], abs=1e-4)
    assert high == pytest.approx([6.0, 5.5, 3.0], abs=1e-4)


@pytest.mark.parametrize("scale", [1.0, 0.01, 0.3048])
def test_also_in_a_scene_of_other_units(box, scale) -> None:
    bpy.context.scene.unit_settings.scale_length = scale
    box.scale = [value / scale for value in (8.0, 5.0, 3.0)]
    box.location = (0.0, 0.0, 1.5 / scale)
    bpy.context.view_layer.update()
    bpy.ops.halfbat.make_kit()
    bpy.context.view_layer.update()
    low, high = world_box(skins(box))
    assert (high - low) * scale == pytest.approx([8.0, 5.0, 3.0], abs=1e-3)


def test_parts_are_in_print_millimetres_and_named_by_number(box) -> None:
    bpy.ops.halfbat.make_kit()
    for number, item in parts(box).items():
        assert item.name == number
        low = min(vertex.co.z for vertex in item.data.vertices)
        assert low == pytest.approx(0.0, abs=1e-3)
    assert box.halfbat.collection.name == "Lodge kit"
    longest = max(max(item.halfbat_part.size_mm) for item in skins(box))
    assert longest == pytest.approx(8000 / 148, abs=0.5)


def test_making_again_keeps_materials_and_modifiers_and_replaces_meshes(box) -> None:
    bpy.ops.halfbat.make_kit()
    item = parts(box)["WA1"]
    material = bpy.data.materials.new("Engineering blue")
    item.data.materials[0] = material
    item.modifiers.new("Mine", "BEVEL").show_viewport = False
    before = len(item.data.vertices)
    box.halfbat.brick.bond = "header"
    bpy.ops.halfbat.make_kit()
    again = parts(box)["WA1"]
    assert again == item
    assert again.data.materials[0] == material
    assert [modifier.name for modifier in again.modifiers] == ["Cutters", "Mine"]
    assert len(again.data.vertices) != before
    assert len([mesh for mesh in bpy.data.meshes if mesh.name.startswith("WA1")]) == 1


def test_parts_that_are_no_longer_needed_go(box) -> None:
    bpy.ops.halfbat.make_kit()
    assert "L1" in parts(box)
    box.halfbat.lid.make = False
    bpy.ops.halfbat.make_kit()
    assert "L1" not in parts(box)
    assert "L1" not in bpy.data.objects
    assert "L1" not in bpy.data.meshes


def test_removing_leaves_the_building_as_it_was(box) -> None:
    before = set(bpy.data.objects.keys()), box.display_type
    bpy.ops.halfbat.make_kit()
    assert box.display_type == "WIRE"
    bpy.ops.halfbat.remove_kit()
    assert (set(bpy.data.objects.keys()), box.display_type) == before
    assert "Lodge kit" not in bpy.data.collections
    assert box.halfbat.is_building


def test_removing_keeps_what_the_maker_put_beside_the_parts(box) -> None:
    bpy.ops.halfbat.make_kit()
    figure = bpy.data.objects.new("Figure", None)
    box.halfbat.collection.objects.link(figure)
    bpy.ops.halfbat.remove_kit()
    assert "Figure" in bpy.context.scene.collection.objects


def test_a_copied_building_gets_a_kit_of_its_own(box) -> None:
    bpy.ops.halfbat.make_kit()
    bpy.ops.object.select_all(action="DESELECT")
    box.select_set(True)
    bpy.context.view_layer.objects.active = box
    bpy.ops.object.duplicate(linked=False)
    copy = bpy.context.active_object
    copy.location.x += 20.0
    bpy.ops.halfbat.make_kit()
    assert copy.halfbat.collection != box.halfbat.collection
    assert len(parts(copy)) == len(parts(box))
    assert {item.halfbat_part.building for item in parts(copy).values()} == {copy}


def test_copies_of_a_part_do_not_take_its_place(addon, box) -> None:
    bpy.ops.halfbat.make_kit()
    original = parts(box)["WA1"]
    copy = original.copy()
    box.halfbat.collection.objects.link(copy)
    assert addon("scene_out").part_objects(box)["WA1"] == original


def test_the_whole_of_it_can_be_undone(box) -> None:
    bpy.ops.ed.undo_push(message="before")
    bpy.ops.halfbat.make_kit()
    bpy.ops.ed.undo_push(message="made")
    bpy.ops.ed.undo()
    assert "Lodge kit" not in bpy.data.collections
    assert bpy.data.objects["Lodge"].halfbat.collection is None
    assert bpy.data.objects["Lodge"].display_type == "TEXTURED"
    bpy.ops.ed.redo()
    assert "WA1" in bpy.data.collections["Lodge kit"].objects
    assert bpy.data.objects["Lodge"].halfbat.collection == bpy.data.collections["Lodge kit"]


def test_settings_that_changed_since_are_noticed(addon, box) -> None:
    changed = addon("freshness").settings_changed
    assert not changed(box)
    bpy.ops.halfbat.make_kit()
    assert not changed(box)
    box.halfbat.lid.thickness_mm = 2.0
    assert changed(box)
    box.halfbat.lid.thickness_mm = 1.6
    assert not changed(box)
    box.halfbat.kit.scale = "enormous"
    assert changed(box)


def test_findings_are_kept_with_the_building(box) -> None:
    box.halfbat.resin.usable_x_mm = 30.0
    bpy.ops.halfbat.make_kit()
    stored = [(item.severity, item.code) for item in box.halfbat.findings]
    bpy.ops.halfbat.make_kit()
    assert [(item.severity, item.code) for item in box.halfbat.findings] == stored


@pytest.mark.parametrize("look", ["ASSEMBLED", "EXPLODED", "PLATES"])
def test_a_kit_goes_with_its_building_at_once(box, look) -> None:
    bpy.ops.halfbat.make_kit()
    box.halfbat.look = look
    bpy.context.view_layer.update()
    inverse = box.matrix_world.inverted()
    before = {name: inverse @ item.matrix_world for name, item in parts(box).items()}
    box.location.x += 7.0
    box.rotation_euler.z = 0.6
    bpy.context.view_layer.update()
    for name, item in parts(box).items():
        assert np.allclose(np.array(box.matrix_world @ before[name]), np.array(item.matrix_world), atol=1e-3), name


def exported(box, folder) -> dict[str, bytes]:
    assert bpy.ops.halfbat.export_kit(directory=str(folder)) == {"FINISHED"}
    return {
        str(file.relative_to(folder)): file.read_bytes()
        for file in sorted(folder.rglob("*"))
        if file.suffix in (".stl", ".json", ".csv", ".3mf")
    }


def test_a_building_moved_and_turned_is_exported_as_it_was_without_making_it_again(box, tmp_path) -> None:
    bpy.context.scene.cursor.location = (2.0, 0.5, 1.2)
    bpy.ops.halfbat.add_opening()
    bpy.context.view_layer.objects.active = box
    bpy.ops.halfbat.make_kit()
    before = exported(box, tmp_path / "before")
    box.location = (120.0, -35.5, 4.0)
    box.rotation_euler.z = 2.1
    bpy.context.view_layer.update()
    after = exported(box, tmp_path / "after")
    assert len(before) > 8
    assert after == before
    bpy.ops.halfbat.make_kit()
    assert exported(box, tmp_path / "again") == before


def test_a_building_that_was_scaled_is_another_one(box, tmp_path) -> None:
    bpy.ops.halfbat.make_kit()
    box.scale.x *= 1.1
    with pytest.raises(RuntimeError, match="make the kit again"):
        bpy.ops.halfbat.export_kit(directory=str(tmp_path))


def test_the_parts_of_a_building_turned_and_scaled_unevenly_are_not_skewed(box) -> None:
    box.rotation_euler.z = 0.7
    bpy.ops.halfbat.make_kit()
    bpy.context.view_layer.update()
    low, high = world_box(skins(box))
    corners = [box.matrix_world @ vertex.co for vertex in box.data.vertices]
    assert low == pytest.approx(np.min(corners, axis=0), abs=2e-3)
    assert high == pytest.approx(np.max(corners, axis=0), abs=2e-3)
    for item in parts(box).values():
        axes = np.array(item.matrix_world.to_3x3())
        assert np.allclose(axes.T @ axes, np.eye(3) * item.scale[0] ** 2, atol=1e-7)
