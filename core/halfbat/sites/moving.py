"""What a thing says of its place after it was moved, snapped to the bricks and written as it was written before."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, TypeVar

import numpy as np
import numpy.typing as npt

from halfbat.settings import CableRunRequest, OpeningRequest, RoofLightRequest, SeamRequest
from halfbat.sites.lengths import told_length
from halfbat.sites.paths import moved_path
from halfbat.sites.slopes import SlopeSite, light_moved
from halfbat.sites.spots import Spot
from halfbat.sites.walls import Sites, WallSite
from halfbat.units import LengthStyle, format_length

Array = npt.NDArray[np.float64]
Request = TypeVar("Request", bound=Any)
_SAME_M = 0.0006


def moved(sites: Sites, request: Request, spot: Spot, *, snap: bool = True, style: LengthStyle = "metric") -> Request:
    """Return a request put at another place.

    Parameters
    ----------
    sites : Sites
        The building.
    request : OpeningRequest, SeamRequest, CoverRequest or RoofLightRequest
        What is moved; has ``at``, and ``wall`` or ``slope``.
    spot : Spot
        Where the middle of an opening's sill or of a roof light's foot, or a seam, is to be; of a run that bends its
        first point.
    snap : bool
        Put jambs, seams and pipes on the nearest perpend, and sills on the nearest course.
    style : {"metric", "mm", "imperial"}
        How lengths are written that were not written yet; others stay in bricks, courses, feet or metres.

    Raises
    ------
    KitError
        A size of the opening cannot be read.
    """
    if isinstance(request, RoofLightRequest):
        return _light_at(sites, request, spot, snap=snap, style=style)  # type: ignore[return-value]
    site = sites.wall(spot.wall)
    if isinstance(request, SeamRequest | CableRunRequest) and request.path:
        there: Any = replace(request, wall=spot.wall)
        bent: Request = moved_path(sites, there, (spot.along_m, spot.up_m), snap=snap, style=style)
        return bent
    if isinstance(request, OpeningRequest):
        left, sill = _opening_at(sites, site, request, spot, snap)
        told = {"sill_height": told_length(sites, sill, request.sill_height, style)}
    else:
        left, told = _line_at(site, spot, snap), {}
    changed: Request = replace(request, wall=spot.wall, at=told_length(sites, left, request.at, style), **told)
    return changed


def bend_m(line_m: npt.ArrayLike) -> float | None:
    """Return where most of a bent line up a wall stands, or None where it is straight and upright.

    Seams run straight up their walls, and so do downpipes; only cable runs and what lies under them may bend.

    Parameters
    ----------
    line_m : array_like, shape (K, 2)
        Its points from its foot, along the wall and up, metres.

    Returns
    -------
    float or None
        Middle of it along the wall by height, metres; of a line that is level the middle of its ends.
    """
    line = np.asarray(line_m, dtype=np.float64)
    if np.abs(line[:, 0]).max() < _SAME_M:
        return None
    rises = np.abs(np.diff(line[:, 1]))
    middles = (line[:-1, 0] + line[1:, 0]) / 2
    return float(middles @ rises / rises.sum()) if rises.sum() > _SAME_M else float(line[[0, -1], 0].mean())


def _light_at(
    sites: Sites, request: RoofLightRequest, spot: Spot, *, snap: bool, style: LengthStyle
) -> RoofLightRequest:
    site = sites.slope(spot.wall)
    at, up = light_moved(site, request, spot.along_m, spot.up_m, snap=snap)
    told_up = told_length(sites, up, request.up, style) if "course" not in request.up else _in_courses(site, up, style)
    return replace(request, slope=spot.wall, at=told_length(sites, at, request.at, style), up=told_up)


def _in_courses(site: SlopeSite, metres: float, style: LengthStyle) -> str:
    """Write a length in courses of the covering where it comes out even."""
    count = round(metres / site.gauge_m) if site.gauge_m else 0
    if site.gauge_m and abs(count * site.gauge_m - metres) < _SAME_M:
        return f"{count} course" + ("" if count == 1 else "s")
    return format_length(metres, style)


def _opening_at(sites: Sites, site: WallSite, request: OpeningRequest, spot: Spot, snap: bool) -> tuple[float, float]:
    """Return the left jamb and the sill of an opening, kept on its wall."""
    width, height = sites.length_m(request.width), sites.length_m(request.height)
    joint, edges = site.masonry.brick.joint_m, site.perpends_m
    pier = site.masonry.brick.stretcher_module_m / 2 - joint
    jambs = np.concatenate([edges + joint / 2, edges - joint / 2 - width]) if snap else None
    left = _between(spot.along_m - width / 2, pier, site.wall.length_m - width - pier, jambs)
    top = site.top_m(left + width / 2)
    return left, _between(spot.up_m, 0.0, top - height, site.beds_m if snap else None)


def _line_at(site: WallSite, spot: Spot, snap: bool) -> float:
    return _between(spot.along_m, 0.0, site.wall.length_m, site.perpends_m if snap else None)


def _between(value: float, low: float, high: float, lines: Array | None = None) -> float:
    """Keep a value between two, on the nearest of the lines there; without room, in the middle, but not below zero."""
    if low > high:
        return max(0.0, (low + high) / 2)
    if lines is not None:
        within = lines[(lines >= low - _SAME_M) & (lines <= high + _SAME_M)]
        if len(within):
            return max(0.0, float(within[np.argmin(np.abs(within - value))]))
    return min(max(value, low), high)
