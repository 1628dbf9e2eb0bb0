from itertools import pairwise

import bpy
import numpy as np
import pytest
from mathutils import Matrix, Vector

from halfbat.building import building_from_mesh


def read(addon, item):
    bpy.context.view_layer.update()
    return addon("mesh_in").building_mesh(item, bpy.context.evaluated_depsgraph_get(), bpy.context.scene)


def walls(addon, item) -> list[tuple[float, float]]:
    building = building_from_mesh(read(addon, item), smallest_face_m=0.3)
    return sorted((round(wall.length_m, 4), round(wall.height_m, 4)) for wall in building.walls)


EIGHT_BY_FIVE = [(5.0, 3.0), (5.0, 3.0), (8.0, 3.0), (8.0, 3.0)]


def test_a_scaled_box_is_read_in_metres_from_its_origin(addon, box) -> None:
    mesh = read(addon, box)
    assert mesh.vertices.min(axis=0) == pytest.approx([-4.0, -2.5, -1.5])
    assert mesh.vertices.max(axis=0) == pytest.approx([4.0, 2.5, 1.5])
    assert len(mesh.faces) == 6
    assert mesh.source == "Lodge"
    assert walls(addon, box) == EIGHT_BY_FIVE


def test_the_mesh_of_the_building_is_not_touched(addon, box) -> None:
    before = [tuple(vertex.co) for vertex in box.data.vertices], tuple(map(tuple, box.matrix_world))
    read(addon, box)
    assert ([tuple(vertex.co) for vertex in box.data.vertices], tuple(map(tuple, box.matrix_world))) == before


def test_a_turned_box_under_a_turned_and_scaled_parent(addon, box) -> None:
    parent = bpy.data.objects.new("Yard", None)
    bpy.context.scene.collection.objects.link(parent)
    parent.rotation_euler = (0.0, 0.0, 0.4)
    parent.scale = (2.0, 2.0, 2.0)
    box.parent = parent
    assert walls(addon, box) == [(10.0, 6.0), (10.0, 6.0), (16.0, 6.0), (16.0, 6.0)]


@pytest.mark.parametrize(
    ("system", "scale", "factor"), [("METRIC", 0.01, 0.01), ("IMPERIAL", 1.0, 1.0), ("NONE", 0.01, 1.0)]
)
def test_the_unit_of_the_scene_counts(addon, box, system, scale, factor) -> None:
    bpy.context.scene.unit_settings.system = system
    bpy.context.scene.unit_settings.scale_length = scale
    mesh = read(addon, box)
    assert mesh.vertices.max(axis=0) - mesh.vertices.min(axis=0) == pytest.approx([8 * factor, 5 * factor, 3 * factor])


def test_a_mirrored_box_still_faces_outward(addon, box) -> None:
    plain = read(addon, box)
    box.scale.x = -box.scale.x
    mirrored = read(addon, box)
    assert signed_volume(mirrored) == pytest.approx(signed_volume(plain))
    assert signed_volume(plain) == pytest.approx(120.0)


def test_modifiers_of_the_building_count(addon, box) -> None:
    array = box.modifiers.new("Twice", "ARRAY")
    array.use_merge_vertices = True
    assert walls(addon, box) == [(5.0, 3.0), (5.0, 3.0), (16.0, 3.0), (16.0, 3.0)]


def test_faces_of_many_corners_stay_whole(addon, box) -> None:
    bpy.ops.mesh.primitive_cylinder_add(vertices=6, radius=4.0, depth=3.0, end_fill_type="NGON")
    mesh = read(addon, bpy.context.active_object)
    assert sorted(map(len, mesh.faces)) == [4] * 6 + [6] * 2


def test_a_part_reads_back_exactly_as_it_was_made(addon, box) -> None:
    from halfbat.kit import make_kit

    bpy.ops.halfbat.make_kit()
    kit = addon("making").take_order(box, bpy.context).make()
    depsgraph = bpy.context.evaluated_depsgraph_get()
    for part in kit.parts:
        shown = addon("scene_out").part_objects(box)[part.number]
        assert addon("mesh_in").same_solid(addon("mesh_in").part_solid(shown, depsgraph), part.solid)
    assert make_kit(kit.building, kit.settings).parts[0].number == kit.parts[0].number


def signed_volume(mesh) -> float:
    total = 0.0
    for face in mesh.faces:
        a = mesh.vertices[face[0]]
        for i, j in pairwise(face[1:]):
            total += float(np.linalg.det([a, mesh.vertices[i], mesh.vertices[j]])) / 6
    return total


def test_the_matrix_of_the_world_is_taken_after_evaluation(addon, box) -> None:
    box.matrix_world = Matrix.Translation((1.0, 2.0, 3.0)) @ Matrix.Diagonal((8.0, 5.0, 3.0, 1.0))
    assert read(addon, box).vertices.max(axis=0) == pytest.approx([4.0, 2.5, 1.5])


@pytest.mark.parametrize("scale", [(8.0, 5.0, 3.0), (6.096, 4.2672, 2.7432), (-8.0, 5.0, 3.0), (0.08, 0.05, 0.03)])
@pytest.mark.parametrize("tilt", [0.0, 0.5 * np.pi])
def test_where_a_building_stands_changes_nothing_of_its_mesh(addon, box, scale, tilt) -> None:
    box.scale = scale
    box.rotation_euler = (tilt, 0.0, 0.0)
    before = read(addon, box)
    frame = addon("mesh_in").building_frame
    for step in range(1, 40):
        box.location = (0.37 * step, -1.1 * step, 123.4 + step)
        box.rotation_euler.z = 0.731 * step
        now = read(addon, box)
        assert now.vertices.tobytes() == before.vertices.tobytes()
        assert now.faces == before.faces
        corners = [frame(box.matrix_world) @ Vector(corner) for corner in now.vertices]
        assert np.allclose(corners, [box.matrix_world @ vertex.co for vertex in box.data.vertices], atol=1e-3)
    box.scale.x *= 1.01
    assert read(addon, box).vertices.tobytes() != before.vertices.tobytes()
