"""Opens a file in a Blender without the extension and saves it, as a friend without Halfbat would. Run on its own."""

import os
import sys

import bpy


def main(path: str) -> None:
    assert not hasattr(bpy.types.Object, "halfbat")
    bpy.ops.wm.open_mainfile(filepath=path)
    bpy.data.objects["Lodge"].location.x += 1.0
    bpy.ops.wm.save_as_mainfile(filepath=path)
    sys.stdout.flush()
    os._exit(0)  # the bpy wheels do not always come down cleanly at the end of Python


if __name__ == "__main__":
    main(sys.argv[1])
