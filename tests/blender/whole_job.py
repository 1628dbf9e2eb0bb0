"""The whole job as a maker does it: a cube is scaled up, becomes a kit, is saved, opened again and made again.

Runs in the bpy wheel (``test_whole_job.py``) and in real Blender with a window (``tests/window``).
"""

import json
from pathlib import Path

import bpy


def whole_job(folder: Path) -> None:
    """Do it all in a new file, leaving the kit in the scene."""
    bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
    bpy.ops.mesh.primitive_cube_add(size=2.0, location=(0.0, 0.0, 1.7))
    cube = bpy.context.active_object
    cube.name = "Substation"
    cube.scale = (6.65, 2.8, 1.7)
    bpy.context.view_layer.update()
    before = mesh_digest(cube)

    assert bpy.ops.halfbat.use_as_building() == {"FINISHED"}
    cube.halfbat.brick.bond = "english_garden_wall"
    bpy.context.scene.cursor.location = (1.0, -2.9, 1.0)
    assert bpy.ops.halfbat.add_seam() == {"FINISHED"}
    assert bpy.ops.halfbat.make_kit() == {"FINISHED"}
    first = scene_digest(cube)
    assert len(first) > 6
    assert mesh_digest(cube) == before

    path = folder / "substation.blend"
    bpy.ops.wm.save_as_mainfile(filepath=str(path))
    bpy.ops.wm.open_mainfile(filepath=str(path))
    cube = bpy.data.objects["Substation"]
    assert cube.halfbat.brick.bond == "english_garden_wall"
    assert scene_digest(cube) == first
    assert bpy.ops.halfbat.make_kit() == {"FINISHED"}
    assert scene_digest(cube) == first

    assert bpy.ops.halfbat.export_kit(directory=str(folder)) == {"FINISHED"}
    manifest = json.loads((folder / "Substation" / "kit.json").read_text(encoding="utf-8"))
    assert {part["number"] for part in manifest["parts"]} == set(first)


def mesh_digest(item: bpy.types.Object) -> tuple:
    """Return everything a mesh is made of."""
    return (
        tuple(tuple(vertex.co) for vertex in item.data.vertices),
        tuple(tuple(face.vertices) for face in item.data.polygons),
        tuple(tuple(row) for row in item.matrix_world),
    )


def scene_digest(building: bpy.types.Object) -> dict[str, tuple]:
    """Return number, size of mesh, and place of every part of a building's kit."""
    return {
        item.halfbat_part.number: (
            len(item.data.vertices),
            len(item.data.polygons),
            tuple(round(value, 6) for row in item.matrix_world for value in row),
            tuple(modifier.name for modifier in item.modifiers),
        )
        for item in building.halfbat.collection.objects
    }
