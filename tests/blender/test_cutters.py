import json

import bpy
import numpy as np
import pytest


@pytest.fixture
def kit(box):
    bpy.ops.halfbat.make_kit()
    return {item.halfbat_part.number: item for item in box.halfbat.collection.objects}


def add_cutter(location, size=(1.0, 1.0, 1.0)) -> bpy.types.Object:
    bpy.ops.mesh.primitive_cube_add(size=1.0, location=location, scale=size)
    cutter = bpy.context.active_object
    for collection in list(cutter.users_collection):
        collection.objects.unlink(cutter)
    bpy.data.collections["Cutters"].objects.link(cutter)
    bpy.context.view_layer.update()
    return cutter


def on(kit) -> set[str]:
    return {number for number, item in kit.items() if item.modifiers["Cutters"].show_viewport}


def evaluated_volume(item) -> float:
    evaluated = item.evaluated_get(bpy.context.evaluated_depsgraph_get())
    mesh = evaluated.to_mesh()
    mesh.calc_loop_triangles()
    points = np.array([tuple(vertex.co) for vertex in mesh.vertices])
    tri = points[[tuple(triangle.vertices) for triangle in mesh.loop_triangles]]
    evaluated.to_mesh_clear()
    return float(np.einsum("ij,ij->i", tri[:, 0], np.cross(tri[:, 1], tri[:, 2])).sum() / 6)


def test_every_part_carries_a_boolean_that_sleeps_while_there_is_nothing_to_cut(kit) -> None:
    for item in kit.values():
        modifier = item.modifiers["Cutters"]
        assert (modifier.type, modifier.operation, modifier.operand_type) == ("BOOLEAN", "DIFFERENCE", "COLLECTION")
        assert modifier.collection == bpy.data.collections["Cutters"]
        assert modifier.solver == ("MANIFOLD" if bpy.app.version >= (4, 5, 0) else "EXACT")
    assert on(kit) == set()


def test_a_cutter_wakes_only_the_parts_it_reaches_and_cuts_them(kit) -> None:
    before = evaluated_volume(kit["WA1"])
    cutter = add_cutter((2.0, 0.5, 1.5))
    assert on(kit) == {"WA1", "S1"}
    mm = 1000 / 148
    assert 0.5 * mm * mm < before - evaluated_volume(kit["WA1"]) < 2.5 * mm * mm
    cutter.location.y = -20.0
    bpy.context.view_layer.update()
    assert on(kit) == set()
    assert evaluated_volume(kit["WA1"]) == pytest.approx(before)


def test_what_is_cut_is_exported_and_verified(box, kit, tmp_path) -> None:
    before = evaluated_volume(kit["WA1"])
    add_cutter((2.013, 0.5, 1.507), (1.037, 1.0, 1.011))
    after = evaluated_volume(kit["WA1"])
    bpy.context.view_layer.objects.active = box
    assert bpy.ops.halfbat.export_kit(directory=str(tmp_path)) == {"FINISHED"}
    manifest = json.loads((tmp_path / "Lodge" / "kit.json").read_text(encoding="utf-8"))
    volume = {part["number"]: part["volume_mm3"] for part in manifest["parts"]}
    assert volume["WA1"] == pytest.approx(after, rel=1e-4)
    assert volume["WA1"] < before - 10.0
    assert volume["WC1"] == pytest.approx(evaluated_volume(kit["WC1"]), rel=1e-4)


def test_a_cutter_that_breaks_a_part_in_two_is_refused(box, kit, tmp_path) -> None:
    add_cutter((2.0, 0.5, 1.5), (0.2, 1.0, 5.0))
    bpy.context.view_layer.objects.active = box
    with pytest.raises(RuntimeError, match="2 bodies instead of one"):
        bpy.ops.halfbat.export_kit(directory=str(tmp_path))
    assert not list(tmp_path.iterdir())


def test_a_switch_on_a_modifier_of_the_makers_own_is_left_alone(kit) -> None:
    kit["WA1"].modifiers.new("Mine", "BOOLEAN").show_viewport = False
    add_cutter((2.0, 0.5, 1.5))
    assert not kit["WA1"].modifiers["Mine"].show_viewport
