"""Which stretches the courses of each wall have, and in which phase each meets the corners at its ends."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from halfbat.building.meetings import SAME_PLACE_M, Meeting, meetings, spot_m, upright_edges
from halfbat.building.structure import FaceOfWall
from halfbat.settings import Settings
from halfbat.surfaces import End as Stop
from halfbat.surfaces.chosen import chosen_bond, chosen_format
from halfbat.surfaces.phases import BondedStretch, WallBond, check_quoin, end_at, settled_phases
from halfbat.surfaces.stretches import Course, Stretch
from halfbat.units import Scale

Array = NDArray[np.float64]
_UPRIGHT_MM = 1e-3
_NEAR_M = 0.02


@dataclass(frozen=True, slots=True, eq=False)
class BondedWall:
    """How the bond runs over a wall.

    Parameters
    ----------
    bond : WallBond
        At the wall's own two ends, over the greatest part of their height.
    courses : tuple of tuple of Stretch
        Of each course, bottom first.
    """

    bond: WallBond
    courses: tuple[Course, ...]


@dataclass(frozen=True, slots=True)
class _Edge:
    """Where a course ends: a place along the wall, the number of its corner, and what stands there."""

    at_m: float
    corner: int
    end: Stop


_Spans = tuple[tuple[_Edge, _Edge], ...]


def bonded_walls(
    walls: Sequence[FaceOfWall],
    outlines_mm: Mapping[int, Array],
    middles_mm: Sequence[Array],
    settings: Settings,
    scale: Scale,
) -> dict[int, BondedWall]:
    """Settle the bond of all walls together.

    A course runs between the corners that are there at its height: where a lower roof leans on a wall in line with it,
    the courses above turn the corner of the higher part, those below run on. Behind a wall that stands before it, a
    wall's own courses run on unseen.

    Parameters
    ----------
    walls : sequence of FaceOfWall
        Those that get skins.
    outlines_mm : mapping of int to ndarray (K, 2)
        Outline of each in its own frame, model size.
    middles_mm : sequence of ndarray (C,)
        Middle height of each course of each wall, in their order.
    settings, scale
        What the maker chose, and how small.

    Returns
    -------
    dict of int to BondedWall
        By the index of the wall.

    Raises
    ------
    KitError
        There is no such first quoin.
    """
    seams = _Corners(walls, scale)
    spans = {
        wall.index: tuple(_spans(wall, outlines_mm[wall.index], float(middle), seams, scale) for middle in middles)
        for wall, middles in zip(walls, middles_mm, strict=True)
    }
    ends = {wall.index: seams.own_ends(wall) for wall in walls}
    phases = _phases(walls, spans, ends, seams, settings, scale)
    return {
        wall.index: BondedWall(
            WallBond(
                phases[ends[wall.index][0].corner],
                1 - phases[ends[wall.index][1].corner],
                (ends[wall.index][0].end, ends[wall.index][1].end),
            ),
            tuple(_course(course, phases, wall, outlines_mm[wall.index], scale) for course in spans[wall.index]),
        )
        for wall in walls
    }


class _Corners:
    """All upright lines in plan at which walls meet or end, numbered, and what meets at each."""

    def __init__(self, walls: Sequence[FaceOfWall], scale: Scale) -> None:
        self._scale = scale
        self._walls = {wall.index: wall for wall in walls}
        self.met: list[Meeting] = meetings(walls)
        self._spots: list[Array] = []

    def number(self, wall: FaceOfWall, at_m: float) -> int:
        """Number of the corner at a place of a wall."""
        spot = spot_m(wall, at_m)
        for number, known in enumerate(self._spots):
            if np.hypot(*(known - spot)) <= SAME_PLACE_M:
                return number
        self._spots.append(spot)
        return len(self._spots) - 1

    def meetings_of(self, wall: FaceOfWall, at_m: float, right: bool) -> list[Meeting]:
        """Meetings of a wall at one place of it, where it ends or where it starts."""
        sides = [(one, one.before if right else one.after) for one in self.met]
        return [one for one, edge in sides if edge.wall == wall.index and abs(edge.at_m - at_m) <= SAME_PLACE_M]

    def own_ends(self, wall: FaceOfWall) -> tuple[_Edge, _Edge]:
        """The two ends of a wall, by what meets it there over the greatest height."""
        found = []
        for at_m, right in ((0.0, False), (wall.length_m, True)):
            met = self.meetings_of(wall, at_m, right)
            longest = max(met, key=lambda one: one.high_m - one.low_m, default=None)
            end = end_at(longest.corner_deg) if longest else Stop.STOPPED
            found.append(_Edge(at_m, self.number(wall, at_m), end))
        return found[0], found[1]

    def edge(self, wall: FaceOfWall, at_m: float, height_m: float, right: bool) -> _Edge | None:
        """What a course ends at on an upright side of the outline; None where the wall runs on behind another."""
        outer = at_m > wall.length_m - _NEAR_M if right else at_m < _NEAR_M
        own = self.own_ends(wall)[right]
        met = self.meetings_of(wall, own.at_m if outer else at_m, right)
        here = next((one for one in met if one.low_m <= height_m <= one.high_m), None)
        if outer:
            return _Edge(own.at_m, own.corner, end_at(here.corner_deg)) if here else own
        edges = [one for one in upright_edges(wall) if one.right is right and abs(one.at_m - at_m) <= _NEAR_M]
        if not edges or (here is not None and end_at(here.corner_deg) is Stop.RETURN):
            return None
        if here is None and any(end_at(one.corner_deg) is Stop.RETURN for one in met):
            return None
        place = edges[0].at_m
        return _Edge(place, self.number(wall, place), end_at(here.corner_deg) if here else Stop.STOPPED)


def _spans(wall: FaceOfWall, outline_mm: Array, middle_mm: float, corners: _Corners, scale: Scale) -> _Spans:
    """Where a course runs from and to, from left to right; where nothing ends it on one side, the wall's own ends."""
    crossings = _crossings(outline_mm, middle_mm)
    height_m = middle_mm / scale.mm_per_m
    first, last = corners.own_ends(wall)
    edges: list[tuple[_Edge | None, _Edge | None]] = []
    for (left, left_upright), (right, right_upright) in zip(crossings[::2], crossings[1::2], strict=True):
        edges.append(
            (
                corners.edge(wall, left / scale.mm_per_m, height_m, False) if left_upright else None,
                corners.edge(wall, right / scale.mm_per_m, height_m, True) if right_upright else None,
            )
        )
    if not edges:
        return ((first, last),)
    begin, found = edges[0][0] or first, []
    for (_, end), (start, _) in pairwise(edges):
        # Bricks go on over a gap that has no upright corner on both sides.
        if end is not None and start is not None and end.at_m < start.at_m:
            found.append((begin, end))
            begin = start
    found.append((begin, edges[-1][1] or last))
    return tuple(found)


def _crossings(outline_mm: Array, height_mm: float) -> list[tuple[float, bool]]:
    """Where a level line crosses an outline, from left to right, and whether an upright side does."""
    found = []
    for a, b in zip(outline_mm, np.roll(outline_mm, -1, axis=0), strict=True):
        if (a[1] > height_mm) != (b[1] > height_mm):
            share = (height_mm - a[1]) / (b[1] - a[1])
            found.append((float(a[0] + share * (b[0] - a[0])), bool(abs(a[0] - b[0]) < _UPRIGHT_MM)))
    return sorted(found)


def _phases(
    walls: Sequence[FaceOfWall],
    spans: Mapping[int, tuple[_Spans, ...]],
    ends: Mapping[int, tuple[_Edge, _Edge]],
    corners: _Corners,
    settings: Settings,
    scale: Scale,
) -> dict[int, int]:
    stretches = []
    for wall in walls:
        courses = spans[wall.index]
        counted: dict[tuple[_Edge, _Edge], int] = {ends[wall.index]: 0}
        for pair in (pair for course in courses for pair in course):
            counted[pair] = counted.get(pair, 0) + 1
        for (left, right), count in counted.items():
            length, weight = scale.to_mm(right.at_m - left.at_m), count / max(1, len(courses))
            stretches.append(BondedStretch(left.corner, right.corner, length, (left.end, right.end), weight))
    fixed: dict[int, int] = {}
    for ring in rings(walls):
        quoin = settings.brick.first_quoin % len(ring) if fixed else settings.brick.first_quoin
        check_quoin(quoin, len(ring))
        fixed.setdefault(ends[ring[quoin].index][0].corner, 0)
    brick, bond = chosen_format(settings.brick), chosen_bond(settings.brick)
    limit_m = settings.brick.perpend_limit_mm / 1000
    return settled_phases(stretches, fixed, bond, brick, scale, perpend_limit_m=limit_m)


def _course(course: _Spans, phases: Mapping[int, int], wall: FaceOfWall, outline_mm: Array, scale: Scale) -> Course:
    """Lay down a course's stretches at model size; the wall's own ends are those of its outline."""
    length_mm = float(outline_mm[:, 0].max())

    def at(edge: _Edge) -> float:
        return length_mm if edge.at_m > wall.length_m - _NEAR_M else scale.to_mm(edge.at_m)

    return tuple(
        Stretch(at(left), at(right), (phases[left.corner], 1 - phases[right.corner]), (left.end, right.end))
        for left, right in course
    )


def rings(walls: Sequence[FaceOfWall]) -> list[list[FaceOfWall]]:
    """Rings of walls that meet corner to corner."""
    by_index = {wall.index: wall for wall in walls}
    found: list[list[FaceOfWall]] = []
    seen: set[int] = set()
    for first in walls:
        ring, here = [first], first
        while here.right is not None and here.right.wall in by_index.keys() - {wall.index for wall in ring}:
            here = by_index[here.right.wall]
            ring.append(here)
        closed = here.right is not None and here.right.wall == first.index and len(ring) > 2
        if closed and not seen & {wall.index for wall in ring}:
            found.append(ring)
            seen |= {wall.index for wall in ring}
    return found
