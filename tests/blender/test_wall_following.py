"""Letters of walls that change with the mesh, and what names them."""

import bmesh
import bpy
import pytest

from halfbat.settings import FeatureRequest, FinishRequest, NoSeam


def settle(addon) -> None:
    """What a moment's rest does in a window."""
    bpy.context.view_layer.update()
    addon("watching").catch_up()
    bpy.context.view_layer.update()


def rebuild(box, plan) -> None:
    """Give the box another plan, m from its middle, as an edit of its mesh would."""
    mesh = bmesh.new()
    size = box.scale
    rows = [[mesh.verts.new((x / size.x, y / size.y, z)) for x, y in plan] for z in (-0.5, 0.5)]
    mesh.faces.new(rows[0][::-1])
    mesh.faces.new(rows[1])
    for start in range(len(plan)):
        end = (start + 1) % len(plan)
        mesh.faces.new((rows[0][start], rows[0][end], rows[1][end], rows[1][start]))
    mesh.to_mesh(box.data)
    mesh.free()
    box.data.update()
    box.update_tag()
    bpy.context.view_layer.update()


BOX = [(-4.0, -2.5), (4.0, -2.5), (4.0, 2.5), (-4.0, 2.5)]
FRONT_BAY = [BOX[0], (-2.0, -2.5), (-2.0, -3.5), (0.0, -3.5), (0.0, -2.5), *BOX[1:]]
"""Its walls: A is what is left of the front to the right of the bay, E what is left of it; the others as before."""
SIDE_BAY = [*BOX[:2], (4.0, -1.0), (5.0, -1.0), (5.0, 1.0), (4.0, 1.0), *BOX[2:]]
"""Its walls: A, then B to F along the side with the bay as D, then G and H."""


@pytest.fixture
def dressed(addon, box):
    """The box with a window at 6.5 m on wall A, finishes on B and C, a plinth on A, and letters given."""
    io = addon("settings_io")
    io.write_requests(box, "finishes", (FinishRequest("B", "ashlar"), FinishRequest("C", "render")))
    io.write_requests(box, "features", (FeatureRequest("A", "plinth"),))
    io.write_requests(box, "no_seams", (NoSeam("A", "6 m", "7 m"),))
    bpy.context.scene.cursor.location = (4.5, 0.5, 1.0)
    assert bpy.ops.halfbat.add_opening() == {"FINISHED"}
    bpy.ops.object.select_all(action="DESELECT")
    bpy.context.view_layer.objects.active = box
    settle(addon)
    return box


def summary(addon, box) -> tuple[list, list, list, list]:
    settings = addon("settings_io").read_settings(box)
    return (
        [(item.wall, item.kind) for item in settings.finishes],
        [item.wall for item in settings.features],
        [(item.wall, item.start, item.end) for item in settings.no_seams],
        [item.wall for item in settings.openings],
    )


AS_IT_WAS = ([("B", "ashlar"), ("C", "render")], ["A"], [("A", "6 m", "7 m")], ["A"])
WITH_FRONT_BAY = ([("B", "ashlar"), ("C", "render")], ["E", "A"], [("A", "2 m", "3 m")], ["A"])
WITH_SIDE_BAY = ([("B", "ashlar"), ("F", "ashlar"), ("G", "render")], ["A"], [("A", "6 m", "7 m")], ["A"])


@pytest.mark.parametrize("how", ["at rest", "make_kit", "read_walls"])
@pytest.mark.parametrize(("plan", "wanted"), [(FRONT_BAY, WITH_FRONT_BAY), (SIDE_BAY, WITH_SIDE_BAY)])
def test_what_names_walls_follows_them_when_a_bay_is_built(addon, dressed, how, plan, wanted) -> None:
    (window,) = addon("placed").placed_on(dressed)
    stood = window.matrix_world.translation.copy()
    rebuild(dressed, plan)
    settle(addon) if how == "at rest" else getattr(bpy.ops.halfbat, how)()
    settle(addon)
    assert summary(addon, dressed) == wanted
    assert (window.matrix_world.translation - stood).length < 2e-3
    assert bpy.ops.halfbat.make_kit() == {"FINISHED"}
    rebuild(dressed, BOX)
    settle(addon)
    assert summary(addon, dressed) == AS_IT_WAS
    assert (window.matrix_world.translation - stood).length < 2e-3


def test_what_lost_its_wall_says_so_names_no_other_and_finds_it_again(addon, dressed) -> None:
    rebuild(dressed, SIDE_BAY)
    settle(addon)
    addon("settings_io").write_requests(dressed, "finishes", (FinishRequest("D", "render"),))
    (window,) = addon("placed").placed_on(dressed)
    window.halfbat_placed.openings.wall = "D"
    window.halfbat_placed.openings.at = "0.5 m"
    window.halfbat_placed.openings.width = "0.8 m"
    settle(addon)
    assert window.halfbat_placed.trouble == ""
    rebuild(dressed, BOX)
    settle(addon)
    assert "D" in dressed.halfbat.walls_word and "gone" in dressed.halfbat.walls_word
    assert [item.wall for item in addon("settings_io").read_requests(dressed, "finishes")] == ["D (gone)"]
    assert "wall it stood on is gone" in window.halfbat_placed.trouble
    assert addon("settings_io").read_settings(dressed).openings == ()
    with pytest.raises(RuntimeError, match=r"no wall 'D \(gone\)'"):
        bpy.ops.halfbat.make_kit()
    rebuild(dressed, SIDE_BAY)
    settle(addon)
    assert summary(addon, dressed)[0] == [("D", "render")]
    assert summary(addon, dressed)[3] == ["D"]
    assert window.halfbat_placed.trouble == ""


def test_undo_takes_mesh_and_letters_back_together(addon, dressed) -> None:
    bpy.ops.ed.undo_push(message="box")
    before = summary(addon, dressed)
    rebuild(dressed, SIDE_BAY)
    bpy.ops.ed.undo_push(message="bay")
    settle(addon)
    assert summary(addon, dressed) != before
    bpy.ops.ed.undo()
    settle(addon)
    assert summary(addon, bpy.data.objects["Lodge"]) == before
    bpy.ops.ed.redo()
    settle(addon)
    assert summary(addon, bpy.data.objects["Lodge"]) == WITH_SIDE_BAY


def test_stretching_moving_and_turning_rename_nothing(addon, dressed) -> None:
    before = addon("settings_io").read_settings(dressed)
    dressed.scale.x = 11.0
    settle(addon)
    dressed.location, dressed.rotation_euler.z = (30.0, 4.0, 1.0), 1.0
    settle(addon)
    assert addon("settings_io").read_settings(dressed) == before
    assert dressed.halfbat.walls_word == ""


def test_a_turn_that_is_applied_to_the_mesh_is_followed(addon, dressed) -> None:
    (window,) = addon("placed").placed_on(dressed)
    dressed.rotation_euler.z = 1.5707963
    settle(addon)
    stood = window.matrix_world.translation.copy()
    dressed.select_set(True)
    bpy.ops.object.transform_apply(location=True, rotation=True, scale=True)
    settle(addon)
    settle(addon)
    assert (window.matrix_world.translation - stood).length < 5e-3


def test_a_kit_file_loaded_onto_a_building_means_its_walls_as_they_are(addon, dressed, tmp_path) -> None:
    path = tmp_path / "lodge.toml"
    bpy.ops.halfbat.save_kit_file(filepath=str(path))
    rebuild(dressed, SIDE_BAY)
    bpy.ops.halfbat.load_kit_file(filepath=str(path), onto="ACTIVE")
    settle(addon)
    assert summary(addon, dressed)[0] == [("B", "ashlar"), ("C", "render")]


def test_a_finish_set_in_edit_mode_right_after_a_bay_was_built_goes_to_the_wall_as_it_is_now(addon, dressed) -> None:
    rebuild(dressed, SIDE_BAY)
    bpy.ops.object.mode_set(mode="EDIT")
    mesh = bmesh.from_edit_mesh(dressed.data)
    for face in mesh.faces:
        face.select_set(face.normal.y > 0.9 and face.calc_center_median().x < 0.1)
    assert bpy.ops.halfbat.set_finish(kind="weatherboard") == {"FINISHED"}
    bpy.ops.object.mode_set(mode="OBJECT")
    settle(addon)
    assert summary(addon, dressed)[0] == [("B", "ashlar"), ("F", "ashlar"), ("G", "weatherboard")]
    assert [wall.name for wall in dressed.halfbat.walls] == list("ABCDEFGH")


def test_materials_and_modifiers_of_parts_follow_their_wall(addon, dressed) -> None:
    bpy.ops.halfbat.make_kit()
    own = addon("scene_out").part_objects(dressed)
    blue = bpy.data.materials.new("Engineering blue")
    own["WC1"].data.materials[0] = blue
    own["WC1"].modifiers.new("Mine", "BEVEL").show_viewport = False
    rebuild(dressed, SIDE_BAY)
    bpy.context.view_layer.objects.active = dressed
    bpy.ops.halfbat.make_kit()
    now = addon("scene_out").part_objects(dressed)
    assert now["WG1"] == own["WC1"]
    assert now["WG1"].name == "WG1" and now["WC1"].name == "WC1"
    assert now["WG1"].data.materials[0] == blue
    assert "Mine" in now["WG1"].modifiers and "Mine" not in now["WC1"].modifiers
    rebuild(dressed, BOX)
    bpy.ops.halfbat.make_kit()
    again = addon("scene_out").part_objects(dressed)
    assert again["WC1"] == own["WC1"]
    assert again["WC1"].data.materials[0] == blue
    assert not [item for item in bpy.data.objects if "gone" in item.name]
