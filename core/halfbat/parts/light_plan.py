"""The roof lights of a kit, settled: each with the skin it is cut into and the former or lid that carries it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import Slope, Structure
from halfbat.parts.lid import lid_bore, lid_top_mm
from halfbat.parts.masses import MassStack
from halfbat.parts.roof_light_room import mass_under, require_lid_room, require_light_room
from halfbat.parts.roof_light_sites import RoofLight, roof_lights_asked
from halfbat.parts.roof_skins import RoofFace
from halfbat.settings import Settings
from halfbat.units import Scale

Array = NDArray[np.float64]


def settled_lights(
    measured: Structure,
    structure: Structure,
    roofs: Sequence[RoofFace],
    masses: Sequence[MassStack],
    settings: Settings,
    scale: Scale,
) -> tuple[tuple[RoofLight, ...], tuple[int, ...]]:
    """Settle the roof lights.

    Parameters
    ----------
    measured, structure : Structure
        The building as it was modelled, and with its slopes drawn out beyond the walls.
    roofs : sequence of RoofFace
        Pitched slopes, with the holes for chimneys.
    masses : sequence of MassStack
        What stands on the ground, in the order of the building.
    settings : Settings
        What the maker asks for.
    scale : Scale
        How small.

    Returns
    -------
    tuple of RoofLight, tuple of int
        By slopes, each row from the left; and the mass that carries each.

    Raises
    ------
    KitError
        There is no room for one.
    """
    if not settings.roof_lights:
        return (), ()
    faces = {face.slope.index: face for face in roofs}
    lids = _lids(structure, masses, settings, scale)
    slopes = {index: face.slope for index, face in faces.items()} | {index: slope for index, (slope, _) in lids.items()}
    courses = {index: face.courses for index, face in faces.items()}
    lights = roof_lights_asked(measured, slopes, courses, settings, scale)
    lights.sort(key=lambda light: light.slope.index)
    carried: list[int] = []
    for place, light in enumerate(lights):
        index = light.slope.index
        others = [(own.hole, own.where) for own in lights[:place] if own.slope.index == index]
        if light.flat:
            mass = lids[index][1]
            require_lid_room(light, lid_bore(masses[mass], settings), others, scale)
            carried.append(mass)
            continue
        face = faces[index]
        taken = [*((hole, "a chimney") for hole in face.holes_mm), *others]
        outlines = face.face.outline_mm, face.face.flat_mm
        require_light_room(light, outlines, taken, settings.roof.ridge != "none", scale)
        under = mass_under(light, masses, face.depth_mm, scale, settings.filament.fit_mm)
        carried.append(next(k for k, mass_ in enumerate(masses) if mass_ is under))
    return tuple(lights), tuple(carried)


def with_lights(face: RoofFace, lights: Sequence[RoofLight], settings: Settings) -> RoofFace:
    """Cut the holes of roof lights into a roof skin, and lay the lead round them."""
    own = tuple(light for light in lights if light.slope.index == face.slope.index)
    if not own:
        return face
    holes = (*face.holes_mm, *(light.hole for light in own))
    lead = (*face.lead_mm, *(light.lead(settings, face.scale) for light in own))
    return replace(face, holes_mm=holes, lead_mm=lead, lights=own)


def _lids(
    structure: Structure, masses: Sequence[MassStack], settings: Settings, scale: Scale
) -> dict[int, tuple[Slope, int]]:
    """Flat roofs with a lid, each as a level slope at the height of the lid's top, and its mass."""
    found: dict[int, tuple[Slope, int]] = {}
    if not settings.lid.make:
        return found
    standing = [mass for mass in structure.masses if not mass.on_roof]
    for index, (mass, stack) in enumerate(zip(standing, masses, strict=True)):
        if not stack.slopes:
            top_m = lid_top_mm(stack, settings) / scale.mm_per_m
            found |= {place: (_level(structure.slopes[place], top_m), index) for place in mass.slopes}
    return found


def _level(slope: Slope, height_m: float) -> Slope:
    """A flat roof without its fall."""
    up = np.array([*slope.up[:2], 0.0]) / np.hypot(*slope.up[:2])
    origin = np.array([*slope.origin_m[:2], height_m])
    return replace(slope, normal=np.array([0.0, 0.0, 1.0]), up=up, origin_m=origin)
