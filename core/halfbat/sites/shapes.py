"""What a thing looks like at its place, full size: outlines of openings, lines of seams and pipes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from halfbat.errors import KitError
from halfbat.parts.bent_paths import BEND_RADIUS_WIDTHS
from halfbat.parts.covers import SADDLE_ABOVE_MM, SADDLE_BEYOND_MM, SADDLE_LENGTH_MM
from halfbat.parts.downpipes import pipe_form
from halfbat.parts.inserts import REVEAL_M
from halfbat.parts.roof_light_room import within
from halfbat.settings import CableRunRequest, OpeningRequest, RoofLightRequest, SeamRequest
from halfbat.sites.paths import bends, corners_m, path_trouble
from halfbat.sites.slopes import SlopeSite, light_rings
from halfbat.sites.walls import Sites, WallSite
from halfbat.surfaces.opening_specs import opening_spec
from halfbat.surfaces.opening_units import OpeningUnits
from halfbat.surfaces.openings import opening_units

Array = npt.NDArray[np.float64]
LIGHT_DEPTH_M = 0.05
_MM_PER_M = 10.0
"""Areas are judged on a grid of small steps, so full size is made smaller for it."""


@dataclass(frozen=True, slots=True)
class CableLook:
    """How a cable run looks, full size, metres.

    Parameters
    ----------
    thick_m : float
        Width of the run.
    bend_m : float
        Radius of the middle of its bends.
    spacing_m : float
        Between saddles.
    saddle_m : tuple of float
        Size of a saddle across the run, out of the wall and along the run.
    """

    thick_m: float
    bend_m: float
    spacing_m: float
    saddle_m: tuple[float, float, float]


@dataclass(frozen=True, slots=True, eq=False)
class PlacedShape:
    """A thing at its place.

    Parameters
    ----------
    place : ndarray, shape (4, 4)
        Rigid matrix from the thing's frame to the building's, metres: x along the wall, y into it, z up; the origin is
        the middle of an opening's sill or of a roof light's foot, or the foot of a seam; of one that bends its first
        point. On a slope z runs up that.
    rings : tuple of ndarray, shape (K, 2)
        Outlines in x and z: the opening's hole first, then its head and sill. One open line for a seam or a pipe.
    depth_m : float
        How far the reveal of an opening reaches in.
    thick_m : float
        Width of what covers a seam; 0 for nothing.
    trouble : str
        Why it cannot be made like this; empty where nothing is known against it.
    cable : CableLook, optional
        How a cable run looks.
    """

    place: Array
    rings: tuple[Array, ...]
    depth_m: float = 0.0
    thick_m: float = 0.0
    trouble: str = ""
    cable: CableLook | None = None


def shape_of(sites: Sites, request: Any, where: str, kind: str) -> PlacedShape:  # noqa: ANN401 - of one of the lists
    """Return what a request looks like.

    Parameters
    ----------
    sites : Sites
        The building.
    request : OpeningRequest, SeamRequest, CoverRequest or RoofLightRequest
        The thing.
    where : str
        Name for refusals.
    kind : str
        Name of the list of the settings it is in.

    Raises
    ------
    KitError
        It names no wall, or a length cannot be read.
    """
    if isinstance(request, RoofLightRequest):
        return _roof_light(sites.slope(request.slope), request)
    site = sites.wall(request.wall)
    if isinstance(request, OpeningRequest):
        return _opening(sites, site, request, where)
    thick = cover_width_m(sites, request, kind)
    if isinstance(request, SeamRequest | CableRunRequest):
        corners = corners_m(sites, request)
        trouble = path_trouble(sites, request, kind)
        line = corners - corners[0]
        look = _cable_look(sites) if bends(sites, request) else None
        return PlacedShape(_placed(site, *corners[0].tolist()), (line,), thick_m=thick, trouble=trouble, cable=look)
    at = sites.length_m(request.at)
    line = np.array([[0.0, 0.0], [0.0, site.top_m(at)]])
    trouble = "" if 0 < at < site.wall.length_m else f"It is off wall {site.letter}, {site.wall.length_m:.2f} m long."
    return PlacedShape(_placed(site, at, 0.0), (line,), thick_m=thick, trouble=trouble)


def _cable_look(sites: Sites) -> CableLook:
    per_m, seam = sites.scale.mm_per_m, sites.settings.seam
    width = seam.cover_width_mm
    saddle = width + 2 * SADDLE_BEYOND_MM, 2 * (seam.cover_height_mm + SADDLE_ABOVE_MM), SADDLE_LENGTH_MM
    spacing = max(seam.saddle_spacing_m, 3 * SADDLE_LENGTH_MM / per_m)
    across, out, along = (size / per_m for size in saddle)
    return CableLook(width / per_m, BEND_RADIUS_WIDTHS * width / per_m, spacing, (across, out, along))


def cover_width_m(sites: Sites, request: Any, kind: str) -> float:  # noqa: ANN401 - a request of one of the lists
    """Return how wide at full size is what runs up the wall there; 0 where nothing covers a seam."""
    covers = {"downpipes": "downpipe", "cable_runs": "cable run"}
    cover = covers.get(kind) or request.hide or sites.settings.seam.hide
    if cover == "downpipe":
        return pipe_form(sites.settings, sites.scale).width_mm / sites.scale.mm_per_m
    return sites.settings.seam.cover_width_mm / sites.scale.mm_per_m if cover == "cable run" else 0.0


def _opening(sites: Sites, site: WallSite, request: OpeningRequest, where: str) -> PlacedShape:
    at, width, sill = (sites.length_m(text) for text in (request.at, request.width, request.sill_height))
    middle = np.array([at + width / 2, sill])
    try:
        spec = opening_spec(request, sites.settings.brick, sites.scale, where)
        units = opening_units(spec, site.masonry)
    except KitError as error:
        height = sites.length_m(request.height)
        plain = np.array([[-width / 2, 0.0], [width / 2, 0.0], [width / 2, height], [-width / 2, height]])
        text = f"{error.what[:1].upper()}{error.what[1:]}: {error.remedy}."
        return PlacedShape(_placed(site, *middle.tolist()), (plain,), REVEAL_M, trouble=text)
    rings = tuple(ring / sites.scale.mm_per_m - middle for ring in _outlines(units))
    return PlacedShape(_placed(site, *middle.tolist()), rings, REVEAL_M)


def _roof_light(site: SlopeSite, request: RoofLightRequest) -> PlacedShape:
    at, up = site.length_m(request.at), site.length_m(request.up)
    rings = light_rings(site, request)
    matrix = site.frame()
    matrix[:3, 3] += matrix[:3, 0] * at + matrix[:3, 2] * up
    ground = site.slope.outline_m * _MM_PER_M
    whole = all(within((ring + np.array([at, up])) * _MM_PER_M, [ground]) for ring in rings)
    trouble = "" if whole else f"It does not lie wholly on slope {site.letter}."
    return PlacedShape(matrix, tuple(rings), LIGHT_DEPTH_M, trouble=trouble)


def _outlines(units: OpeningUnits) -> list[Array]:
    return [units.outline, *(unit.ring for unit in units.units)]


def _placed(site: WallSite, along_m: float, up_m: float) -> Array:
    matrix = site.frame()
    matrix[:3, 3] += matrix[:3, 0] * along_m + matrix[:3, 2] * up_m
    return matrix
