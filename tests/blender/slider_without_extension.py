"""Moves the slider of a kit in a Blender without the extension, with Python in files forbidden. Run on its own."""

import os
import sys

import bpy


def main(path: str) -> None:
    assert not hasattr(bpy.types.Object, "halfbat")
    bpy.context.preferences.filepaths.use_scripts_auto_execute = False
    bpy.ops.wm.open_mainfile(filepath=path, use_scripts=False)
    building, lid = bpy.data.objects["Lodge"], bpy.data.objects["L1"]
    bpy.context.view_layer.update()
    low = lid.matrix_world.translation.z
    building["halfbat_explode"] = 1.0
    building.update_tag()
    bpy.context.view_layer.update()
    assert lid.matrix_world.translation.z > low + 1.0
    bpy.ops.wm.save_as_mainfile(filepath=path)
    print("moved")
    sys.stdout.flush()
    os._exit(0)  # the bpy wheels do not always come down cleanly at the end of Python


if __name__ == "__main__":
    main(sys.argv[1])
