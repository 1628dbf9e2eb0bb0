"""Making a kit from a building object: once and for all, or in a thread that leaves Blender free meanwhile."""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from bpy.types import Context, Depsgraph, Object

from halfbat.building import Mesh
from halfbat.building.structure import Structure
from halfbat.errors import KitError
from halfbat.findings import Finding
from halfbat.kit import Kit, make_kit, structure_for
from halfbat.parts.part import Part
from halfbat.parts.placing import as_printed
from halfbat.parts.seats import moved_along
from halfbat.printing.checks.run import check_part
from halfbat.settings import Settings
from halfbat.shelf import PartShelf
from halfbat.solids.verify import require_printable

from .driving import at_rest
from .freshness import Digests, digests_of, is_made_from, mark_made_from
from .looking import Looks, keep_looks, looks_of
from .mesh_in import building_mesh, part_solid, same_solid
from .modifiers import findings_on_cutters, switch_booleans
from .placed import findings_on_walls
from .scene_out import part_objects, show_kit
from .settings_io import read_settings
from .walls import keep_walls

Progress = Callable[[float, str], None]


@dataclass(frozen=True)
class Order:
    """All that a kit is made from, taken out of Blender so that no other thread looks into it."""

    mesh: Mesh
    settings: Settings

    @property
    def digests(self) -> Digests:
        """Return the digests by which a kit that is out of date is told."""
        return digests_of(self.mesh, self.settings)

    def building(self) -> Structure:
        """Return the walls, slopes and masses."""
        return structure_for(self.mesh, self.settings)

    def make(self, progress: Progress | None = None, shelf: PartShelf | None = None, *, checked: bool = True) -> Kit:
        """Make the kit, just as the command line does, with parts made before from a shelf."""
        return make_kit(self.building(), self.settings, progress, checked=checked, shelf=shelf)


def take_order(building: Object, context: Context) -> Order:
    """Read a building object and its settings.

    Raises
    ------
    KitError
        When a setting cannot be used.
    """
    settings = read_settings(building)
    return Order(building_mesh(building, context.evaluated_depsgraph_get(), context.scene), settings)


def show(
    building: Object,
    context: Context,
    order: Order,
    kit: Kit,
    looks: Looks | None = None,
    *,
    only_changed: bool = False,
) -> None:
    """Put a kit just made over its building and keep what it was made from.

    Parameters
    ----------
    building, context, order, kit
        What was made, and of what.
    looks : Looks, optional
        How it can be looked at, where that was computed beside its making.
    only_changed : bool
        Leave the meshes of parts as they are that were made of the same before.
    """
    keep_walls(building, kit.building.walls)
    looks = looks or looks_of(kit)
    told = replace(kit, findings=(*kit.findings, *findings_on_walls(building), *findings_on_cutters(building)))
    scene, digests = context.scene, looks.digests
    collection = show_kit(building, told, scene, looks.seats, digests=digests, only_changed=only_changed)
    mark_made_from(collection, order.digests)
    keep_looks(building, looks)


def kit_as_shown(
    building: Object, context: Context, progress: Progress | None = None, shelf: PartShelf | None = None
) -> Kit:
    """Return a building's kit with each part as its object stands in the scene, modifiers applied.

    Raises
    ------
    KitError
        When the kit is out of date, a part is missing, or what became of a part cannot be printed.
    """
    order = take_order(building, context)
    if not is_made_from(building, order.digests):
        raise KitError(
            "the building or its settings changed since the kit was made", building.name, "make the kit again"
        )
    kit = order.make(progress, shelf)
    shown = part_objects(building)
    with at_rest(shown.values()):
        switch_booleans(context.scene, context.evaluated_depsgraph_get())
        depsgraph = context.evaluated_depsgraph_get()
        parts = tuple(_as_shown(part, shown.get(part.number), depsgraph) for part in kit.parts)
    changed = [(made, now) for now, made in zip(parts, kit.parts, strict=True) if now is not made]
    return replace(kit, parts=parts, findings=_told_of(changed, kit.findings, order.settings))


def _told_of(
    changed: Sequence[tuple[Part, Part]], findings: Sequence[Finding], settings: Settings
) -> tuple[Finding, ...]:
    """Return what there is to tell when some parts are no longer as made: what was told already moves along."""
    for made, now in changed:
        findings = [moved_along(finding, made, now) for finding in findings]
    known = {replace(finding, place=None) for finding in findings}
    more = [finding for _, now in changed for finding in check_part(now, settings).findings]
    return (*findings, *dict.fromkeys(finding for finding in more if replace(finding, place=None) not in known))


def _as_shown(part: Part, shown: Object | None, depsgraph: Depsgraph) -> Part:
    """Return a part as made, or with the shape that modifiers or the maker's own hands gave it."""
    if shown is None:
        raise KitError("a part of the kit is no longer in the scene", part.number, "make the kit again")
    solid = part_solid(shown, depsgraph)
    if same_solid(solid, part.solid):
        return part
    if part.process != "bought":
        require_printable(solid, part.number)
    printed, place = as_printed(solid, part.place)
    return replace(part, solid=printed, place=place)


class Cancelled(Exception):
    """The maker pressed Esc."""


class KitJob:
    """Makes a kit in a thread of its own; only plain data goes in and comes out."""

    def __init__(self, order: Order, shelf: PartShelf | None = None, *, checked: bool = True) -> None:
        self.checked = checked
        self.share = 0.0
        self.text = ""
        self.error: BaseException | None = None
        self._order = order
        self._shelf = shelf
        self.looks: Looks | None = None
        self._kit: Kit | None = None
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, name="halfbat-make", daemon=True)

    def start(self) -> None:
        """Begin."""
        self._thread.start()

    def stop(self) -> None:
        """Give up at the next step; `running` tells when that is reached."""
        self._stop.set()

    def wait(self) -> None:
        """Wait for the end."""
        self._thread.join()

    @property
    def stopping(self) -> bool:
        """Tell whether it was given up."""
        return self._stop.is_set()

    @property
    def running(self) -> bool:
        """Tell whether there is work left."""
        return self._thread.is_alive()

    def result(self) -> Kit:
        """Return the kit, or raise whatever kept it from being made."""
        self._thread.join()
        if self.error is not None:
            raise self.error
        assert self._kit is not None
        return self._kit

    def _progress(self, share: float, text: str) -> None:
        if self._stop.is_set():
            raise Cancelled
        self.share, self.text = share, text

    def _run(self) -> None:
        try:
            kit = self._order.make(self._progress, self._shelf, checked=self.checked)
            self.looks = looks_of(kit, self._shelf)
            self._kit = kit
        except BaseException as error:  # noqa: BLE001 - handed to the thread that asks for the result
            self.error = error
