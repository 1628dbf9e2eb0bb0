"""What the extension adds to Blender's own menus."""

from __future__ import annotations

from bpy.types import TOPBAR_MT_file_export, TOPBAR_MT_file_import, VIEW3D_MT_mesh_add

from .operators.example import draw_add_mesh
from .operators.kit_file import draw_export, draw_import

ENTRIES = (
    (VIEW3D_MT_mesh_add, draw_add_mesh),
    (TOPBAR_MT_file_import, draw_import),
    (TOPBAR_MT_file_export, draw_export),
)


def extend() -> None:
    """Add the entries."""
    for menu, draw in ENTRIES:
        menu.append(draw)


def restore() -> None:
    """Take them away again."""
    for menu, draw in ENTRIES:
        menu.remove(draw)
