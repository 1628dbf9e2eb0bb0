import json
from pathlib import Path

import bpy
import pytest

from halfbat.cli import main
from halfbat.kitfile import KitFile, write_kit_file


def files(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_exports_the_same_bytes_as_the_command_line(addon, plain_box, tmp_path) -> None:
    plain_box.rotation_euler.z = 0.3
    plain_box.halfbat.brick.bond = "flemish"
    bpy.context.view_layer.update()
    bpy.context.scene.cursor.location = (2.0, 0.0, 1.0)
    bpy.ops.halfbat.add_seam()
    bpy.context.scene.cursor.location = (2.0, 6.0, 1.0)
    bpy.ops.halfbat.add_opening(usual="Round-headed window")
    bpy.ops.halfbat.make_kit()
    bpy.ops.halfbat.export_kit(directory=str(tmp_path))
    mesh = addon("mesh_in").building_mesh(plain_box, bpy.context.evaluated_depsgraph_get(), bpy.context.scene)
    lines = [f"v {x!r} {y!r} {z!r}" for x, y, z in mesh.vertices.tolist()]
    lines += ["f " + " ".join(str(corner + 1) for corner in face) for face in mesh.faces]
    (tmp_path / "lodge.obj").write_text("\n".join(lines) + "\n", encoding="utf-8")
    settings = addon("settings_io").read_settings(plain_box)
    kit_file = tmp_path / "lodge.toml"
    kit_file.write_text(write_kit_file(KitFile(settings, mesh=Path("lodge.obj"))), encoding="utf-8")
    assert main(["make", str(kit_file), "--to", str(tmp_path / "core"), "--quiet"]) == 0
    assert files(tmp_path / "Lodge") == files(tmp_path / "core")


def test_exports_again_over_its_own_folder(box, tmp_path) -> None:
    bpy.ops.halfbat.make_kit()
    bpy.ops.halfbat.export_kit(directory=str(tmp_path))
    first = files(tmp_path / "Lodge")
    bpy.ops.halfbat.export_kit(directory=str(tmp_path))
    bpy.ops.halfbat.export_kit(directory=str(tmp_path / "Lodge"))
    assert files(tmp_path / "Lodge") == first
    assert [path.name for path in tmp_path.iterdir()] == ["Lodge"]


def test_refuses_to_export_what_is_out_of_date(box, tmp_path) -> None:
    bpy.ops.halfbat.make_kit()
    box.halfbat.brick.bond = "english"
    with pytest.raises(RuntimeError, match="make the kit again"):
        bpy.ops.halfbat.export_kit(directory=str(tmp_path))
    box.halfbat.brick.bond = "stretcher"
    box.scale.x = 9.0
    bpy.context.view_layer.update()
    with pytest.raises(RuntimeError, match="make the kit again"):
        bpy.ops.halfbat.export_kit(directory=str(tmp_path))
    assert not list(tmp_path.iterdir())


def test_refuses_to_export_without_a_part(box, tmp_path) -> None:
    bpy.ops.halfbat.make_kit()
    bpy.data.objects.remove(bpy.data.objects["WB1"])
    with pytest.raises(RuntimeError, match="no longer in the scene"):
        bpy.ops.halfbat.export_kit(directory=str(tmp_path))


def test_refuses_to_write_over_what_is_not_a_kit(box, tmp_path) -> None:
    bpy.ops.halfbat.make_kit()
    (tmp_path / "Lodge").mkdir()
    (tmp_path / "Lodge" / "diary.txt").write_text("dear", encoding="utf-8")
    with pytest.raises(RuntimeError, match="not a kit"):
        bpy.ops.halfbat.export_kit(directory=str(tmp_path))
    with pytest.raises(RuntimeError, match="No folder was chosen"):
        bpy.ops.halfbat.export_kit()


def test_a_refusal_is_one_sentence_and_changes_nothing(box) -> None:
    bpy.ops.mesh.primitive_plane_add()
    bpy.ops.halfbat.use_as_building()
    with pytest.raises(RuntimeError) as refused:
        bpy.ops.halfbat.make_kit()
    assert "Traceback" not in str(refused.value)
    assert str(refused.value).strip().count("\n") == 0
    assert bpy.context.active_object.halfbat.collection is None
    assert "Cutters" not in bpy.data.collections


def test_a_kit_that_could_be_made_before_stays_when_it_no_longer_can(box) -> None:
    bpy.ops.halfbat.make_kit()
    box.halfbat.kit.scale = "enormous"
    with pytest.raises(RuntimeError, match="enormous"):
        bpy.ops.halfbat.make_kit()
    assert "WA1" in box.halfbat.collection.objects


def test_what_cannot_be_used_says_why(addon) -> None:
    cases = [
        (bpy.ops.halfbat.use_as_building, "Select a mesh object"),
        (bpy.ops.halfbat.make_kit, "Use as Building"),
        (bpy.ops.halfbat.add_seam, "Use as Building"),
        (bpy.ops.halfbat.export_kit, "Use as Building"),
    ]
    for operator, reason in cases:
        assert not operator.poll()
        with pytest.raises(RuntimeError, match=reason):
            operator()


def test_what_needs_a_kit_or_a_seam_says_so(box) -> None:
    for operator in (bpy.ops.halfbat.export_kit, bpy.ops.halfbat.remove_kit, bpy.ops.halfbat.select_part):
        with pytest.raises(RuntimeError, match="Make the kit first"):
            operator()
    with pytest.raises(RuntimeError, match="Select an opening or a seam"):
        bpy.ops.halfbat.remove_placed()
    with pytest.raises(RuntimeError, match="building already"):
        bpy.ops.halfbat.use_as_building()
    bpy.ops.object.mode_set(mode="EDIT")
    with pytest.raises(RuntimeError, match="Object Mode"):
        bpy.ops.halfbat.make_kit()
    bpy.ops.object.mode_set(mode="OBJECT")


def test_a_part_can_be_selected_and_its_building_is_still_the_one_worked_on(box) -> None:
    bpy.ops.halfbat.make_kit()
    bpy.ops.halfbat.select_part(number="WB1")
    assert bpy.context.active_object.name == "WB1"
    assert bpy.context.selected_objects == [bpy.data.objects["WB1"]]
    assert box.halfbat.collection.objects[box.halfbat.part_index].name == "WB1"
    assert bpy.ops.halfbat.make_kit() == {"FINISHED"}
    assert not bpy.ops.halfbat.use_as_building.poll()
    with pytest.raises(RuntimeError, match="no part X9"):
        bpy.ops.halfbat.select_part(number="X9")


def test_kit_names_from_object_names_can_be_folders(addon) -> None:
    bpy.ops.mesh.primitive_cube_add(size=4.0)
    bpy.context.active_object.name = "Yard/House: 2."
    bpy.ops.halfbat.use_as_building()
    assert bpy.context.active_object.halfbat.kit.kit_name == "Yard-House- 2"


def test_a_building_can_be_forgotten_and_taken_up_again(box) -> None:
    box.halfbat.brick.bond = "monk"
    bpy.ops.halfbat.forget_building()
    assert not bpy.ops.halfbat.make_kit.poll()
    bpy.ops.halfbat.use_as_building()
    assert box.halfbat.brick.bond == "monk"
    bpy.ops.halfbat.make_kit()
    with pytest.raises(RuntimeError, match="Remove its kit first"):
        bpy.ops.halfbat.forget_building()


def test_the_thread_gives_the_same_kit_and_can_be_stopped(addon, box) -> None:
    making = addon("making")
    order = making.take_order(box, bpy.context)
    job = making.KitJob(order)
    job.start()
    assert [part.number for part in job.result().parts] == [part.number for part in order.make().parts]
    stopped = making.KitJob(order)
    stopped.stop()
    assert stopped.stopping
    stopped.start()
    with pytest.raises(making.Cancelled):
        stopped.result()


def test_a_refusal_in_the_thread_comes_out_of_it(addon, box) -> None:
    from halfbat.errors import KitError

    making = addon("making")
    box.scale.z = 0.01
    bpy.context.view_layer.update()
    job = making.KitJob(making.take_order(box, bpy.context))
    job.start()
    with pytest.raises(KitError):
        job.result()


def test_the_manifest_names_the_kit(box, tmp_path) -> None:
    box.halfbat.kit.kit_name = "Gate lodge"
    bpy.ops.halfbat.make_kit()
    bpy.ops.halfbat.export_kit(directory=str(tmp_path))
    assert json.loads((tmp_path / "Gate lodge" / "kit.json").read_text(encoding="utf-8"))["name"] == "Gate lodge"
