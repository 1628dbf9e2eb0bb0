"""Watch what the maker moves, types and undoes, so that things on walls and their text follow each other."""

from __future__ import annotations

from typing import Any

import bpy
from bpy.types import Curve, Depsgraph, Object, Scene
from mathutils import Matrix

from halfbat.errors import KitError
from halfbat.sites.moving import bend_m
from halfbat.sites.paths import bends

from .bending import was_bent
from .following import STATE, STRAIGHTENED, bend, put, put_all, settle, sites_for, state, was_moved
from .mesh_in import metres_per_unit
from .placed import is_placed, request_of
from .placed_properties import placed_data
from .placed_shapes import line_m
from .properties import building_data
from .reporting import capital
from .scene_out import kit_collection, settle_parts

QUIET_S = 0.3


@bpy.app.handlers.persistent
def follow(scene: Scene, depsgraph: Depsgraph) -> None:
    """Follow what the maker moves and types, as it is shown."""
    for update in depsgraph.updates:
        item = update.id.original
        if isinstance(item, Scene) and any(_lost_its_kit(other) for other in scene.objects):
            catch_up_later()
        if not isinstance(item, Object):
            continue
        if building_data(item).is_building:
            state().sites.pop(item.session_uid, None)
            catch_up_later()
        elif is_placed(item) and item.library is None:
            _follow_one(item, update.id.matrix_world, depsgraph, scene)  # type: ignore[attr-defined]


def _lost_its_kit(item: Object) -> bool:
    data = building_data(item)
    return bool(data.is_building and data.display_before and item.library is None and kit_collection(item) is None)


def _follow_one(item: Object, world: Matrix, depsgraph: Depsgraph, scene: Scene) -> None:
    data = placed_data(item)
    line = None
    if isinstance(item.data, Curve) and item.mode == "OBJECT" and len(item.data.splines):
        drawn = line_m(item.data, metres_per_unit(scene))
        line = drawn if len(drawn) and was_bent(item, drawn) else None
    if not data.typed and not was_moved(item) and line is None:
        return
    try:
        sites = sites_for(item.parent, depsgraph, scene)
    except KitError as error:
        data.trouble = capital(str(error))
        return
    if data.typed:
        put(item, sites, scene, typed=True)
    elif line is not None and bends(sites, request_of(item)):
        bend(item, line, sites, scene)
    elif line is not None:
        middle = bend_m(line[:, [0, 2]]) or 0.0
        settle(item, world @ Matrix.Translation((middle / metres_per_unit(scene), 0.0, 0.0)), sites, scene)
        data.word = STRAIGHTENED
    else:
        settle(item, world.copy(), sites, scene)


def catch_up_later() -> None:
    """Put things on walls right again when nothing was changed for a moment."""
    if bpy.app.timers.is_registered(catch_up):
        bpy.app.timers.unregister(catch_up)
    bpy.app.timers.register(catch_up, first_interval=QUIET_S)


def catch_up() -> None:
    """Put everything on the walls of the buildings of this scene right again."""
    context = bpy.context
    if context.mode != "OBJECT":
        return
    depsgraph = context.evaluated_depsgraph_get()
    for building in list(context.scene.objects):
        if building_data(building).is_building and building.library is None:
            put_all(building, depsgraph, context.scene)
            settle_parts(building)


@bpy.app.handlers.persistent
def forget(_file: object = None, _more: object = None) -> None:
    """Forget what was read from meshes, which undo and another file may have changed."""
    state().sites.clear()
    catch_up_later()


def _handlers() -> list[tuple[list[Any], Any]]:
    handlers = bpy.app.handlers
    return [
        (handlers.depsgraph_update_post, follow),
        *((there, forget) for there in (handlers.load_post, handlers.undo_post, handlers.redo_post)),
    ]


def watch() -> None:
    """Start following."""
    for there, handler in _handlers():
        there.append(handler)


def unwatch() -> None:
    """Stop following, and leave nothing behind."""
    for there, handler in reversed(_handlers()):
        there.remove(handler)
    if bpy.app.timers.is_registered(catch_up):
        bpy.app.timers.unregister(catch_up)
    bpy.app.driver_namespace.pop(STATE, None)
