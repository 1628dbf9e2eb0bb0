"""The only writer of results: a kit stands over its building in a collection of its own."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from time import monotonic
from types import MappingProxyType

import bpy
import numpy as np
from bpy.types import Collection, Object, Scene
from mathutils import Matrix

from halfbat.findings import Finding, Place, Severity
from halfbat.output.contents import KitContents
from halfbat.parts.part import Part
from halfbat.parts.seats import place_words
from halfbat.solids.solid import Solid

from .driving import put_in_place
from .mesh_in import building_frame, metres_per_unit
from .modifiers import ensure_boolean, ensure_cutters
from .properties import building_data, kit_data, part_data, words_of_finding
from .rows import Row, fill, kept
from .standing import parts_of

NOWHERE: Mapping[Finding, Place] = MappingProxyType({})


def kit_collection(building: Object) -> Collection | None:
    """Return the collection of a building's kit, or None.

    A copied building points at the kit of the one it was copied from, which is not its own. Neither is one that was
    linked with a building and overridden, because its meshes cannot be written.
    """
    collection: Collection | None = building_data(building).collection
    if collection is None or kit_data(collection).building != building:
        return None
    return collection if building.library is not None or collection.override_library is None else None


def part_objects(building: Object) -> dict[str, Object]:
    """Return the part objects of a building's kit by number; of copies the maker made, the one they copied."""
    found: dict[str, Object] = {}
    for item in sorted(parts_of(building), key=lambda item: item.name):
        found.setdefault(part_data(item).number, item)
    return found


def show_kit(
    building: Object,
    kit: KitContents,
    scene: Scene,
    seats: Mapping[Finding, Place] = NOWHERE,
    *,
    digests: Mapping[str, str],
    only_changed: bool = False,
) -> Collection:
    """Put a kit over its building in place of the one before.

    Meshes are replaced; objects of a number that was there before keep their materials and modifiers. Parts are
    children of the building: they go with it where it is moved or turned.

    Parameters
    ----------
    building : Object
        Where the kit was made from.
    kit : KitContents
        A made kit.
    scene : Scene
        Where the collection is linked.
    seats : mapping of Finding to Place, optional
        Where on a part the findings are that are somewhere.
    digests : mapping of str to str
        By number, of the shape of each part.
    only_changed : bool
        Leave the meshes of parts as they are that were made of the same before.
    """
    stage, before = _Stage.of(building, kit, scene), part_objects(building)
    for part in kit.parts:
        shown = before.pop(part.number, None)
        stage.show(part, shown, digests[part.number], anew=not only_changed)
    _remove_objects(before.values())
    _show_findings(building, kit, seats)
    return stage.collection


def show_some(building: Object, kit: KitContents, scene: Scene, digests: Mapping[str, str], seconds: float) -> bool:
    """Show parts that changed, one at least and no more once some time has gone by; True when all are shown.

    Writing meshes takes most of the time that showing a kit does. Done a few at a time, Blender is never kept waiting
    for all of them; `show_kit` then does the rest.
    """
    stage, known, until = _Stage.of(building, kit, scene), part_objects(building), monotonic() + seconds
    changed = [part for part in kit.parts if not _is_of(known.get(part.number), digests[part.number])]
    for count, part in enumerate(changed):
        if count and monotonic() > until:
            return False
        stage.show(part, known.get(part.number), digests[part.number])
    return True


def _is_of(shown: Object | None, made_of: str) -> bool:
    return shown is not None and part_data(shown).made_of == made_of


def remove_kit(building: Object) -> int:
    """Take a building's kit out of the file again and return how many parts it had."""
    collection = kit_collection(building)
    if collection is None:
        return 0
    show_as_before(building)
    parts = list(part_objects(building).values())
    count = len(parts)
    _remove_objects(parts)
    for thing in list(collection.objects):  # things the maker put there go back to the scene, not away
        for scene in bpy.data.scenes:
            if collection in scene.collection.children_recursive and thing.name not in scene.collection.objects:
                scene.collection.objects.link(thing)
    for child in list(collection.children):
        for scene in bpy.data.scenes:
            if collection in scene.collection.children_recursive and child.name not in scene.collection.children:
                scene.collection.children.link(child)
    bpy.data.collections.remove(collection)
    fill(building_data(building).findings, ())
    return count


@dataclass(frozen=True)
class _Stage:
    """Where the parts of a kit are shown."""

    building: Object
    collection: Collection
    cutters: Collection
    inverse: Matrix
    to_units: float
    taken_apart: bool

    @classmethod
    def of(cls, building: Object, kit: KitContents, scene: Scene) -> _Stage:
        taken_apart = kit_collection(building) is None
        collection = _ensure_collection(building, f"{kit.name} kit", scene)
        inverse = building.matrix_world.inverted_safe() @ building_frame(building.matrix_world)
        to_units = 1.0 / (kit.scale.mm_per_m * metres_per_unit(scene))
        return cls(building, collection, ensure_cutters(building, scene), inverse, to_units, taken_apart)

    def show(self, part: Part, shown: Object | None, made_of: str, *, anew: bool = False) -> None:
        """Put one part in place; its mesh is written where it is made of something else or asked for anew."""
        shown = shown or _new_object(part, self.collection)
        if self.taken_apart or not len(shown.users_collection):  # the collection it was in may have been deleted
            _move_to(shown, self.collection)
        if anew or part_data(shown).made_of != made_of:
            _fill_mesh(shown, part.solid)
            part_data(shown).made_of = made_of
        _describe(shown, part, self.building)
        place = Matrix.Scale(self.to_units, 4) @ Matrix(part.place.tolist())
        with put_in_place(shown):
            _stand_in(shown, self.building, self.inverse, place)
        ensure_boolean(shown, self.cutters)


def _ensure_collection(building: Object, name: str, scene: Scene) -> Collection:
    collection = kit_collection(building)
    if collection is None:
        collection = bpy.data.collections.new(name)
        building_data(building).collection = collection
        kit_data(collection).building = building
        if not building_data(building).display_before:
            building_data(building).display_before = building.display_type
        # The skins lie exactly in the building's faces; drawn as wires it shows without flickering through them.
        building.display_type = "WIRE"
    if not collection.name.startswith(name):  # Blender adds .001 where two kits have one name
        collection.name = name
    if collection not in scene.collection.children_recursive:
        scene.collection.children.link(collection)
    return collection


def show_as_before(building: Object) -> None:
    """Draw a building again as it was drawn before its kit was made."""
    data = building_data(building)
    if data.display_before:
        building.display_type = data.display_before
        data.display_before = ""


def settle_parts(building: Object) -> None:
    """Put a building right whose kit was deleted by hand, and parts whose building was scaled or has scale applied."""
    if kit_collection(building) is None:
        show_as_before(building)
        return
    inverse = building.matrix_world.inverted_safe() @ building_frame(building.matrix_world)
    for item in parts_of(building):
        same = np.allclose(np.array(item.matrix_parent_inverse), np.array(inverse), rtol=1e-5, atol=1e-5)
        if item.parent == building and not same and any(part_data(item).stands):
            with put_in_place(item):
                _stand_in(item, building, inverse, Matrix(np.array(part_data(item).stands).reshape(4, 4).tolist()))


def _move_to(shown: Object, collection: Collection) -> None:
    for other in list(shown.users_collection):
        if other != collection:
            other.objects.unlink(shown)
    if shown.name not in collection.objects:
        collection.objects.link(shown)


def _new_object(part: Part, collection: Collection) -> Object:
    mesh = bpy.data.meshes.new(part.number)
    shown = bpy.data.objects.new(part.number, mesh)
    collection.objects.link(shown)
    return shown


def _fill_mesh(shown: Object, solid: Solid) -> None:
    """Replace a part's mesh by a solid, keeping the mesh's materials.

    Vertices and triangles keep their order, so that what is read back is what was made.
    """
    mesh = shown.data
    assert isinstance(mesh, bpy.types.Mesh)
    mesh.clear_geometry()
    count = len(solid.triangles)
    mesh.vertices.add(len(solid.vertices))
    mesh.vertices.foreach_set("co", solid.vertices.astype(np.float32).ravel())
    mesh.loops.add(3 * count)
    mesh.loops.foreach_set("vertex_index", solid.triangles.astype(np.int32).ravel())
    mesh.polygons.add(count)
    mesh.polygons.foreach_set("loop_start", np.arange(0, 3 * count, 3, dtype=np.int32))
    mesh.update(calc_edges=True)
    mesh.shade_flat()


def _stand_in(shown: Object, building: Object, inverse: Matrix, place: Matrix) -> None:
    """Put a part at its place in the building's frame, as a child of the building whatever scale that has."""
    if shown.parent != building:
        shown.parent = building
    if shown.matrix_parent_inverse != inverse:
        shown.matrix_parent_inverse = inverse
    if shown.matrix_basis != place:
        shown.matrix_basis = place
    part_data(shown).stands = np.array(place).ravel().tolist()


def _describe(shown: Object, part: Part, building: Object) -> None:
    data = part_data(shown)
    data.number = part.number
    data.title = part.name
    data.kind = part.kind
    data.wall = part.wall or ""
    data.process = part.process
    data.quantity = part.quantity
    data.bricks = sum(part.counts.values())
    data.size_mm = part.solid.size_mm.tolist()
    data.building = building


def _remove_objects(parts: Iterable[Object]) -> None:
    for part in list(parts):
        mesh = part.data
        bpy.data.objects.remove(part)
        if isinstance(mesh, bpy.types.Mesh) and mesh.users == 0:
            bpy.data.meshes.remove(mesh)


def _show_findings(building: Object, kit: KitContents, seats: Mapping[Finding, Place]) -> None:
    data, parts = building_data(building), {part.number: part for part in kit.parts}
    worst_first = sorted(kit.findings, key=lambda finding: -list(Severity).index(finding.severity))
    fill(data.findings, [_finding_row(finding, seats.get(finding), parts) for finding in worst_first])
    # What was looked at stays chosen and marked, wherever in the list it is told now.
    told = [words_of_finding(data, index) for index in range(len(kept(data.findings)))]
    if data.marked in told:
        data.finding_index = told.index(data.marked)
    elif data.marked:
        data.marked = ""


def _finding_row(finding: Finding, seat: Place | None, parts: Mapping[str, Part]) -> Row:
    return {
        "name": finding.code,
        "code": finding.code,
        "severity": str(finding.severity),
        "part": finding.part,
        "text": finding.text,
        "remedy": finding.remedy,
        "place_on": seat.of if seat else "",
        "place_low": seat.low_mm if seat else (0.0, 0.0, 0.0),
        "place_high": seat.high_mm if seat else (0.0, 0.0, 0.0),
        "place_words": place_words(finding.place, parts) if seat and finding.place else "",
    }
