"""The whole job as a maker does it: a cube is scaled up, becomes a kit, is saved, opened again and made again.

Runs in the bpy wheel (``test_whole_job.py``) and in real Blender with a window (``tests/window``).
"""

import json
from contextlib import AbstractContextManager, nullcontext
from pathlib import Path

import bpy


def as_maker() -> AbstractContextManager[object]:
    """Act in the window there is now, since code run by a timer has none; in the bpy wheel there is no window."""
    windows = bpy.context.window_manager.windows
    return bpy.context.temp_override(window=windows[0]) if len(windows) else nullcontext()


def whole_job(folder: Path) -> None:
    """Do it all in a new file, leaving the kit in the scene."""
    bpy.ops.wm.read_homefile(use_factory_startup=True)
    with as_maker():
        first = make_first(folder / "substation.blend")
    bpy.ops.wm.open_mainfile(filepath=str(folder / "substation.blend"))
    with as_maker():
        make_again(first)
        assert bpy.ops.halfbat.export_kit(directory=str(folder)) == {"FINISHED"}
    manifest = json.loads((folder / "Substation" / "kit.json").read_text(encoding="utf-8"))
    assert {part["number"] for part in manifest["parts"]} == set(first)


def make_first(path: Path) -> dict[str, tuple]:
    """Scale the default cube up, make a kit with a seam placed by hand, save, and return what stands in the scene."""
    cube = bpy.data.objects["Cube"]
    bpy.context.view_layer.objects.active = cube
    cube.name = "Substation"
    cube.location = (0.0, 0.0, 1.3)
    cube.scale = (3.0, 2.0, 1.3)
    bpy.context.view_layer.update()
    before = mesh_digest(cube)
    assert bpy.ops.halfbat.use_as_building() == {"FINISHED"}
    cube.halfbat.brick.bond = "english_garden_wall"
    bpy.context.scene.cursor.location = (1.0, -2.1, 1.0)
    assert bpy.ops.halfbat.add_seam() == {"FINISHED"}
    assert bpy.ops.halfbat.make_kit() == {"FINISHED"}
    assert mesh_digest(cube) == before
    first = scene_digest(cube)
    assert len(first) > 6
    bpy.ops.wm.save_as_mainfile(filepath=str(path))
    return first


def make_again(first: dict[str, tuple]) -> None:
    """Find everything in the file as it was left, and make the same kit once more."""
    cube = bpy.data.objects["Substation"]
    assert cube.halfbat.brick.bond == "english_garden_wall"
    assert scene_digest(cube) == first
    assert bpy.ops.halfbat.make_kit() == {"FINISHED"}
    assert scene_digest(cube) == first


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
