"""What a kit looks like: drawn apart or laid out on plates, in the colours of its kinds, bricks in tones."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import astuple, dataclass

import bpy
import numpy as np
from bpy.types import Material, Mesh, Object
from numpy.typing import NDArray

from halfbat.drawings.standing import LaidPlate, middle_of, places_on_plates, plates_on_ground, shift_apart
from halfbat.drawings.tones import BRICK_TONES, Tone, tones_of
from halfbat.findings import Finding, Place
from halfbat.kit import Kit
from halfbat.parts.seats import seat_of
from halfbat.shelf import PartShelf, digest_of

from .driving import lay_out
from .properties import kit_data, part_data
from .scene_out import kit_collection, part_objects
from .standing import ensure_sliders

Array = NDArray[np.float64]
KIND_COLOURS: Mapping[str, tuple[float, float, float]] = {
    "shell": (0.42, 0.43, 0.44),
    "lid": (0.52, 0.52, 0.50),
    "former": (0.62, 0.58, 0.48),
    "skin": (0.40, 0.14, 0.09),
    "cover": (0.06, 0.06, 0.07),
    "insert": (0.74, 0.72, 0.64),
    "roof skin": (0.14, 0.16, 0.19),
    "ridge": (0.30, 0.13, 0.10),
}
OTHER_COLOUR = (0.30, 0.30, 0.32)
TONE_COLOURS: Mapping[int, tuple[float, float, float]] = {
    Tone.MORTAR: (0.50, 0.46, 0.40),
    Tone.STONE: (0.52, 0.47, 0.37),
    Tone.BRICK: (0.40, 0.13, 0.08),
    Tone.BRICK + 1: (0.46, 0.16, 0.09),
    Tone.BRICK + 2: (0.34, 0.11, 0.08),
    Tone.BRICK + 3: (0.43, 0.18, 0.12),
}


@dataclass(frozen=True, eq=False)
class Looks:
    """What is needed to look at a kit, computed beside its making.

    Parameters
    ----------
    apart_mm : dict of str to ndarray (3,)
        By number, how far a part is moved when the kit is drawn apart.
    plates_mm : dict of str to ndarray (4, 4)
        By number, where it lies on its plate.
    tones : dict of str to ndarray of int32 (T,)
        By number, the tone of each triangle.
    seats : dict of Finding to Place
        Where on a part findings are.
    plates : tuple of LaidPlate
        The plates themselves.
    digests : dict of str to str
        By number, of the shape of each part.
    """

    apart_mm: dict[str, Array]
    plates_mm: dict[str, Array]
    tones: dict[str, NDArray[np.int32]]
    seats: dict[Finding, Place]
    plates: tuple[LaidPlate, ...]
    digests: dict[str, str]


def looks_of(kit: Kit, shelf: PartShelf | None = None) -> Looks:
    """Return how a kit can be looked at; tones made before are found on the shelf."""
    kept = shelf or PartShelf(keeping=False)
    return Looks(
        {part.number: shift_apart(kit.plan, part, middle_of(part)) for part in kit.parts},
        places_on_plates(kit, kit.plan),
        {part.number: kept.call(tones_of, part) for part in kit.parts},
        _seats(kit),
        plates_on_ground(kit, kit.plan),
        {part.number: digest_of(part.solid).hex() for part in kit.parts},
    )


def _seats(kit: Kit) -> dict[Finding, Place]:
    parts = {part.number: part for part in kit.parts}
    seats = {finding: seat_of(finding.place, parts, kit.plan) for finding in kit.findings if finding.place}
    return {finding: seat for finding, seat in seats.items() if seat is not None}


def keep_looks(building: Object, looks: Looks) -> None:
    """Keep with each part how it is looked at, and colour it."""
    ensure_sliders(building)
    collection = kit_collection(building)
    if collection is not None:
        kit_data(collection).plates = json.dumps([astuple(plate) for plate in looks.plates])
    for number, item in part_objects(building).items():
        data = part_data(item)
        data.apart_mm = looks.apart_mm[number].tolist()
        data.plate_mm = looks.plates_mm[number].ravel().tolist()
        lay_out(item, building)
        if data.coloured_of != data.made_of or not _has_colours(item):
            _colour(item, looks.tones[number])
            data.coloured_of = data.made_of


def _wanted(item: Object) -> list[Material]:
    """Return the materials of a part's kind."""
    kind = part_data(item).kind
    wanted = [_material(f"Halfbat {kind}", KIND_COLOURS.get(kind, OTHER_COLOUR))]
    if kind == "skin":
        wanted += [_material(f"Halfbat {name}", TONE_COLOURS[tone]) for tone, name in _tone_names()]
    return wanted


def _has_colours(item: Object) -> bool:
    mesh = item.data
    return isinstance(mesh, Mesh) and list(mesh.materials) == _wanted(item)


def _colour(item: Object, tones: NDArray[np.int32]) -> None:
    """Give a part the colour of its kind, and its bricks their tones; a material of the maker's own covers it all."""
    mesh = item.data
    assert isinstance(mesh, Mesh)
    wanted = _wanted(item)
    own = [slot for slot in mesh.materials if slot is not None and not slot.name.startswith("Halfbat ")]
    if not own and list(mesh.materials) != wanted:
        mesh.materials.clear()
        for material in wanted:
            mesh.materials.append(material)
    if len(mesh.polygons) == len(tones):
        shown = tones if len(mesh.materials) == len(wanted) and not own else np.zeros_like(tones)
        held = np.empty_like(shown)
        mesh.polygons.foreach_get("material_index", held)
        if not np.array_equal(held, shown):
            mesh.polygons.foreach_set("material_index", shown)
            mesh.update()


def _tone_names() -> list[tuple[int, str]]:
    bricks = [(Tone.BRICK + turn, f"brick {turn + 1}") for turn in range(BRICK_TONES)]
    return [(Tone.MORTAR, "mortar"), (Tone.STONE, "stone"), *bricks]


def _material(name: str, colour: tuple[float, float, float]) -> Material:
    """Return a plain material, made on first use."""
    material = next((item for item in bpy.data.materials if item.name == name and item.library is None), None)
    if material is None:
        material = bpy.data.materials.new(name)
        if material.node_tree is None:  # before Blender 5.0 new materials have no nodes
            material.use_nodes = True
        material.diffuse_color = (*colour, 1.0)
        material.roughness = 0.85
        shader = material.node_tree.nodes.get("Principled BSDF") if material.node_tree else None
        if shader is not None:
            shader.inputs["Base Color"].default_value = (*colour, 1.0)
            shader.inputs["Roughness"].default_value = 0.85
    return material
