"""The slopes of a building as places to put roof lights."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from halfbat.building.structure import Slope, Structure
from halfbat.building.wall import wall_letter
from halfbat.parts.roof_light_sites import light_length_m
from halfbat.parts.roof_skins import roof_courses
from halfbat.parts.roofs import is_pitched, masses_left_out
from halfbat.settings import RoofLightRequest, Settings
from halfbat.units import Scale

Array = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class SlopeSite:
    """One slope or flat roof, full size.

    Parameters
    ----------
    slope : Slope
        As measured on the mesh.
    gauge_m : float or None
        Distance of its courses; None where it has none.
    settings : Settings
        For lengths in courses.
    """

    slope: Slope
    gauge_m: float | None
    settings: Settings

    @property
    def letter(self) -> str:
        """Its name."""
        return wall_letter(self.slope.index)

    def frame(self) -> Array:
        """Return the rigid matrix from the slope's own frame to the building's, shape (4, 4), metres.

        x runs along the eaves to the right seen from outside, y into the roof, z up the slope; the origin is its left
        end on the eaves.
        """
        slope, matrix = self.slope, np.eye(4)
        matrix[:3, 0], matrix[:3, 1], matrix[:3, 2] = slope.along, -slope.normal, slope.up
        matrix[:3, 3] = slope.origin_m
        return matrix

    def length_m(self, text: str) -> float:
        """Read a full-size length, which may count courses of the covering, metres.

        Raises
        ------
        KitError
            When the text is no length.
        """
        return light_length_m(text, self.gauge_m, self.settings, f"slope {self.letter}")


def slope_sites(structure: Structure, settings: Settings, scale: Scale) -> tuple[SlopeSite, ...]:
    """Return the slopes that can carry a roof light.

    Parameters
    ----------
    structure : Structure
        As measured on the mesh.
    settings : Settings
        Covering and scale, snapped to the printers.
    scale : Scale
        How small.
    """
    on_roof = {index for mass in masses_left_out(structure) for index in mass.slopes}
    found = []
    for slope in structure.slopes:
        if slope.index in on_roof:
            continue
        courses = roof_courses(slope, settings, scale) if is_pitched(slope) else None
        gauge = None if courses is None else courses.gauge_mm / scale.mm_per_m
        found.append(SlopeSite(slope, gauge, settings))
    return tuple(found)


def light_moved(
    site: SlopeSite, request: RoofLightRequest, along_m: float, up_m: float, *, snap: bool
) -> tuple[float, float]:
    """Return where a roof light stands whose middle and foot are put somewhere on a slope, kept within its box.

    Parameters
    ----------
    site : SlopeSite
        The slope.
    request : RoofLightRequest
        Of a row, the first is meant.
    along_m, up_m : float
        Where its middle and its foot are to be.
    snap : bool
        Put its foot on the nearest course of the covering.

    Raises
    ------
    KitError
        A size cannot be read.
    """
    width, height = site.length_m(request.width), site.length_m(request.height)
    low, high = site.slope.outline_m.min(axis=0), site.slope.outline_m.max(axis=0)
    if snap and site.gauge_m:
        up_m = round(up_m / site.gauge_m) * site.gauge_m
    along = min(max(along_m, low[0] + width / 2), max(high[0] - width / 2, low[0] + width / 2))
    return float(max(along, 0.0)), float(max(0.0, min(max(up_m, low[1]), high[1] - height)))


def light_rings(site: SlopeSite, request: RoofLightRequest) -> list[Array]:
    """Return the outside of each roof light of a row, (4, 2) from the middle of the first one's foot, metres."""
    width, height, spacing = (site.length_m(text) for text in (request.width, request.height, request.spacing))
    plain = np.array([[-width / 2, 0.0], [width / 2, 0.0], [width / 2, height], [-width / 2, height]])
    return [plain + np.array([spacing * place, 0.0]) for place in range(request.count)]
