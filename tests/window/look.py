"""Turns view and sidebar of a Blender window to what is to be seen. Used by the scripts in this folder."""

from collections.abc import Callable
from importlib import import_module

import bpy
from mathutils import Euler

EXTENSION = "bl_ext.user_default.halfbat"
AFTER_A_DRAW_S = 1.5
"""Blender falls over when a window is turned about between opening a file and its first drawing."""


def view3d() -> tuple[bpy.types.Window, bpy.types.Area]:
    """Return the first window and its largest 3D view."""
    window = bpy.context.window_manager.windows[0]
    area = max((item for item in window.screen.areas if item.type == "VIEW_3D"), key=lambda item: item.width)
    return window, area


def region(kind: str) -> bpy.types.Region:
    """Return a region of the 3D view."""
    return next(item for item in view3d()[1].regions if item.type == kind)


def later(do: Callable[[], None], seconds: float = AFTER_A_DRAW_S) -> None:
    """Do something after Blender had time to draw."""
    bpy.app.timers.register(do, first_interval=seconds)


def show_tab(category: str = "Halfbat") -> None:
    """Open the sidebar at a tab."""

    def open_sidebar() -> None:
        view3d()[1].spaces.active.show_region_ui = True
        for times in range(1, 4):  # a tab chosen before the sidebar was first drawn is not kept
            later(choose, times * AFTER_A_DRAW_S)

    def choose() -> None:
        region("UI").active_panel_category = category
        view3d()[1].tag_redraw()

    later(open_sidebar)


def frame_all(turn: tuple[float, float, float] = (1.1, 0.0, 0.7)) -> None:
    """Look at everything from a corner, turned by Euler angles in radians."""
    window, area = view3d()
    area.spaces.active.region_3d.view_rotation = Euler(turn).to_quaternion()
    with bpy.context.temp_override(window=window, area=area, region=region("WINDOW")):
        bpy.ops.view3d.view_all()


def drawn_since_now() -> list[str]:
    """Return a list to which the name of every panel of the tab is added when Blender draws it."""
    drawn: list[str] = []

    def telling(cls: type, draw: Callable[..., None]) -> Callable[..., None]:
        def draw_and_tell(panel: object, context: bpy.types.Context) -> None:
            draw(panel, context)
            drawn.append(cls.__name__)

        return draw_and_tell

    for cls in import_module(f"{EXTENSION}.registration").PANELS:
        if issubclass(cls, bpy.types.Panel):
            cls.draw = telling(cls, cls.draw)
    return drawn


def open_all_panels() -> None:
    """Let every panel of the tab begin opened, those too that begin closed for a maker; before it is first drawn."""
    for cls in import_module(f"{EXTENSION}.registration").PANELS:
        if "DEFAULT_CLOSED" in getattr(cls, "bl_options", ()):
            bpy.utils.unregister_class(cls)
            cls.bl_options = set(cls.bl_options) - {"DEFAULT_CLOSED"}
            bpy.utils.register_class(cls)


def look_at_front() -> None:
    """Look at everything straight from the front, without perspective."""
    window, area = view3d()
    view = area.spaces.active.region_3d
    view.view_perspective, view.view_rotation = "ORTHO", Euler((1.5707963, 0.0, 0.0)).to_quaternion()
    with bpy.context.temp_override(window=window, area=area, region=region("WINDOW")):
        bpy.ops.view3d.view_all()
