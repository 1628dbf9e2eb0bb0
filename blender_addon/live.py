"""Kits that keep themselves up to date while their buildings are worked on.

When nothing was changed for a moment, what changed since the kit was made is made again in a thread, first the parts
without their checks, which shows them at once, then the checks. Another change, or Esc, stops it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from time import monotonic

import bpy
from bpy.types import Context, Depsgraph, Object, Scene

from halfbat.errors import KitError
from halfbat.shelf import PartShelf

from .freshness import is_made_from
from .making import Cancelled, KitJob, Order, show, take_order
from .placed_properties import placed_data
from .properties import building_data
from .reporting import capital
from .scene_out import kit_collection, show_some

STATE = "halfbat_live"
QUIET_S = 0.3
POLL_S = 0.03
AT_ONCE_S = 0.04
"""So long parts are shown before Blender may go on; the one begun by then is finished."""
LONGEST_S = 20.0
"""Remaking that takes longer than this is no help; it is switched off with a word."""
TOO_SLOW = "Switched off: making this kit took {seconds:.0f} s. Press Make Kit instead"


@dataclass
class Live:
    """What goes on in the background.

    Parameters
    ----------
    job : KitJob, optional
        The kit that is being made.
    name : str
        Of its building; objects themselves cannot be held over an undo.
    order : Order, optional
        What it is made from.
    began : float
        When, in seconds of a clock that only goes on.
    changed : bool
        Something was changed since it was looked at.
    given_up : dict of str to str
        Digest of what Esc stopped for each building, not to be begun again by itself.
    shelves : dict of str to PartShelf
        Parts made before of each building.
    """

    job: KitJob | None = None
    name: str = ""
    order: Order | None = None
    began: float = 0.0
    changed: bool = False
    given_up: dict[str, str] = field(default_factory=dict)
    shelves: dict[str, PartShelf] = field(default_factory=dict)


def state() -> Live:
    """Return what goes on; Blender empties the space it is kept in when another file is opened."""
    known: Live = bpy.app.driver_namespace.setdefault(STATE, Live())
    return known


def shelf_of(building: Object) -> PartShelf:
    """Return the parts that were made before for a building."""
    return state().shelves.setdefault(building.name_full, PartShelf())


def give_up(*, by_hand: bool = False) -> None:
    """Stop what is being made, and wait until it has stopped.

    Parameters
    ----------
    by_hand : bool
        The maker does not want it, so it is not begun again until something else changes.
    """
    now = state()
    if now.job is None:
        return
    now.job.stop()
    now.job.wait()
    if by_hand and now.order is not None:
        now.given_up[now.name] = now.order.digests.everything
    now.job = now.order = None


def look_later(seconds: float = QUIET_S) -> None:
    """Look what is to be made when nothing was changed for a moment."""
    if bpy.app.timers.is_registered(tick):
        bpy.app.timers.unregister(tick)
    bpy.app.timers.register(tick, first_interval=seconds)


def tick() -> float | None:
    """Go on by one step, and return after how many seconds to come again, or None when all is up to date."""
    now, context = state(), bpy.context
    if now.changed:
        now.changed = False
        if now.job is not None and not _still_wanted(context):
            now.job.stop()
    if now.job is not None and (now.job.running or _take(context)):
        return POLL_S
    return POLL_S if _begin(context) else None


def _still_wanted(context: Context) -> bool:
    """Tell whether what is being made is what its building asks for now."""
    now = state()
    building = _building_named(context, now.name)
    if building is None or not _is_live(building) or now.order is None:
        return False
    try:
        return take_order(building, context).digests == now.order.digests
    except KitError:
        return False


def _building_named(context: Context, name: str) -> Object | None:
    return next((item for item in context.scene.objects if item.name_full == name), None)


def _begin(context: Context) -> bool:
    """Begin with the first building that is not up to date; False when there is none."""
    if context.mode != "OBJECT" or context.scene is None:
        return False
    return any(_begin_with(building, context) for building in list(context.scene.objects) if _is_live(building))


def _is_live(item: Object) -> bool:
    data = building_data(item)
    return bool(data.is_building and data.live and item.library is None and kit_collection(item) is not None)


def _begin_with(building: Object, context: Context) -> bool:
    data, now = building_data(building), state()
    try:
        order = take_order(building, context)
    except KitError as error:
        _say(building, capital(str(error)))
        return False
    digests = order.digests
    if is_made_from(building, digests) or now.given_up.get(building.name_full) == digests.everything:
        if data.live_word:
            _say(building, "")
        return False
    now.job = KitJob(order, shelf_of(building), checked=False)
    now.name, now.order, now.began = building.name_full, order, monotonic()
    now.job.start()
    _call_watcher(context)
    return True


def _take(context: Context) -> bool:
    """Show what was made; True where there is more to do."""
    now = state()
    job, order = now.job, now.order
    assert job is not None and order is not None
    now.job = now.order = None
    building = _building_named(context, now.name)
    if building is None or not _is_live(building) or job.stopping:
        return False
    try:
        kit = job.result()
    except Cancelled:
        return False
    except KitError as error:
        now.given_up[now.name] = order.digests.everything
        _say(building, capital(str(error)))
        return False
    if job.looks is not None and not show_some(building, kit, context.scene, job.looks.digests, AT_ONCE_S):
        now.job, now.order = job, order
        return True
    show(building, context, order, kit, job.looks, only_changed=True)
    _say(building, "" if job.checked else "Checking")
    seconds = monotonic() - now.began
    if seconds > LONGEST_S and not job.checked:
        building_data(building).live = False
        _say(building, TOO_SLOW.format(seconds=seconds))
        return False
    if not job.checked:
        now.job, now.order = KitJob(order, shelf_of(building), checked=True), order
        now.job.start()
    return True


def _say(building: Object, text: str) -> None:
    data = building_data(building)
    if data.live_word != text:
        data.live_word = text
    manager = bpy.context.window_manager
    windows = list(manager.windows) if manager is not None else []
    for window in windows:
        for area in window.screen.areas:
            if area.type == "VIEW_3D":
                area.tag_redraw()


def _call_watcher(context: Context) -> None:
    """Have a window listen for Esc and show how far it is; without a window nobody can press it."""
    manager = context.window_manager
    if manager is not None and len(manager.windows):
        with context.temp_override(window=manager.windows[0]):
            bpy.ops.halfbat.watch_live("INVOKE_DEFAULT")  # type: ignore[attr-defined]


@bpy.app.handlers.persistent
def watch_changes(scene: Scene, depsgraph: Depsgraph) -> None:
    """Stop what is out of date and look again soon, when a building or something on its walls was changed."""
    if any(_concerns(update.id.original) for update in depsgraph.updates):
        state().changed = True
        look_later()


def _concerns(item: object) -> bool:
    if not isinstance(item, Object):
        return isinstance(item, bpy.types.Collection | Scene) and _any_live()
    if building_data(item).is_building:
        return bool(building_data(item).live)
    parent = item.parent
    return bool(placed_data(item).kind and parent is not None and building_data(parent).live)


def _any_live() -> bool:
    return bpy.context.scene is not None and any(_is_live(item) for item in bpy.context.scene.objects)


@bpy.app.handlers.persistent
def before_loading(_file: object = None, _more: object = None) -> None:
    """Stop before another file takes the place of this one."""
    give_up()


@bpy.app.handlers.persistent
def after_undo(_scene: object = None, _more: object = None) -> None:
    """Stop what was begun before an undo, and look again."""
    give_up()
    if _any_live():
        look_later()


def watch() -> None:
    """Start watching."""
    handlers = bpy.app.handlers
    handlers.depsgraph_update_post.append(watch_changes)
    handlers.load_pre.append(before_loading)
    handlers.undo_post.append(after_undo)
    handlers.redo_post.append(after_undo)


def unwatch() -> None:
    """Stop watching and making, and leave nothing behind."""
    give_up()
    handlers = bpy.app.handlers
    handlers.redo_post.remove(after_undo)
    handlers.undo_post.remove(after_undo)
    handlers.load_pre.remove(before_loading)
    handlers.depsgraph_update_post.remove(watch_changes)
    if bpy.app.timers.is_registered(tick):
        bpy.app.timers.unregister(tick)
    bpy.app.driver_namespace.pop(STATE, None)
