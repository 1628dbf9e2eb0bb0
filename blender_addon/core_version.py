"""Whether the core that Python has loaded is the one bundled with this extension."""

from __future__ import annotations

from pathlib import Path

import bpy

import halfbat


def bundled_version() -> str:
    """Return the version of the core wheel in this extension, or ``""`` when run from a source tree without one."""
    wheels = sorted((Path(__file__).parent / "wheels").glob("halfbat-*.whl"))
    return wheels[-1].name.split("-")[1] if wheels else ""


def loaded_version() -> str:
    """Return the version of the core that Python has loaded."""
    return halfbat.__version__


def restart_needed() -> bool:
    """Tell whether an older or newer core is still loaded than the one bundled."""
    bundled = bundled_version()
    return bool(bundled) and bundled != loaded_version()


class HALFBAT_PT_restart(bpy.types.Panel):
    """Shown alone in the sidebar until Blender is restarted."""

    bl_label = "Halfbat"
    bl_space_type = "VIEW_3D"
    bl_region_type = "UI"
    bl_category = "Halfbat"

    def draw(self, _context: bpy.types.Context) -> None:
        """Ask for the restart and say why."""
        column = self.layout.column()
        column.alert = True
        column.label(text="Restart Blender to finish the update", icon="ERROR")
        column.label(text=f"Loaded: {loaded_version()}, installed: {bundled_version()}")


def register_notice() -> None:
    """Register the request for a restart."""
    bpy.utils.register_class(HALFBAT_PT_restart)


def notice_registered() -> bool:
    """Tell whether the request for a restart is what is registered."""
    return bool(HALFBAT_PT_restart.is_registered)


def unregister_notice() -> None:
    """Remove the request for a restart."""
    bpy.utils.unregister_class(HALFBAT_PT_restart)
