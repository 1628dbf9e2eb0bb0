"""Buildings linked from another file and overridden here."""

from pathlib import Path

import bpy
import pytest

from halfbat.settings import FeatureRequest, FinishRequest


@pytest.fixture
def yard(addon, box, tmp_path) -> Path:
    """A file with a building that has two finishes, a window, a cutter and a kit."""
    settings_io = addon("settings_io")
    settings_io.write_requests(box, "finishes", (FinishRequest("A", "render"), FinishRequest("B", "ashlar")))
    bpy.context.scene.cursor.location = (2.0, 0.5, 1.2)
    assert bpy.ops.halfbat.add_opening() == {"FINISHED"}
    bpy.context.view_layer.objects.active = box
    assert bpy.ops.halfbat.make_kit() == {"FINISHED"}
    bpy.ops.mesh.primitive_cube_add(size=1.0, location=(6.0, 3.0, 1.0))
    cutter = bpy.context.active_object
    bpy.data.collections["Cutters"].objects.link(cutter)
    path = tmp_path / "yard.blend"
    bpy.ops.wm.save_as_mainfile(filepath=str(path))
    bpy.ops.wm.read_homefile(use_empty=True)
    return path


def link(path: Path) -> bpy.types.Object:
    bpy.ops.wm.link(directory=f"{path}/Object/", filename="Lodge")
    bpy.context.view_layer.update()
    return next(item for item in bpy.data.objects if item.name == "Lodge" and item.library)


def override(path: Path, *, whole: bool = False) -> bpy.types.Object:
    linked = link(path)
    if whole:
        made = linked.override_hierarchy_create(bpy.context.scene, bpy.context.view_layer, do_fully_editable=True)
    else:
        made = linked.override_create(remap_local_usages=True)
    bpy.context.view_layer.objects.active = made
    bpy.context.view_layer.update()
    return made


def reopened(path: Path) -> bpy.types.Object:
    bpy.ops.wm.save_as_mainfile(filepath=str(path))
    bpy.ops.wm.open_mainfile(filepath=str(path))
    own = next(item for item in bpy.data.objects if item.name == "Lodge" and item.library is None)
    assert own.override_library is not None
    bpy.context.view_layer.objects.active = own
    return own


def kinds(addon, item) -> list[tuple[str, str]]:
    return [(finish.wall, finish.kind) for finish in addon("settings_io").read_settings(item).finishes]


def test_a_linked_building_says_how_to_get_on(yard) -> None:
    bpy.context.view_layer.objects.active = link(yard)
    with pytest.raises(RuntimeError, match="library override of it"):
        bpy.ops.halfbat.make_kit()


def test_what_is_set_on_an_override_is_there_when_the_file_is_opened_again(addon, yard, tmp_path) -> None:
    own = override(yard)
    own.halfbat.brick.bond = "english"
    own.halfbat.finishes[0].kind = "weatherboard"
    for kind in ("render", "ashlar", "concrete block"):
        bpy.ops.halfbat.add_finish(kind=kind)
    bpy.ops.halfbat.add_feature(kind="plinth")
    wanted = kinds(addon, own)
    assert len(wanted) == 5
    again = reopened(tmp_path / "mine.blend")
    assert kinds(addon, again) == wanted
    assert again.halfbat.brick.bond == "english"
    assert addon("settings_io").read_settings(again).features == (FeatureRequest("A", "plinth"),)
    linked = again.override_library.reference
    assert kinds(addon, linked) == [("A", "render"), ("B", "ashlar")]
    assert linked.halfbat.brick.bond == "stretcher"


def test_entries_of_the_other_file_can_be_removed_and_moved(addon, yard, tmp_path) -> None:
    own = override(yard)
    bpy.ops.halfbat.add_finish(kind="render")
    own.halfbat.finishes_index = 2
    bpy.ops.halfbat.move_finish(direction="UP")
    assert kinds(addon, own) == [("A", "render"), ("A", "render"), ("B", "ashlar")]
    own.halfbat.finishes_index = 0
    for left in (2, 1, 0):
        bpy.ops.halfbat.remove_finish()
        assert len(kinds(addon, own)) == left
    with pytest.raises(RuntimeError, match="no finish yet"):
        bpy.ops.halfbat.remove_finish()
    again = reopened(tmp_path / "mine.blend")
    assert kinds(addon, again) == []
    bpy.ops.halfbat.add_finish(kind="ashlar")
    assert kinds(addon, again) == [("A", "ashlar")]
    assert again.halfbat.finishes[0].bottom == "0"


def test_lists_nobody_touched_follow_the_other_file(addon, yard, tmp_path) -> None:
    own = override(yard)
    bpy.ops.halfbat.add_feature(kind="plinth")
    mine = tmp_path / "mine.blend"
    reopened(mine)
    bpy.ops.wm.open_mainfile(filepath=str(yard))
    addon("settings_io").write_requests(bpy.data.objects["Lodge"], "finishes", (FinishRequest("C", "render"),))
    bpy.ops.wm.save_mainfile()
    bpy.ops.wm.open_mainfile(filepath=str(mine))
    own = next(item for item in bpy.data.objects if item.name == "Lodge" and item.library is None)
    assert kinds(addon, own) == [("C", "render")]
    assert len(own.halfbat.features) == 1


@pytest.mark.parametrize("whole", [False, True], ids=["alone", "with children"])
def test_a_kit_is_made_of_an_override_and_exported(addon, yard, tmp_path, whole) -> None:
    own = override(yard, whole=whole)
    addon("watching").catch_up()
    assert len(addon("settings_io").read_settings(own).openings) == 1
    assert bpy.ops.halfbat.make_kit() == {"FINISHED"}
    shown = addon("scene_out").part_objects(own)
    assert {"S1", "L1", "WA1", "JA1"} <= set(shown)
    assert all(item.library is None and item.override_library is None for item in shown.values())
    assert own.halfbat.cutters.library is None
    assert len(own.halfbat.cutters.all_objects) == 1
    assert bpy.ops.halfbat.export_kit(directory=str(tmp_path)) == {"FINISHED"}
    again = reopened(tmp_path / "mine.blend")
    assert set(addon("scene_out").part_objects(again)) == set(shown)
    assert [(wall.name, round(wall.length_m, 3)) for wall in addon("rows").kept(again.halfbat.walls)] == [
        ("A", 8.0), ("B", 5.0), ("C", 8.0), ("D", 5.0)
    ]  # fmt: skip
    assert bpy.ops.halfbat.export_kit(directory=str(tmp_path / "again")) == {"FINISHED"}


def test_a_window_of_an_overridden_building_is_changed_and_removed(addon, yard, tmp_path) -> None:
    own = override(yard, whole=True)
    addon("watching").catch_up()
    (item,) = addon("placed").placed_on(own)
    item.halfbat_placed.openings.width = "1.4 m"
    bpy.context.view_layer.update()
    addon("watching").catch_up()
    assert addon("settings_io").read_settings(own).openings[0].width == "1.4 m"
    again = reopened(tmp_path / "mine.blend")
    (item,) = addon("placed").placed_on(again)
    assert addon("settings_io").read_settings(again).openings[0].width == "1.4 m"
    bpy.context.view_layer.objects.active = item
    assert bpy.ops.halfbat.remove_placed() == {"FINISHED"}
    again = reopened(tmp_path / "mine.blend")
    assert addon("settings_io").read_settings(again).openings == ()


def test_undo_takes_back_what_was_set_on_an_override(addon, yard) -> None:
    override(yard)
    bpy.ops.ed.undo_push(message="before")
    bpy.ops.halfbat.add_finish(kind="render")
    bpy.ops.halfbat.remove_finish()
    bpy.ops.halfbat.remove_finish()
    bpy.ops.ed.undo_push(message="after")

    def now() -> list[tuple[str, str]]:
        return kinds(addon, next(item for item in bpy.data.objects if item.name == "Lodge" and item.library is None))

    assert now() == [("A", "render")]
    bpy.ops.ed.undo()
    assert now() == [("A", "render"), ("B", "ashlar")]
    bpy.ops.ed.redo()
    assert now() == [("A", "render")]


def test_an_override_made_local_is_a_building_as_any(addon, yard) -> None:
    own = override(yard)
    bpy.ops.halfbat.remove_finish()
    own.make_local()
    assert kinds(addon, own) == [("B", "ashlar")]
    assert bpy.ops.halfbat.make_kit() == {"FINISHED"}


def test_an_override_that_is_not_editable_says_what_to_do(yard) -> None:
    own = override(yard)
    own.override_library.is_system_override = True
    with pytest.raises(RuntimeError, match="not editable yet"):
        bpy.ops.halfbat.make_kit()
