"""A cable run that bends as a solid: a strip with sloping sides along its line, saddles, a tab and hollows.

In the frame of covers, x up the wall and y to the left; see `halfbat.parts.covers`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.bent_line import BentLine, Box, Point, from_box_mm
from halfbat.parts.covers import SADDLE_ABOVE_MM, SADDLE_BEYOND_MM, SADDLE_LENGTH_MM, SIDE_SHARE, Piece, tabbed_solid
from halfbat.parts.tabs import TAB_THICKNESS_MM, Tab, number_tab
from halfbat.settings import Settings
from halfbat.solids.grid import to_grid, to_mm
from halfbat.solids.solid import Solid
from halfbat.surfaces.dressing import Proud
from halfbat.units import Scale

Array = NDArray[np.float64]
_BEYOND_MM = 0.5
"""Hollows reach this far beyond the sides."""
_TAB_CLEAR_MM = 0.3
_LEVEL = 1e-9
#: Unit vector on the wall that a tab reaches along, for each number of quarters it is turned by.
_TAB_WAYS = {0: (0.0, -1.0), 1: (1.0, 0.0), 2: (0.0, 1.0), 3: (-1.0, 0.0)}


@dataclass(frozen=True, slots=True)
class BentRun:
    """A cable run that bends, in the frame of covers.

    Parameters
    ----------
    solid : Solid
        Its foot is the start of its line.
    saddles : int
        How many.
    tab_mm : tuple of float, optional
        Box of its tab along and up the wall; None where it has none.
    tab : Tab, optional
        That tab, in the frame of covers.
    """

    solid: Solid
    saddles: int
    tab_mm: Box | None
    tab: Tab | None = None


def build_bent_run(
    line: BentLine,
    scale: Scale,
    settings: Settings,
    number: str,
    *,
    at_foot: bool,
    lifted_mm: float = 0.0,
    proud: Sequence[Proud] = (),
    others: Sequence[BentLine] = (),
) -> BentRun:
    """Build a cable run along a line on the wall, or one piece of it.

    Parameters
    ----------
    line : BentLine
        Middle of the piece, in the wall's frame.
    scale, settings
        Spacing of saddles, size of the cover, resin process.
    number : str
        Engraved on its tab.
    at_foot : bool
        It begins at the foot of the wall, below which nothing is in the way of a tab.
    lifted_mm : float
        How far it stands out further than usual.
    proud : sequence of Proud
        Where the wall stands out behind it, by lengths along the line.
    others : sequence of BentLine
        Middles of the other pieces of the run, which its tab is to keep clear of.
    """
    width, height = settings.seam.cover_width_mm, settings.seam.cover_height_mm
    low, height = height * SIDE_SHARE + lifted_mm, height + lifted_mm
    half, origin = width / 2, line.points[0]
    held = [_saddle(line, s, half + SADDLE_BEYOND_MM) for s in saddle_places(line, scale, settings)]
    saddles = [Piece(_local(ring, origin), (height + SADDLE_ABOVE_MM, 0.0, 0.0)) for ring in held]
    layers = [_strip(line, half, (low, height)), saddles]
    reach = half + SADDLE_BEYOND_MM + _BEYOND_MM
    hollows = [
        ([_local(ring, origin) for ring in line.part(one.low_mm, one.high_mm).bands(-reach, reach)], one.out_mm)
        for one in proud
    ]
    tab, place = None, None
    if settings.mark.make:
        tab, place = _tab(line, others, number, half, settings, at_foot=at_foot)
    solid = tabbed_solid(layers, tab, hollows, min(low, TAB_THICKNESS_MM))
    return BentRun(solid, len(saddles), place, tab)


def saddle_places(line: BentLine, scale: Scale, settings: Settings) -> list[float]:
    """Return the lengths along a line at which saddles hold it: spread over each straight, clear of the bends."""
    spacing = max(scale.to_mm(settings.seam.saddle_spacing_m), 3 * SADDLE_LENGTH_MM)
    zones = line.zones(settings.seam.cover_width_mm / 2 + SADDLE_BEYOND_MM)
    ends = [0.0, *(end for zone in zones for end in zone), line.length_mm]
    places: list[float] = []
    for low, high in zip(ends[::2], ends[1::2], strict=True):
        if high - low >= 2 * SADDLE_LENGTH_MM:
            count = max(1, round((high - low) / spacing))
            places += (low + (np.arange(count) + 0.5) * ((high - low) / count)).tolist()
    return places


def _saddle(line: BentLine, s: float, half_mm: float) -> Array:
    return line.part(s - SADDLE_LENGTH_MM / 2, s + SADDLE_LENGTH_MM / 2).band(half_mm)


def _strip(line: BentLine, half: float, heights: tuple[float, float]) -> list[Piece]:
    """Return the front between the saddles: level in the middle, sloping down to both sides.

    The slopes are drawn as triangles, each a plane through its three corners on the grid, so that they meet at the
    bends whatever these are.
    """
    origin, flat = line.points[0], half / 3
    low, high = heights
    pieces = [Piece(_local(ring, origin), (high, 0.0, 0.0)) for ring in line.bands(-flat, flat)]
    for inner, outer in ((-flat, -half), (flat, half)):
        tops, feet = _local(line.beside(inner), origin), _local(line.beside(outer), origin)
        for k in range(len(tops) - 1):
            pieces.append(_triangle([tops[k], feet[k], feet[k + 1]], [high, low, low]))
            pieces.append(_triangle([tops[k], feet[k + 1], tops[k + 1]], [high, low, high]))
    return pieces


def _triangle(corners: Sequence[Array], heights: Sequence[float]) -> Piece:
    ring = np.array(corners)
    a, b, c = np.linalg.solve(np.column_stack([np.ones(3), ring]), np.array(heights)).tolist()
    return Piece(ring, (a, b, c))


def _local(points: Array, origin: Point) -> Array:
    """Turn places on the wall into the frame of covers, on the grid."""
    there = points - np.array(origin)
    return np.asarray(to_mm(to_grid(np.column_stack([there[:, 1], -there[:, 0]]))))


def _tab(
    line: BentLine, others: Sequence[BentLine], number: str, half: float, settings: Settings, *, at_foot: bool
) -> tuple[Tab, Box]:
    """Stand a tab beside the line or at an end of it, where the run is furthest from it, and say where on the wall."""
    drawn = number_tab(number, settings.mark.resin_height_mm, settings.resin)
    best: tuple[float, Tab, Box] | None = None
    for place, quarters, beyond in _tab_spots(line, drawn, half, at_foot=at_foot):
        held = _with_longer_neck(drawn, beyond) if beyond else drawn
        tab = (held if quarters < 2 else _upside_down(held)).placed(quarters, place)
        plate = _box_on_wall(tab.plate, line.points[0])
        there = _box_on_wall(np.concatenate([tab.plate, [place]]), line.points[0])
        near = [_all_but_end(line, place), *(other.points for other in others)]
        free = min(from_box_mm(points, plate) for points in near) - half - SADDLE_BEYOND_MM - _TAB_CLEAR_MM
        if free >= 0 or best is None or free > best[0]:
            best = free, tab, there
        if free >= 0:
            break
    assert best is not None  # a line has ends
    return best[1], best[2]


def _upside_down(tab: Tab) -> Tab:
    """Turn the number on a tab round, so that it reads up or from the left on tabs that reach the other way."""
    middle = (tab.plate.min(axis=0) + tab.plate.max(axis=0)) / 2
    return replace(tab, strokes=tuple(2 * middle - ring for ring in tab.strokes))


def _box_on_wall(points: Array, origin: Point) -> Box:
    """Return the box along and up the wall of points (N, 2) in the frame of covers."""
    u, v = origin[0] - points[:, 1], origin[1] + points[:, 0]
    return float(u.min()), float(v.min()), float(u.max()), float(v.max())


def _all_but_end(line: BentLine, place: tuple[float, float]) -> tuple[Point, ...]:
    """Return the points of a line a tab must keep clear of: not the end that it goes on from."""
    (u0, v0), points = line.points[0], line.points
    at = round(u0 - place[1], 3), round(v0 + place[0], 3)
    if at == (round(points[0][0], 3), round(points[0][1], 3)):
        return (*points[1:], points[-1])
    if at == (round(points[-1][0], 3), round(points[-1][1], 3)):
        return (points[0], *points[:-1])
    return points


def _with_longer_neck(tab: Tab, beyond_mm: float) -> Tab:
    """Let the neck of a tab reach further into its part."""
    neck = tab.neck.copy()
    neck[neck[:, 0] > 0, 0] += beyond_mm
    return replace(tab, neck=neck)


def _tab_spots(
    line: BentLine, tab: Tab, half: float, *, at_foot: bool
) -> Iterator[tuple[tuple[float, float], int, float]]:
    """Yield where a tab may meet the line, in the frame of covers, its quarter turns and what its neck is longer by."""
    (u0, v0), ways = line.points[0], line.directions
    foot = 0.0, 0.0
    if at_foot and abs(ways[0][0]) < _LEVEL:
        yield foot, 0, 0.0
    tall = float(np.ptp(tab.plate[:, 1]))
    order = sorted(range(len(ways)), key=lambda k: -float(np.hypot(*np.subtract(line.points[k + 1], line.points[k]))))
    for k in order:
        if min(abs(ways[k])) > _LEVEL:
            continue  # a tab stands square to the wall
        (a, b), (c, d) = line.points[k], line.points[k + 1]
        upright = abs(ways[k][0]) < _LEVEL
        for share in (0.5, 0.25, 0.75):
            u, v = a + share * (c - a), b + share * (d - b)
            if max(abs(c - a), abs(d - b)) < tall:
                continue
            for quarters in (1, 3) if upright else (0, 2):
                along, up = _TAB_WAYS[quarters]
                yield (round(v + up * half - v0, 3), round(u0 - u - along * half, 3)), quarters, 0.0
    for end, (u, v) in ((0, line.points[0]), (1, line.points[-1])):
        way = -ways[0] if end == 0 else ways[-1]
        for quarters in sorted(_TAB_WAYS, key=lambda q: -float(way @ np.array(_TAB_WAYS[q]))):
            along, up = _TAB_WAYS[quarters]
            # The neck of a tab that does not go on straight from the end begins at the middle of that.
            away = 0.0 if way @ np.array((along, up)) > 1 - _LEVEL else half
            yield (round(v + up * away - v0, 3), round(u0 - u - along * away, 3)), quarters, away
