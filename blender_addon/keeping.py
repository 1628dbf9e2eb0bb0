"""When older buildings are brought over: after a file is opened, after appending or linking, and when switched on."""

from __future__ import annotations

import bpy
from bpy.app import handlers, timers
from bpy.types import Depsgraph, Object, Scene

from .migration import migrate_all

IMPORT_POST = "blend_import_post"
"""Blender's own call after appending and linking, which 4.2 does not have yet."""


@handlers.persistent
def after_load(_path: str) -> None:
    """Bring over the buildings of a file just opened."""
    migrate_all()


@handlers.persistent
def after_import(_context: object) -> None:
    """Bring over buildings just appended or linked."""
    migrate_all()


@handlers.persistent
def after_update(_scene: Scene, depsgraph: Depsgraph) -> None:
    """Bring over buildings that came into the scene; used where Blender does not tell of appending and linking."""
    came = [update.id.original for update in depsgraph.updates if isinstance(update.id, Object)]
    migrate_all(item for item in came if isinstance(item, Object))


def when_switched_on() -> None:
    """Bring over the buildings of the file that is open already; while an extension registers it may not look there."""
    migrate_all()


def watch() -> None:
    """Start."""
    handlers.load_post.append(after_load)
    if hasattr(handlers, IMPORT_POST):
        getattr(handlers, IMPORT_POST).append(after_import)
    else:
        handlers.depsgraph_update_post.append(after_update)
    if not bpy.app.background:  # where there is no window, timers never run
        timers.register(when_switched_on, first_interval=0.0)


def unwatch() -> None:
    """Stop."""
    if timers.is_registered(when_switched_on):
        timers.unregister(when_switched_on)
    if hasattr(handlers, IMPORT_POST):
        getattr(handlers, IMPORT_POST).remove(after_import)
    else:
        handlers.depsgraph_update_post.remove(after_update)
    handlers.load_post.remove(after_load)
