"""The Boolean modifier that every part carries, and the collection of cutters it subtracts.

A Boolean modifier costs time even where nothing is cut: the exact solver works through the whole part against an empty
collection. So each part's modifier is switched on only while a cutter reaches the part's box.
"""

from __future__ import annotations

from collections.abc import Iterator

import bpy
import numpy as np
from bpy.types import BooleanModifier, Collection, Depsgraph, Modifier, Object, Scene
from numpy.typing import NDArray

from halfbat.findings import Finding, Severity

from .properties import building_data, kit_data, part_data
from .standing import parts_of

NAME = "Cutters"
OTHER_SHAPES = {"CURVE", "CURVES", "FONT", "META", "SURFACE", "POINTCLOUD", "VOLUME"}
"""Kinds of objects that have a shape but are no meshes."""
MARGIN = 1e-4
"""Boxes this much apart, in Blender units, still count as touching."""

Box = NDArray[np.float64]


def best_solver() -> str:
    """Return the solver that keeps closed solids closed: MANIFOLD from Blender 4.5 on, EXACT before."""
    solver = BooleanModifier.bl_rna.properties["solver"]
    return "MANIFOLD" if "MANIFOLD" in solver.enum_items else "EXACT"  # type: ignore[attr-defined]


def ensure_cutters(building: Object, scene: Scene) -> Collection:
    """Return the collection of a building's cutters, made and linked to the scene where it is missing."""
    data = building_data(building)
    theirs: Collection | None = data.cutters
    if theirs is None or theirs.library is not None:
        local = (item for item in bpy.data.collections if item.name == NAME and item.library is None)
        data.cutters = next(local, None) or bpy.data.collections.new(NAME)
        if theirs is not None and theirs.name_full not in {item.name_full for item in data.cutters.children}:
            data.cutters.children.link(theirs)  # nothing can be put into a linked one, but it still cuts
    cutters: Collection = data.cutters
    if cutters not in scene.collection.children_recursive:
        scene.collection.children.link(cutters)
    return cutters


def ensure_boolean(part: Object, cutters: Collection) -> None:
    """Give a new part its Boolean modifier; a part that was there before keeps its modifiers as the maker left them."""
    for known in part.modifiers:
        if isinstance(known, BooleanModifier) and (known.name == NAME or known.collection == cutters):
            if known.collection is None:  # the one it had was deleted
                known.operand_type, known.collection = "COLLECTION", cutters
            return
    modifier = part.modifiers.new(NAME, "BOOLEAN")
    assert isinstance(modifier, BooleanModifier)
    modifier.operation = "DIFFERENCE"
    modifier.operand_type = "COLLECTION"
    modifier.collection = cutters
    modifier.solver = best_solver()  # type: ignore[assignment]
    modifier.show_viewport = modifier.show_render = modifier.show_expanded = False


def findings_on_cutters(building: Object) -> tuple[Finding, ...]:
    """Tell of what lies among the cutters and cuts nothing, because it is no mesh."""
    cutters: Collection | None = building_data(building).cutters
    return tuple(
        Finding(
            Severity.WARNING,
            "cutter-no-mesh",
            "",
            f"{item.name} lies among the cutters and cuts nothing, because it is no mesh",
            "select it and choose Object > Convert > Mesh",
        )
        for item in (cutters.all_objects if cutters is not None else ())
        if item.type in OTHER_SHAPES
    )


def _world_box(corners: Box, item: Object) -> Box:
    """Return lowest and highest corner in the world of a box given by its corners (8, 3) in the object's frame."""
    matrix = np.array(item.matrix_world, dtype=np.float64)
    world = corners @ matrix[:3, :3].T + matrix[:3, 3]
    return np.stack((world.min(axis=0) - MARGIN, world.max(axis=0) + MARGIN))


def _part_box(part: Object) -> Box:
    """Return the box of a part before anything is cut from it, which is what its print size says."""
    x, y, z = part_data(part).size_mm
    corners = np.array([(i * x / 2, j * y / 2, k * z) for i in (-1, 1) for j in (-1, 1) for k in (0, 1)])
    return _world_box(corners, part)


def _overlap(one: Box, other: Box) -> bool:
    return bool((one[0] <= other[1]).all() and (other[0] <= one[1]).all())


def kits_in(scene: Scene) -> Iterator[Collection]:
    """Yield the collections of kits that stand in a scene."""
    return (child for child in scene.collection.children_recursive if kit_data(child).building is not None)


def switch_booleans(scene: Scene, depsgraph: Depsgraph) -> None:
    """Switch each part's Boolean modifier on where a cutter reaches the part, and off elsewhere."""
    boxes: dict[Collection, list[Box]] = {}
    for kit in kits_in(scene):
        for part in parts_of(kit_data(kit).building):
            modifier: Modifier | None = part.modifiers.get(NAME)
            if not isinstance(modifier, BooleanModifier) or modifier.collection is None:
                continue
            cutters = modifier.collection
            if cutters not in boxes:
                boxes[cutters] = [
                    _world_box(np.array(item.evaluated_get(depsgraph).bound_box), item.evaluated_get(depsgraph))
                    for item in cutters.all_objects
                    if item.type == "MESH"
                ]
            box = _part_box(part) if boxes[cutters] else None
            needed = box is not None and any(_overlap(box, other) for other in boxes[cutters])
            if modifier.show_viewport != needed:
                modifier.show_viewport = modifier.show_render = needed


@bpy.app.handlers.persistent
def follow_cutters(scene: Scene, depsgraph: Depsgraph) -> None:
    """Keep the modifiers switched as cutters come, go and move."""
    switch_booleans(scene, depsgraph)


def watch() -> None:
    """Start following the cutters."""
    bpy.app.handlers.depsgraph_update_post.append(follow_cutters)


def unwatch() -> None:
    """Stop following the cutters."""
    bpy.app.handlers.depsgraph_update_post.remove(follow_cutters)
