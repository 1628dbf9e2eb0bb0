"""Installs the extension's zip as a maker would, with Blender's own installer. Used by ``.ci/blender_matrix``.

The folder of Blender's user files is taken from the environment variable BLENDER_USER_RESOURCES.
"""

import os
import sys

import bpy


def main(zip_path: str) -> None:
    done = bpy.ops.extensions.package_install_files(filepath=zip_path, repo="user_default", enable_on_install=True)
    enabled = "bl_ext.user_default.halfbat" in bpy.context.preferences.addons
    sys.stdout.write(f"Blender {bpy.app.version_string}: {done}, enabled: {enabled}\n")
    sys.stdout.flush()
    # The bpy wheels do not always come down cleanly at the end of Python, which says nothing about the extension.
    os._exit(0 if done == {"FINISHED"} and enabled else 1)


if __name__ == "__main__":
    main(sys.argv[1])
