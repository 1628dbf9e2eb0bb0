"""Cable runs that bend on a wall, as a maker bends them: read from the points of a line, moved, and judged."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar

import numpy as np
import numpy.typing as npt

from halfbat.errors import KitError
from halfbat.parts.bent_line import plain_points
from halfbat.parts.bent_paths import bent_line, path_on_wall, require_seam
from halfbat.settings import CableRunRequest, SeamRequest
from halfbat.settings.paths import FOOT, TOP, path_points, path_text
from halfbat.sites.lengths import told_length
from halfbat.sites.walls import Sites, WallSite
from halfbat.units import LengthStyle

Array = npt.NDArray[np.float64]
Bending = TypeVar("Bending", SeamRequest, CableRunRequest)
_SAME_M = 0.0006
END_M = 0.1
"""An end of a line nearer to the foot or the top of its wall than this is meant to be there."""


def bends(sites: Sites, request: object) -> bool:
    """Tell whether a thing on a wall may bend: a cable run, or a seam under one."""
    if isinstance(request, SeamRequest):
        return (request.hide or sites.settings.seam.hide) == "cable run"
    return isinstance(request, CableRunRequest)


def corners_m(sites: Sites, request: SeamRequest | CableRunRequest) -> Array:
    """Return the corners of a seam or cable run along and up its wall, shape (K, 2), metres.

    Raises
    ------
    KitError
        It names no wall, or its path cannot be read.
    """
    site, scale = sites.wall(request.wall), sites.scale
    points = path_on_wall(request, sites.settings, scale, lambda at: _top_mm(sites, site, at), f"wall {site.letter}")
    if not points:
        at = sites.length_m(request.at)
        return np.array([[at, 0.0], [at, site.top_m(at)]])
    return np.array(points) / scale.mm_per_m


def path_trouble(sites: Sites, request: SeamRequest | CableRunRequest, kind: str) -> str:
    """Say why a cable run cannot be made along its path; empty where nothing is known against it."""
    site, scale, corners = sites.wall(request.wall), sites.scale, corners_m(sites, request)
    low, high = corners[:, 0].min(), corners[:, 0].max()
    if not (low > 0 and high < site.wall.length_m):
        return f"It is off wall {site.letter}, {site.wall.length_m:.2f} m long."
    if not request.path:
        return ""
    if isinstance(request, SeamRequest) and not bends(sites, request):
        return "A seam bends under a cable run only: hide it under one, or clear its path."
    where = f"wall {site.letter}"
    points = [(float(u), float(v)) for u, v in corners * scale.mm_per_m]
    try:
        if kind == "seams" or (isinstance(request, CableRunRequest) and request.seam):
            require_seam(points, _top_mm(sites, site, points[-1][0]), scale, where)
        if len(points) > 2 or points[0][0] != points[-1][0]:
            bent_line(points, sites.settings.seam.cover_width_mm, scale, where)
    except KitError as error:
        return f"{error.what[:1].upper()}{error.what[1:]}: {error.remedy}."
    return ""


def bent(
    sites: Sites, request: Bending, line_m: npt.ArrayLike, *, snap: bool = True, style: LengthStyle = "metric"
) -> Bending:
    """Return a cable run or seam put along a line that was drawn on its wall.

    Parameters
    ----------
    sites : Sites
        The building.
    request : SeamRequest or CableRunRequest
        What was bent; stays on its wall.
    line_m : array_like, shape (K, 2)
        Points along and up the wall, metres; those off it are brought to its edge.
    snap : bool
        Set corners on the nearest perpend and course.
    style : {"metric", "mm", "imperial"}
        How lengths are written that were not written yet.
    """
    site = sites.wall(request.wall)
    points = _on_bricks(site, np.asarray(line_m, dtype=np.float64), snap=snap)
    kept = plain_points([(float(u), float(v)) for u, v in points], _SAME_M)
    if len(kept) < 2:
        kept = ((kept[0][0], 0.0), (kept[0][0], site.top_m(kept[0][0])))
    if kept[0][1] > kept[-1][1]:
        kept = kept[::-1]  # foot first
    return _with_path(sites, request, kept, style)


def moved_path(
    sites: Sites, request: Bending, to_m: tuple[float, float], *, snap: bool = True, style: LengthStyle = "metric"
) -> Bending:
    """Return a cable run that bends, moved as a whole so that it begins somewhere else.

    Parameters
    ----------
    sites : Sites
        The building.
    request : SeamRequest or CableRunRequest
        With a path, on the wall it is to be on.
    to_m : tuple of float
        Place of its first point along and up the wall.
    snap, style
        As for `bent`.

    Ends at the foot or the top of the wall stay there.
    """
    site = sites.wall(request.wall)
    corners = corners_m(sites, request)
    shift = np.array(to_m) - corners[0]
    if FOOT in {up.lower() for _, up in path_points(request.path)[:1]} or corners[0][1] < _SAME_M:
        shift[1] = 0.0
    points = corners + shift
    ends = [end for end in (0, -1) if _at_end(site, corners[end]) == TOP]
    for end in ends:
        points[end, 1] = site.top_m(float(points[end, 0]))
    if snap:
        # All corners by the same step, so that its shape stays.
        step = _nearest(points[:1, 0], site.perpends_m)[0] - points[0, 0], 0.0
        if shift[1]:
            step = step[0], _nearest(points[:1, 1], site.beds_m)[0] - points[0, 1]
        points = points + np.array(step)
    low, high = points[:, 0].min(), points[:, 0].max()
    points[:, 0] += max(0.0, -low) - max(0.0, high - site.wall.length_m)
    return _with_path(sites, request, [(float(u), max(float(v), 0.0)) for u, v in points], style)


def aligned(sites: Sites, request: Bending, style: LengthStyle = "metric") -> Bending:
    """Return a cable run whose path begins where its place says, after that was written anew."""
    if not request.path:
        return request
    first = path_points(request.path)[0][0]
    at = sites.length_m(request.at)
    if abs(sites.length_m(first) - at) < _SAME_M / 10:
        return request
    there = replace(request, at=first)
    found = moved_path(sites, there, (at, float(corners_m(sites, there)[0][1])), snap=False, style=style)
    (_, up), *rest = path_points(found.path)
    return replace(found, at=request.at, path=path_text([(request.at, up), *rest]))


def _on_bricks(site: WallSite, points: Array, *, snap: bool) -> Array:
    """Bring points onto a wall, and onto its bricks."""
    along, up = np.clip(points[:, 0], 0.0, site.wall.length_m), np.maximum(points[:, 1], 0.0)
    if snap:
        along, up = _nearest(along, site.perpends_m), _nearest(up, site.beds_m)
    near = max(END_M, float(site.beds_m[1]) / 2 if snap and len(site.beds_m) > 1 else 0.0)
    tops = np.array([site.top_m(float(at)) for at in along])
    for end in (0, -1):
        if points[end, 1] < near:
            up[end] = 0.0
        elif points[end, 1] > tops[end] - near:
            up[end] = tops[end]
    return np.column_stack([along, np.minimum(up, tops)])


def _nearest(values: Array, lines: Array) -> Array:
    if not len(lines):
        return values
    return np.asarray(lines[np.abs(values[:, None] - lines).argmin(axis=1)])


def _at_end(site: WallSite, corner: Array) -> str:
    """Say whether a corner is at the foot or the top of its wall."""
    if corner[1] < _SAME_M:
        return FOOT
    return TOP if corner[1] > site.top_m(float(corner[0])) - _SAME_M else ""


def _with_path(sites: Sites, request: Bending, points: Sequence[tuple[float, float]], style: LengthStyle) -> Bending:
    """Write corners into a request, the way its lengths were written before."""
    site = sites.wall(request.wall)
    before = path_points(request.path)
    at = told_length(sites, points[0][0], request.at, style)
    upright = len(points) == 2 and abs(points[0][0] - points[1][0]) < _SAME_M
    ends = [_at_end(site, np.array(points[end])) for end in (0, -1)]
    if upright and ends == [FOOT, TOP]:
        return replace(request, at=at, path="")
    told: list[tuple[str, str]] = []
    for number, (along, up) in enumerate(points):
        was = before[number] if number < len(before) else (request.at, "12 courses")
        high = _at_end(site, np.array((along, up))) if number in (0, len(points) - 1) else ""
        words = told_length(sites, along, was[0], style), high or _told_height(sites, up, was[1], style)
        if told and abs(along - points[number - 1][0]) < _SAME_M:
            words = told[-1][0], words[1]
        elif told and abs(up - points[number - 1][1]) < _SAME_M and not high:
            words = words[0], told[-1][1]
        told.append(words if told else (at, words[1]))
    return replace(request, at=at, path=path_text(told))


def _told_height(sites: Sites, up_m: float, was: str, style: LengthStyle) -> str:
    return told_length(sites, up_m, "12 courses" if was.lower() in (FOOT, TOP) else was, style)


def _top_mm(sites: Sites, site: WallSite, at_mm: float) -> float:
    return sites.scale.to_mm(site.top_m(at_mm / sites.scale.mm_per_m))
