"""A cable run that bends, settled on its wall: where it ends, what it lies on, and the pieces it is printed in."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from halfbat.errors import KitError
from halfbat.parts.bent_line import BentLine, Box
from halfbat.parts.cover_segments import Segment, part_of, segments
from halfbat.parts.wall_profile import levelled
from halfbat.surfaces.dressing import Proud
from halfbat.units import Scale, format_length

CHECKED_EACH_MM = 1.0
MOST_PIECES = 40
LEAST_PIECE_MM = 1.0
BESIDE_BEND_MM = 0.2
"""No piece ends nearer than this to a bend."""
_HAIR_MM = 2e-3


@dataclass(frozen=True, slots=True)
class WallRoom:
    """From which height to which a cover may run between two places along a wall.

    Parameters
    ----------
    foot_mm, top_mm : float
        The face of the wall, below its roof.
    kept_mm : float
        Its top below what stands out there.
    """

    foot_mm: float
    top_mm: float
    kept_mm: float


RoomAt = Callable[[tuple[float, float]], WallRoom]


def settled_line(line: BentLine, half_mm: float, room_at: RoomAt, scale: Scale, where: str) -> tuple[BentLine, float]:
    """End a line on its wall, and refuse one that leaves it.

    An end that stands upright is cut off at the foot of the wall and under what is at its top, as straight covers are.

    Parameters
    ----------
    line : BentLine
        As drawn.
    half_mm : float
        Half width with saddles.
    room_at : callable
        Room between two places along the wall.
    scale : Scale
        To name places at full size.
    where : str
        Name of the wall.

    Returns
    -------
    BentLine, float
        The line, and how much of it was left off under what stands out at the top of the wall, mm.

    Raises
    ------
    KitError
        It leaves the face of the wall, or rises into its roof.
    """
    points = list(line.points)
    bare = 0.0
    for end, after in ((0, 1), (-1, -2)):
        (u, v), (next_u, next_v) = points[end], points[after]
        if u != next_u:
            continue
        room = room_at((u - half_mm, u + half_mm))
        settled = max(v, room.foot_mm) if v < next_v else min(v, room.kept_mm)
        if (settled < next_v) != (v < next_v) or abs(settled - next_v) < LEAST_PIECE_MM:
            raise KitError(
                f"the cable run has no room for its last stretch at {_full(u, scale)}",
                where,
                f"bend it below {_full(max(room.kept_mm - LEAST_PIECE_MM, 0.0), scale)} up the wall there",
            )
        if v > settled and v >= room.kept_mm and room.top_mm > room.kept_mm:
            bare += min(v, room.top_mm) - settled
        points[end] = (u, settled)
    settled_points = BentLine(tuple(points))
    _require_on_wall(settled_points, half_mm, room_at, scale, where)
    return settled_points, bare


def _require_on_wall(line: BentLine, half_mm: float, room_at: RoomAt, scale: Scale, where: str) -> None:
    count = max(1, int(np.ceil(line.length_mm / CHECKED_EACH_MM)))
    for start, end in pairwise(np.linspace(0.0, line.length_mm, count + 1).tolist()):
        ring = line.part(start, end).band(half_mm)
        low, high = ring.min(axis=0), ring.max(axis=0)
        room = room_at((float(low[0]), float(high[0])))
        if low[1] < room.foot_mm - _HAIR_MM or high[1] > room.top_mm + _HAIR_MM:
            below = low[1] < room.foot_mm - _HAIR_MM
            what = "leaves the wall at its foot" if below else "rises over the top of the wall or into its roof"
            level = room.foot_mm + half_mm if below else room.top_mm - half_mm
            raise KitError(
                f"the cable run {what} {_full(float(low[0] + high[0]) / 2, scale)} along it",
                where,
                f"keep its middle {'over' if below else 'under'} {_full(max(level, 0.0), scale)} there",
            )


def bent_segments(line: BentLine, proud: Sequence[tuple[Box, float]], half_mm: float) -> tuple[Segment, ...]:
    """Part a line where the wall steps behind it, clear of its bends; see `halfbat.parts.cover_segments.segments`.

    Parameters
    ----------
    line : BentLine
        Settled.
    proud : sequence of (Box, float)
        What stands out of the wall, and how far.
    half_mm : float
        Half width with saddles.
    """
    zones = _closed_zones(line, half_mm)
    stretches = []
    for box, out in proud:
        for low, high in line.over(box, half_mm):
            start = min([low, *(zone[0] for zone in zones if zone[0] < low < zone[1])])
            end = max([high, *(zone[1] for zone in zones if zone[0] < high < zone[1])])
            stretches.append((start, end, out))
    found: tuple[Proud, ...] = levelled(stretches, line.length_mm)
    return segments(found, 0.0, line.length_mm)


def bent_pieces(
    line: BentLine, segment: Segment, half_mm: float, room_mm: tuple[float, float], *, turned: bool
) -> list[Segment]:
    """Return the pieces of a segment that the printer takes.

    Parameters
    ----------
    line : BentLine
        Settled; the segment is a stretch of it.
    segment : Segment
        On one level.
    half_mm : float
        Half width with saddles.
    room_mm : tuple of float
        Largest piece up the wall and along it, without a tab.
    turned : bool
        Whether the other way round does as well.
    """
    low, high = segment.low_mm, segment.high_mm
    pieces = [low, high]
    for count in range(1, MOST_PIECES + 1):
        inner = [_clear_of(low + (high - low) * k / count, line, half_mm) for k in range(1, count)]
        ends = [low, *(round(s, 3) for s in inner), high]
        if any(after - before < LEAST_PIECE_MM for before, after in pairwise(ends)) and count > 1:
            continue
        pieces = ends
        if all(_fits(line.part(a, b), half_mm, room_mm, turned=turned) for a, b in pairwise(ends)):
            break
    return [part_of(segment, a, b) for a, b in pairwise(pieces)]


def _fits(line: BentLine, half_mm: float, room_mm: tuple[float, float], *, turned: bool) -> bool:
    ring = line.band(half_mm)
    along, up = np.ptp(ring, axis=0).tolist()
    ways = [(up, along), (along, up)] if turned else [(up, along)]
    return any(a <= room_mm[0] + 1e-6 and b <= room_mm[1] + 1e-6 for a, b in ways)


def _clear_of(s: float, line: BentLine, half_mm: float) -> float:
    """Move a place along a line out of its bends, to the nearer end of one."""
    for low, high in _closed_zones(line, half_mm):
        if low < s < high:
            return low if s - low < high - s else high
    return s


def _closed_zones(line: BentLine, half_mm: float) -> list[tuple[float, float]]:
    """Stretches of a line that its bends take up; those of one rounded bend are one."""
    found: list[tuple[float, float]] = []
    for start, end in line.zones(half_mm):
        low, high = start - BESIDE_BEND_MM, end + BESIDE_BEND_MM
        if found and low < found[-1][1] + BESIDE_BEND_MM:
            found[-1] = (found[-1][0], high)
        else:
            found.append((low, high))
    return found


def _full(length_mm: float, scale: Scale) -> str:
    return format_length(round(length_mm / scale.mm_per_m, 2))
