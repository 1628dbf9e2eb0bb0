"""Finishes set by the faces of the mesh, in Edit Mode."""

import bmesh
import bpy
import pytest

from halfbat.settings import FinishRequest


def select(box, wanted) -> None:
    bpy.ops.object.mode_set(mode="EDIT")
    mesh = bmesh.from_edit_mesh(box.data)
    for face in mesh.faces:
        face.select_set(wanted(box.matrix_world @ face.calc_center_median(), face.normal))
    bmesh.update_edit_mesh(box.data)


def test_the_faces_of_a_wall_give_it_a_finish_and_the_mesh_keeps_its_shape(addon, box) -> None:
    before = [tuple(vertex.co) for vertex in box.data.vertices]
    select(box, lambda _middle, normal: normal.y < -0.9)
    assert bpy.ops.halfbat.set_finish(kind="render") == {"FINISHED"}
    assert bpy.ops.halfbat.set_finish(kind="ashlar") == {"FINISHED"}
    bpy.ops.object.mode_set(mode="OBJECT")
    assert addon("settings_io").read_settings(box).finishes == (FinishRequest("A", "ashlar"),)
    assert [tuple(vertex.co) for vertex in box.data.vertices] == before
    marked = [value.value for value in box.data.attributes["halfbat_finish"].data]
    assert sorted(marked)[-2:] == [0, 3]


def test_a_band_of_faces_is_a_band_of_finish_and_a_part_of_it_is_said(addon, box) -> None:
    bpy.ops.object.mode_set(mode="EDIT")
    mesh = bmesh.from_edit_mesh(box.data)
    bmesh.ops.bisect_plane(
        mesh, geom=mesh.verts[:] + mesh.edges[:] + mesh.faces[:], plane_co=(0, 0, -0.1), plane_no=(0, 0, 1)
    )
    bmesh.update_edit_mesh(box.data)
    bpy.ops.object.mode_set(mode="OBJECT")
    select(box, lambda middle, normal: middle.z < 1.0 and abs(normal.z) < 0.1 and normal.x > 0.5)
    bpy.ops.halfbat.set_finish(kind="render")
    bpy.ops.object.mode_set(mode="OBJECT")
    (finish,) = addon("settings_io").read_settings(box).finishes
    assert (finish.wall, finish.bottom, finish.top) == ("B", "0", "1.2 m")
    faces = addon("operators.faces")
    band = faces.WallBand("A", 0.0, 1.0, 2.0, 3.0, False, False)
    assert "only a part is selected: A from 2.00 to 3.00 m along" in faces.told([band])


def test_without_faces_of_walls_it_says_what_to_do(box) -> None:
    with pytest.raises(RuntimeError, match="Edit Mode"):
        bpy.ops.halfbat.set_finish(kind="render")
    select(box, lambda _middle, normal: normal.z > 0.9)
    with pytest.raises(RuntimeError, match="select faces of its walls"):
        bpy.ops.halfbat.set_finish(kind="render")
    bpy.ops.object.mode_set(mode="OBJECT")


def test_selected_faces_can_show_their_bricks_again(addon, box) -> None:
    addon("settings_io").write_requests(box, "finishes", (FinishRequest("all", "render"),))
    select(box, lambda _middle, normal: normal.y < -0.9)
    assert bpy.ops.halfbat.set_finish(kind="brick") == {"FINISHED"}
    bpy.ops.object.mode_set(mode="OBJECT")
    finishes = addon("settings_io").read_settings(box).finishes
    assert [(item.wall, item.kind) for item in finishes] == [("B", "render"), ("C", "render"), ("D", "render")]
