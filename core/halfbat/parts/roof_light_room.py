"""Whether there is room for a roof light where it is asked for."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import EdgeKind
from halfbat.building.wall import wall_letter
from halfbat.errors import KitError
from halfbat.parts.chimneys import FIT_MM
from halfbat.parts.masses import MassStack
from halfbat.parts.outlines import Outline, area_mm2, set_back
from halfbat.parts.roof_light_sites import BETWEEN_MM, RoofLight
from halfbat.surfaces.roofing.ridges import ANGLE_WING_M
from halfbat.units import Scale

Array = NDArray[np.float64]
WEB_MM = 1.2
"""Least width of skin between a roof light and an edge of it."""
_EXACT_MM2 = 0.03
"""Sides that lean are cut on a grid, by which areas differ a little."""


def require_light_room(
    light: RoofLight,
    outlines: tuple[Outline, Outline],
    taken: Sequence[tuple[Array, str]],
    ridge: bool,
    scale: Scale,
) -> None:
    """Refuse a roof light that has no room in its skin.

    Parameters
    ----------
    light : RoofLight
        On a pitched slope.
    outlines : tuple of ndarray (K, 2)
        Of the skin's face, and of its back where that is flat.
    taken : sequence of (ndarray (K, 2), str)
        Holes for chimneys and other roof lights, and what each is called.
    ridge : bool
        Whether ridge and hip tiles lie on the edges.
    scale : Scale
        How small.

    Raises
    ------
    KitError
        It reaches over an edge, or stands too near one or another thing.
    """
    slope, letter = light.slope, wall_letter(light.slope.index)
    if not within(light.ring(), [slope.outline_m * scale.mm_per_m]):
        raise KitError(f"it does not lie wholly on slope {letter}", light.where, "move it, or make it smaller")
    if not within(light.ring(FIT_MM + WEB_MM), [outlines[0]]) or not within(light.ring(WEB_MM), [outlines[1]]):
        raise KitError(f"it lies too near an edge of slope {letter}", light.where, "move it inward, or make it smaller")
    wing = scale.to_mm(ANGLE_WING_M) if ridge else 0.0
    clear = [wing if edge.kind in (EdgeKind.RIDGE, EdgeKind.HIP) else 0.0 for edge in slope.edges]
    if not within(light.ring(), [set_back(slope.outline_m * scale.mm_per_m, clear)]):
        raise KitError(
            "it runs into the ridge or hip tiles", light.where, "move it down the slope or away from the hip"
        )
    _require_apart(light, taken)


def require_lid_room(
    light: RoofLight, bore: Sequence[Outline], taken: Sequence[tuple[Array, str]], scale: Scale
) -> None:
    """Refuse a roof light that does not lie wholly within the lip of a lid, or stands too near another.

    Raises
    ------
    KitError
        It has no room.
    """
    if not within(light.below(0.0, scale, 0.0), bore):
        raise KitError("it does not lie wholly within the walls", light.where, "move it inward, or make it smaller")
    _require_apart(light, taken)


def _require_apart(light: RoofLight, taken: Sequence[tuple[Array, str]]) -> None:
    for ring, name in taken:
        if area_mm2(light.ring(BETWEEN_MM), ring) < area_mm2(light.ring(BETWEEN_MM)) + area_mm2(ring) - _EXACT_MM2:
            raise KitError(f"it stands in {name}, or too near it", light.where, "move one of them")


def within(ring: Array, outlines: Sequence[Outline]) -> bool:
    """Whether a ring lies wholly in an area, given as rings with holes clockwise."""
    return area_mm2(*outlines, ring) <= area_mm2(*outlines) + _EXACT_MM2


def mass_under(
    light: RoofLight, masses: Sequence[MassStack], depth_mm: float, scale: Scale, fit_mm: float
) -> MassStack:
    """Return the mass whose roof carries a roof light.

    Parameters
    ----------
    light : RoofLight
    masses : sequence of MassStack
        Of the whole building.
    depth_mm : float
        Thickness of the skin of its slope.
    scale : Scale
        How small.
    fit_mm : float
        Play of a former on each side.

    Raises
    ------
    KitError
        Nothing is below a part of it, as at eaves that overhang.
    """
    ring = light.below(depth_mm, scale, 0.0)
    for mass in masses:
        if within(ring, mass.behind(fit_mm, fit_mm)):
            return mass
    raise KitError("it reaches out over a wall", light.where, "move it up the slope, or inward")
