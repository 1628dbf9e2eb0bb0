"""Where roof lights stand on their slopes, and whether there is room for them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import Slope, Structure
from halfbat.building.wall import wall_letter
from halfbat.errors import KitError
from halfbat.parts.chimneys import FIT_MM
from halfbat.parts.masses import SEAT_MM
from halfbat.parts.tabs import box
from halfbat.settings import ResinProcess, RoofLightRequest, Settings
from halfbat.settings.openings import parse_panes
from halfbat.surfaces.chosen import chosen_format
from halfbat.surfaces.roofing.courses import Courses
from halfbat.surfaces.roofing.coverings import Family, chosen_covering
from halfbat.units import Scale, parse_length

Array = NDArray[np.float64]
APRON_M = 0.15
"""Lead below a roof light: aprons are dressed over the tiles by at least 150 mm (leadworkers' fitting guides)."""
HEAD_M = 0.10
"""Of the back gutter above it, what is not under the tiles (common practice, no source)."""
SOAKED_M = 0.05
"""Lead seen at the sides where soakers lie under slates or plain tiles (common practice, no source)."""
COVER_FLASHING_M = 0.15
"""The same over single-lap tiles and sheets: at least 150 mm (the same guides)."""
FRAME_M = {"cast iron": 0.045, "patent glazing": 0.05, "modern": 0.09}
"""Width of the frame of each style (common practice, no source)."""
USUAL_PANE_M = {"cast iron": 0.30, "patent glazing": 0.61}
"""Distance of glazing bars: 2 ft is the usual largest of patent glazing (common practice, no source)."""
SEAT_SIDE_MM = 0.6
"""Least width on which a frame lies."""
SEAT_MOST_MM = 0.95
"""Most of it: with the fit beside it, a wider ledge would be a thin plate of its own at its corners."""
LEDGE_MM = 0.6
"""Thickness of the ledge in a skin that a roof light lies on."""
BETWEEN_MM = 1.6
"""Least width of skin between two roof lights, or one and a chimney."""
LEAST_GLASS_MM = 0.8
HELD_SHARE = 0.5
"""A wall held on two sides may be half as thick: 0.4 against 0.8 mm (making notes, section 1)."""
LEAST_OPEN_MM = 1.6
"""A former's opening smaller than this closes when it is printed."""
UNDER_MM = 0.8


@dataclass(frozen=True, slots=True, eq=False)
class RoofLight:
    """A roof light, settled, in the frame of its slope at model size.

    Parameters
    ----------
    slope : Slope
        It stands on.
    low_mm, high_mm : ndarray (2,)
        Corners of the outside of its frame.
    frame_mm : float
        Width of the frame.
    style : str
        One of `halfbat.settings.roof_lights.ROOF_LIGHT_STYLES`.
    panes : tuple of int
        Columns and rows.
    solid : bool
        Whether its panes are closed.
    flat : bool
        It stands on the lid of a flat roof.
    where : str
        What to call it in a refusal.
    """

    slope: Slope
    low_mm: Array
    high_mm: Array
    frame_mm: float
    style: str
    panes: tuple[int, int]
    solid: bool
    flat: bool
    where: str

    def ring(self, grown_mm: float = 0.0) -> Array:
        """Corners of the outside of its frame, anticlockwise."""
        (u0, v0), (u1, v1) = self.low_mm - grown_mm, self.high_mm + grown_mm
        return box(u0, v0, u1, v1)

    @property
    def hole(self) -> Array:
        """What it takes up of the skin."""
        return self.ring(FIT_MM)

    @property
    def seat_side_mm(self) -> float:
        """Width of the ledge that its frame lies on."""
        return min(max(self.frame_mm, SEAT_SIDE_MM), SEAT_MOST_MM)

    def open_ring(self) -> Array | None:
        """Corners of the opening through the skin within that ledge; None where nothing is left of it."""
        room = self.high_mm - self.low_mm - 2 * self.seat_side_mm
        return self.ring(-self.seat_side_mm) if room.min() >= LEAST_GLASS_MM / 2 else None

    def lead(self, settings: Settings, scale: Scale) -> Array:
        """Outline of the lead round it: apron, sides and gutter."""
        covering = chosen_covering(settings.roof)
        soaked = covering is not None and covering.family is Family.DOUBLE_LAP
        side = scale.to_mm(SOAKED_M if soaked else COVER_FLASHING_M)
        (u0, v0), (u1, v1) = self.low_mm, self.high_mm
        return box(u0 - side, v0 - scale.to_mm(APRON_M), u1 + side, v1 + scale.to_mm(HEAD_M))

    def below(self, depth_mm: float, scale: Scale, inset_mm: float) -> Array:
        """Corners in plan of a ring inside its frame, at a depth square to the slope."""
        slope = self.slope
        ring = self.ring(-inset_mm)
        places = slope.origin_m * scale.mm_per_m + ring @ np.stack([slope.along, slope.up])
        return np.asarray((places - slope.normal * depth_mm)[:, :2])


def roof_lights_asked(
    measured: Structure,
    slopes: Mapping[int, Slope],
    courses: Mapping[int, Courses | None],
    settings: Settings,
    scale: Scale,
) -> list[RoofLight]:
    """Read the roof lights of the settings into model size, each of a row by itself.

    Parameters
    ----------
    measured : Structure
        The building as it was modelled: places count from the ends of its own slopes.
    slopes : mapping of int to Slope
        Those that can carry a roof light, drawn out beyond the walls, by index.
    courses : mapping of int to Courses or None
        Course lines of the pitched ones.
    settings : Settings
        What the maker asks for.
    scale : Scale
        How small.

    Raises
    ------
    KitError
        There is no such slope, or a length cannot be read.
    """
    lights = []
    for number, request in enumerate(settings.roof_lights, start=1):
        where = f"roof light {number}"
        slope = _slope(slopes, request, where)
        laid = courses.get(slope.index)
        gauge = None if laid is None else laid.gauge_mm / scale.mm_per_m
        at, up, width, height, spacing = (
            light_length_m(text, gauge, settings, where)
            for text in (request.at, request.up, request.width, request.height, request.spacing)
        )
        style = request.style
        panes = parse_panes(request.panes, where) if request.panes.strip() else usual_panes(style, width)
        frame = max(scale.to_mm(FRAME_M[style]), least_bar_mm(settings.resin))
        if min(width, height) * scale.mm_per_m < 2 * frame + LEAST_GLASS_MM:
            raise KitError("it is too small for a frame at this scale", where, "make it wider and higher")
        if request.count > 1 and spacing * scale.mm_per_m < width * scale.mm_per_m + BETWEEN_MM + 2 * FIT_MM:
            raise KitError("they stand too close in their row", where, "give a larger spacing")
        own = measured.slopes[slope.index]
        # The slope drawn out beyond the walls has another corner.
        shift = np.array([(own.origin_m - slope.origin_m) @ axis for axis in (slope.along, slope.up)])
        for place in range(request.count):
            low = (np.array([at - width / 2 + spacing * place, up]) + shift) * scale.mm_per_m
            high = low + np.array([width, height]) * scale.mm_per_m
            name = where if request.count == 1 else f"{where}, number {place + 1} of its row"
            solid, flat = request.glazing == "solid", slope.index not in courses
            lights.append(RoofLight(slope, low, high, frame, style, panes, solid, flat, name))
    return lights


def least_bar_mm(resin: ResinProcess) -> float:
    """Narrowest bar that is held at both its ends."""
    return HELD_SHARE * resin.min_wall_mm


def usual_panes(style: str, width_m: float) -> tuple[int, int]:
    """Return columns and rows of glass that a style has at a width."""
    every = USUAL_PANE_M.get(style)
    return (max(2, round(width_m / every)), 1) if every else (1, 1)


def light_length_m(text: str, gauge_m: float | None, settings: Settings, where: str) -> float:
    """Read a length on a slope, which may count courses of its covering or bricks, metres."""
    try:
        return parse_length(text, course_m=gauge_m, brick_m=chosen_format(settings.brick).stretcher_module_m)
    except KitError as error:
        if gauge_m is None and "course" in text:
            raise KitError("its slope has no courses to count", where, "write the length in metres or feet") from None
        raise KitError(error.what, where, error.remedy) from None


def seat_mm(base_mm: float, layer_mm: float) -> float:
    """Thickness of the ledge in a roof skin on which a roof light lies, whole layers, millimetres."""
    return float(np.ceil(min(LEDGE_MM, base_mm / 2) / layer_mm - 1e-6) * layer_mm)


@dataclass(frozen=True, slots=True, eq=False)
class Shaft:
    """What a roof light asks for in what it stands on.

    Parameters
    ----------
    ring_mm : ndarray (4, 2)
        Anticlockwise in plan, in the building's frame.
    plane : tuple of (float, float, float)
        Height of what it stands on there, ``a + b * x + c * y``.
    where : str
        Name of the roof light.
    """

    ring_mm: Array
    plane: tuple[float, float, float]
    where: str

    def moved(self, by: Array) -> Shaft:
        """Return it seen from another place in plan."""
        a, b, c = self.plane
        return replace(self, ring_mm=self.ring_mm - by, plane=(a + b * float(by[0]) + c * float(by[1]), b, c))


def shaft_of(light: RoofLight, depth_mm: float, scale: Scale) -> Shaft | None:
    """Return the opening under a roof light, None where it would be too small to print.

    Parameters
    ----------
    light : RoofLight
        Its frame lies round the opening.
    depth_mm : float
        Thickness of the skin of its slope.
    scale : Scale
        How small.
    """
    inset = light.seat_side_mm
    if light.solid:
        return None
    if (light.high_mm - light.low_mm - 2 * inset).min() < LEAST_OPEN_MM:
        return None
    slope = light.slope
    n, origin = slope.normal, slope.origin_m * scale.mm_per_m - slope.normal * depth_mm
    plane = (float(origin @ n / n[2]) - SEAT_MM, float(-n[0] / n[2]), float(-n[1] / n[2]))
    return Shaft(np.round(light.below(depth_mm, scale, inset), 3), plane, light.where)


def _slope(slopes: Mapping[int, Slope], request: RoofLightRequest, where: str) -> Slope:
    for slope in slopes.values():
        if wall_letter(slope.index) == request.slope:
            return slope
    names = ", ".join(wall_letter(index) for index in sorted(slopes))
    remedy = f"name one of the slopes {names}" if names else "leave it out"
    raise KitError(f"there is no slope {request.slope!r} with a roof to put it on", where, remedy)
