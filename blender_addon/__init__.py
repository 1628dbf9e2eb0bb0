"""Halfbat in Blender: the mesh of a brick building becomes a numbered, print-ready kit.

Only the version check is imported here. After an update in a running Blender the old core is still loaded, and the
rest of the extension may need names that it does not have.
"""

from __future__ import annotations

from importlib import import_module

from . import core_version


def register() -> None:
    """Register everything, or only a notice when Blender must be restarted first."""
    if core_version.restart_needed():
        core_version.register_notice()
    else:
        import_module(".registration", __package__).register()


def unregister() -> None:
    """Remove whatever `register` put in."""
    if core_version.notice_registered():
        core_version.unregister_notice()
    else:
        import_module(".registration", __package__).unregister()
