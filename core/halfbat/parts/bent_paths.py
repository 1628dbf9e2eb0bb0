"""The path that a maker draws for a cable run: read at model size, and refused where no cover or seam can follow it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import combinations, pairwise
from typing import Protocol

from halfbat.errors import KitError
from halfbat.parts.bent_line import BentLine, Point, apart_mm, plain_points, rounded, turn_deg
from halfbat.parts.covers import SADDLE_BEYOND_MM
from halfbat.settings import Settings
from halfbat.settings.paths import FOOT, TOP, path_points
from halfbat.surfaces.chosen import length_in_bricks_m
from halfbat.units import Scale, format_length

SHARPEST_DEG = 120.0
"""A cable turns no further than this at one bend (common practice, no source)."""
BEND_RADIUS_WIDTHS = 1.5
"""Radius of the middle of a bend, in widths of the cover (our own choice, no source)."""
INNER_RADIUS_MM = 0.1
"""What is left of the radius on the inner side of a rounded bend; a tighter one is mitred."""
LEAST_LEG_MM = 0.2
"""Straight between two bends, on the inner side of the cover."""
CLEAR_MM = 0.2
SHORTEST_PATH_MM = 3.0
SAME_MM = 0.02
_AT_END_MM = 0.05


class OnWall(Protocol):
    """What has a place along its wall and may have a path on it."""

    @property
    def at(self) -> str:
        """Place of its foot."""

    @property
    def path(self) -> str:
        """Its corners as text; empty where it goes straight up."""


def path_on_wall(
    request: OnWall, settings: Settings, scale: Scale, top_mm: Callable[[float], float], where: str
) -> tuple[Point, ...]:
    """Read the path of a request at model size.

    Parameters
    ----------
    request : OnWall
        Its lengths are full size.
    settings, scale
        For lengths in bricks and courses, and the scale.
    top_mm : callable
        Height of the wall at a place along it, mm.
    where : str
        Name for refusals.

    Returns
    -------
    tuple of (float, float)
        Corners along and up the wall, mm; none for a run that goes straight up from the foot of the wall to its top.

    Raises
    ------
    KitError
        A length cannot be read, or ``at`` is another place than the path begins at.
    """
    points = path_points(request.path, where)
    if not points:
        return ()
    corners: list[Point] = []
    for along, up in points:
        u = _mm(along, settings, scale, where)
        v = {FOOT: 0.0, TOP: top_mm(u)}.get(up.lower())
        v = _mm(up, settings, scale, where) if v is None else v
        if corners:  # what is meant to be upright or level is so
            u, v = (
                before if abs(now - before) <= SAME_MM else now for before, now in zip(corners[-1], (u, v), strict=True)
            )
        corners.append((u, v))
    if abs(_mm(request.at, settings, scale, where) - corners[0][0]) > SAME_MM:
        raise KitError(
            f"the path begins at {points[0][0]} and the run stands at {request.at}",
            where,
            "give both the same place, or leave 'at' out",
        )
    kept = plain_points(corners)
    (u0, v0), (u1, v1) = kept[0], kept[-1]
    upright = len(kept) == 2 and abs(u0 - u1) <= SAME_MM
    if upright and min(v0, v1) <= _AT_END_MM and max(v0, v1) >= top_mm(u0) - _AT_END_MM:
        return ()
    return kept


def _mm(text: str, settings: Settings, scale: Scale, where: str) -> float:
    try:
        return scale.to_mm(length_in_bricks_m(text, settings.brick))
    except KitError as error:
        raise KitError(error.what, where, error.remedy) from None


def bent_line(points: Sequence[Point], width_mm: float, scale: Scale, where: str) -> BentLine:
    """Return the line a cover follows along a path, its bends rounded where there is room.

    Parameters
    ----------
    points : sequence of (float, float)
        Corners, from `path_on_wall`.
    width_mm : float
        Of the cover without its saddles.
    scale : Scale
        To name places at full size.
    where : str
        Name for refusals.

    Raises
    ------
    KitError
        The path is too short, bends too sharply or in too little room, or comes too near to itself.
    """
    half = width_mm / 2
    if len(points) < 2 or BentLine(tuple(points)).length_mm < SHORTEST_PATH_MM:
        least = format_length(SHORTEST_PATH_MM / scale.mm_per_m)
        raise KitError("a cable run is too short to be made", where, f"make it at least {least} long at this scale")
    corners = BentLine(tuple(points))
    for corner, (before, after) in zip(points[1:-1], pairwise(corners.directions), strict=True):
        if turn_deg(before, after) > SHARPEST_DEG:
            raise KitError(
                f"the cable run turns back too sharply {_at(corner, scale)}",
                where,
                f"let it turn by at most {SHARPEST_DEG:g} degrees at each bend",
            )
    _require_room(corners, half, scale, where)
    return rounded(points, BEND_RADIUS_WIDTHS * width_mm, half + INNER_RADIUS_MM)


def _require_room(line: BentLine, half_mm: float, scale: Scale, where: str) -> None:
    """Refuse legs too short to be mitred, and legs that meet others of the same run."""
    zones = [(0.0, 0.0), *line.zones(half_mm), (line.length_mm, line.length_mm)]
    for (start, end), corner in zip(pairwise(zones), line.points[1:], strict=True):
        short = LEAST_LEG_MM - (end[0] - start[1])
        if short > 0:
            raise KitError(
                f"the cable run has too little straight before {_at(corner, scale)}",
                where,
                f"move the bend {_full(short, scale)} further on, or leave it out",
            )
    least = 2 * (half_mm + SADDLE_BEYOND_MM) + CLEAR_MM
    legs = list(pairwise(line.points))
    ways = line.directions
    turns = [a[0] * b[1] - a[1] * b[0] for a, b in pairwise(ways)]
    for one, other in combinations(range(len(legs)), 2):
        if other == one + 1 or (other == one + 2 and turns[one] * turns[one + 1] <= 0):
            continue  # they meet at a bend, or lie on two sides of the leg between them
        if apart_mm(legs[one], legs[other]) < least:
            raise KitError(
                f"the cable run meets itself near {_at(legs[other][0], scale)}",
                where,
                f"keep its stretches at least {_full(least, scale)} apart at this scale",
            )


def require_seam(points: Sequence[Point], top_mm: float, scale: Scale, where: str) -> None:
    """Refuse a path under which a wall cannot be split.

    Parameters
    ----------
    points : sequence of (float, float)
        Corners, from `path_on_wall`.
    top_mm : float
        Height of the wall where the path ends.
    scale, where
        As for `bent_line`.

    Raises
    ------
    KitError
        It does not go from the foot of the wall to its top, leads down, or does not begin and end upright.
    """
    remedy = "lead it from the foot of the wall up to its top, or ask for no seam under it"
    (_, low), (_, high) = points[0], points[-1]
    if low > _AT_END_MM or high < top_mm - _AT_END_MM:
        end = "begins above the foot" if low > _AT_END_MM else "ends below the top"
        raise KitError(f"no seam can lie under a cable run that {end} of the wall", where, remedy)
    for before, after in pairwise(points):
        if after[1] < before[1] - SAME_MM / 2:
            text = f"no seam can lie under a cable run that leads down again {_at(before, scale)}"
            raise KitError(text, where, remedy)
    for before, after in (points[:2], points[-2:]):
        if abs(after[0] - before[0]) > SAME_MM / 2:
            raise KitError(
                "no seam can lie under a cable run that does not begin and end upright",
                where,
                "let its first and its last stretch go straight up",
            )


def _at(point: Point, scale: Scale) -> str:
    return f"{_full(point[0], scale)} along the wall, {_full(max(point[1], 0.0), scale)} up"


def _full(length_mm: float, scale: Scale) -> str:
    return format_length(round(length_mm / scale.mm_per_m, 3))
