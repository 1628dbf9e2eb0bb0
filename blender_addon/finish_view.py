"""Finishes of walls shown as colours over the building itself, in Object Mode and in Edit Mode.

They are drawn over the view and stored nowhere: mesh, materials and file stay as they are. The core says where each
finish shows; it is asked when nothing was changed for a moment, never while Blender draws.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, cast

import bpy
import gpu
import numpy as np
from bpy.types import Depsgraph, Object, RegionView3D, Scene, SpaceView3D
from gpu_extras.batch import batch_for_shader
from mathutils import Matrix
from numpy.typing import NDArray

from halfbat.errors import KitError
from halfbat.sites.finish_patches import FinishesSeen, finishes_seen

from .following import sites_for
from .mesh_in import in_frame, metres_per_unit
from .placed import read_placed
from .placed_properties import placed_data
from .preferences import colour_of
from .properties import building_data
from .reporting import capital
from .rows import kept
from .settings_io import read_requests
from .standing import parts_of

STATE = "halfbat_finish_view"
QUIET_S = 0.15
NEARER = 2e-3
"""Share of the way to the eye by which colours are drawn before the faces that they lie in."""
IN_EDIT_MODE = 0.65
"""Share of their strength that leaves it seen which faces are selected."""


@dataclass(eq=False)
class Painted:
    """Colours of one building.

    Parameters
    ----------
    corners : dict of str to ndarray of float32, shape (3 T, 3)
        By finish, the corners of triangles in the building object's own frame.
    troubles : tuple of str
        Why some finishes cannot be shown.
    batches : dict of str to GPUBatch
        What was handed to the graphics card of it, made at the first drawing.
    """

    corners: dict[str, NDArray[np.float32]]
    troubles: tuple[str, ...] = ()
    batches: dict[str, Any] = field(default_factory=dict)


@dataclass
class FinishView:
    """Colours of the buildings of the open scene, by the session's number of their objects."""

    painted: dict[int, Painted] = field(default_factory=dict)


def state() -> FinishView:
    """Return what is shown; Blender empties the space it is kept in when another file is opened."""
    known: FinishView = bpy.app.driver_namespace.setdefault(STATE, FinishView())
    return known


def painted(building: Object, depsgraph: Depsgraph, scene: Scene) -> Painted:
    """Return the colours of a building's finishes, computed by the core from its mesh as it is now.

    In Edit Mode what was edited is written into the mesh first, as Blender does itself at the end of Edit Mode.
    """
    try:
        if building.mode == "EDIT":
            building.update_from_editmode()
        sites = sites_for(building, depsgraph, scene)
        seen = finishes_seen(sites, read_requests(building, "finishes"), read_placed(building, "openings"))
    except KitError as error:
        return Painted({}, (capital(str(error)),))
    own = in_frame(building.evaluated_get(depsgraph).matrix_world) * metres_per_unit(scene)
    to_local = np.asarray(np.linalg.pinv(own), dtype=np.float64)
    return Painted(_corners(seen, to_local), tuple(capital(str(error)) for error in seen.troubles))


def _corners(seen: FinishesSeen, to_local: NDArray[np.float64]) -> dict[str, NDArray[np.float32]]:
    gathered: dict[str, list[NDArray[np.float64]]] = {}
    for patch in seen.patches:
        gathered.setdefault(patch.kind, []).append(patch.triangles_m.reshape(-1, 3) @ to_local.T)
    return {kind: np.concatenate(own).astype(np.float32) for kind, own in gathered.items()}


def refresh() -> None:
    """Find the colours of all buildings of the scene again, and have the views drawn."""
    context = bpy.context
    scene = context.scene
    if scene is None or not context.view_layer:
        return
    depsgraph = context.evaluated_depsgraph_get()
    found = {}
    for item in list(scene.objects):
        data = building_data(item)
        if data.is_building and data.finish_colours and kept(data.finishes):
            found[item.session_uid] = painted(item, depsgraph, scene)
    if found or state().painted:
        state().painted = found
        redraw()


def redraw() -> None:
    """Have every 3D view drawn again."""
    manager = bpy.context.window_manager
    for window in list(manager.windows) if manager is not None else []:
        for area in window.screen.areas:
            if area.type == "VIEW_3D":
                area.tag_redraw()


def refresh_later() -> None:
    """Find the colours again when nothing was changed for a moment."""
    if bpy.app.timers.is_registered(refresh):
        bpy.app.timers.unregister(refresh)
    bpy.app.timers.register(refresh, first_interval=QUIET_S)


def shown_in(space: SpaceView3D) -> Iterator[tuple[Object, Painted]]:
    """Yield the buildings whose colours are to be drawn in a view: those seen there.

    Where the kit of one is seen, the kit itself shows the finishes, and so it is left out except in Edit Mode.
    """
    layer, known = bpy.context.view_layer, state().painted
    for item in layer.objects if known and layer else ():
        # Blender lists nothing in place of an object just deleted, until it has caught up.
        own = known.get(item.session_uid) if item is not None else None
        if own is None or not item.visible_get(view_layer=layer, viewport=space):
            continue
        data = building_data(item)
        if data.is_building and data.finish_colours and (item.mode == "EDIT" or not _kit_seen(item, space)):
            yield item, own


def _kit_seen(building: Object, space: SpaceView3D) -> bool:
    layer = bpy.context.view_layer
    return any(item.visible_get(view_layer=layer, viewport=space) for item in parts_of(building))


def nearer(view: RegionView3D) -> Matrix:
    """Return what brings things a little nearer to the eye, in the frame of the view, so that faces do not flicker."""
    if view.is_perspective:
        return Matrix.Scale(1.0 - NEARER, 4)
    return Matrix.Translation((0.0, 0.0, NEARER * view.view_distance))


def draw_finishes() -> None:
    """Draw the colours into the view that is being drawn."""
    context = bpy.context
    view, space, matrices = context.region_data, context.space_data, cast(Any, gpu.matrix)
    if not isinstance(view, RegionView3D) or not isinstance(space, SpaceView3D) or not space.overlay.show_overlays:
        return
    shader: Any = gpu.shader.from_builtin("UNIFORM_COLOR")
    gpu.state.blend_set("ALPHA")
    gpu.state.depth_test_set("LESS_EQUAL")
    gpu.state.depth_mask_set(False)
    try:
        for item, own in shown_in(space):
            # A mirrored building would show its inner faces, since mirroring turns corners round.
            gpu.state.face_culling_set("FRONT" if item.matrix_world.is_negative else "BACK")
            strength = IN_EDIT_MODE if item.mode == "EDIT" else 1.0
            with matrices.push_pop():
                matrices.load_matrix(nearer(view) @ view.view_matrix @ item.matrix_world)
                for kind, corners in own.corners.items():
                    if kind not in own.batches:
                        own.batches[kind] = batch_for_shader(shader, "TRIS", {"pos": corners})
                    shader.bind()
                    shader.uniform_float("color", (*colour_of(kind)[:3], colour_of(kind)[3] * strength))
                    own.batches[kind].draw(shader)
    finally:
        gpu.state.face_culling_set("NONE")
        gpu.state.depth_mask_set(True)
        gpu.state.depth_test_set("NONE")
        gpu.state.blend_set("NONE")


@bpy.app.handlers.persistent
def watch_changes(_scene: Scene, depsgraph: Depsgraph) -> None:
    """Find the colours again soon, when a building or something on its walls was changed."""
    for update in depsgraph.updates:
        item = update.id.original
        if isinstance(item, Object) and (building_data(item).is_building or placed_data(item).kind):
            refresh_later()
            return


@bpy.app.handlers.persistent
def start_anew(_file: object = None, _more: object = None) -> None:
    """Find the colours again after a file was opened and after undo and redo."""
    state().painted.clear()
    refresh_later()


def _handlers() -> list[tuple[list[Any], Any]]:
    handlers = bpy.app.handlers
    return [
        (handlers.depsgraph_update_post, watch_changes),
        *((there, start_anew) for there in (handlers.load_post, handlers.undo_post, handlers.redo_post)),
    ]


def watch() -> None:
    """Start drawing."""
    for there, handler in _handlers():
        there.append(handler)
    handle: Any = SpaceView3D.draw_handler_add(draw_finishes, (), "WINDOW", "POST_VIEW")
    # Blender empties its space for such things when a file is opened, so the handle is kept with a type.
    bpy.types.WindowManager.halfbat_finishes = handle  # type: ignore[attr-defined]
    if not bpy.app.background:
        refresh_later()


def unwatch() -> None:
    """Stop drawing, and leave nothing behind."""
    SpaceView3D.draw_handler_remove(bpy.types.WindowManager.halfbat_finishes, "WINDOW")  # type: ignore[attr-defined]
    del bpy.types.WindowManager.halfbat_finishes  # type: ignore[attr-defined]
    for there, handler in reversed(_handlers()):
        there.remove(handler)
    if bpy.app.timers.is_registered(refresh):
        bpy.app.timers.unregister(refresh)
    bpy.app.driver_namespace.pop(STATE, None)
