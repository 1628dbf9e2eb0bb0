"""Strips of wall become the walls of a structure, named and with their corners."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from halfbat.building.border import Border
from halfbat.building.columns import STEP_M
from halfbat.building.meetings import interior_deg
from halfbat.building.strips import Strip, joined_strips
from halfbat.building.structure import FaceOfWall, WallCorner
from halfbat.building.wall import wall_letter

Array = npt.NDArray[np.float64]

#: Heights nearer than this at one place are one height, metres.
_SAME_M = 0.002


def walls_of(
    strips: Sequence[Strip], base_m: float, mass_of: Sequence[int], smallest_m: float
) -> tuple[list[FaceOfWall], dict[Border, int], list[Strip]]:
    """Make walls of strips.

    Parameters
    ----------
    strips : sequence of Strip
        All that show.
    base_m : float
        Foot of the walls.
    mass_of : sequence of int
        Mass of each region.
    smallest_m : float
        Walls with no part as tall as half of this are left out.

    Returns
    -------
    walls : list of FaceOfWall
        Round the outside first, from the front counter-clockwise; without openings.
    wall_at : dict of Border to int
        The wall over each border, walked with the higher region on its left.
    low : list of Strip
        Those left out.
    """
    chains = joined_strips(strips)
    low = [strip for chain in chains if _too_low(chain, smallest_m) for strip in chain]
    chains = _in_order([chain for chain in chains if not _too_low(chain, smallest_m)], mass_of)
    walls = [_wall(index, chain, base_m, mass_of) for index, chain in enumerate(chains)]
    wall_at = {strip.border: index for index, chain in enumerate(chains) for strip in chain}
    spans = [(_extent(chain[0], 0), _extent(chain[-1], 1)) for chain in chains]
    return _with_corners(walls, spans), wall_at, low


def _too_low(chain: Sequence[Strip], smallest_m: float) -> bool:
    return max(strip.tallest_m for strip in chain) < 0.5 * smallest_m


def _extent(strip: Strip, end: int) -> tuple[float, float]:
    return strip.low_m[end], strip.high_m[end]


def _in_order(chains: list[list[Strip]], mass_of: Sequence[int]) -> list[list[Strip]]:
    """Put walls on the ground first, each round of them counter-clockwise, then those on roofs by mass."""
    free = list(range(len(chains)))
    ordered: list[int] = []

    def front(i: int) -> tuple[bool, int, float, float]:
        step = chains[i][-1].end_m - chains[i][0].start_m
        length = float(np.hypot(*step))
        # Looks towards -y where it runs along +x.
        turn = round(math.degrees(math.acos(max(-1.0, min(1.0, step[0] / length)))))
        grounded = chains[i][0].border.right < 0
        return (not grounded, 0 if grounded else mass_of[chains[i][0].border.left], turn, -length)

    while free:
        here = min(free, key=front)
        while True:
            free.remove(here)
            ordered.append(here)
            end, grounded = chains[here][-1].end_m, chains[here][0].border.right < 0
            nexts = [i for i in free if np.hypot(*(chains[i][0].start_m - end)) < 1e-6]
            nexts = [i for i in nexts if (chains[i][0].border.right < 0) == grounded]
            if not nexts:
                break
            here = nexts[0]
    return [chains[i] for i in ordered]


def _wall(index: int, chain: Sequence[Strip], base_m: float, mass_of: Sequence[int]) -> FaceOfWall:
    start, end = chain[0].start_m, chain[-1].end_m
    along = (end - start) / np.hypot(*(end - start))
    lower: list[tuple[float, float]] = []
    upper: list[tuple[float, float]] = []
    for strip in chain:
        for spot, low, high in zip((strip.start_m, strip.end_m), strip.low_m, strip.high_m, strict=True):
            u = float((spot - start) @ along)
            lower.append((u, low - base_m))
            upper.append((u, high - base_m))
    outline = clean_ring(np.array(_levelled(lower) + _levelled(upper)[::-1]))
    areas: dict[int, float] = {}
    for strip in chain:
        mass = mass_of[strip.border.left]
        areas[mass] = areas.get(mass, 0.0) + strip.area_m2
    mass = max(areas, key=lambda one: areas[one])
    return FaceOfWall(index, wall_letter(index), start, end, base_m, outline, (), mass, None, None)


def _levelled(line: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Make two heights at one place one where they differ by less than a step."""
    out: list[tuple[float, float]] = []
    for u, v in line:
        if out and abs(out[-1][0] - u) < _SAME_M and abs(out[-1][1] - v) <= STEP_M:
            out[-1] = (u, (out[-1][1] + v) / 2.0)
        else:
            out.append((u, v))
    return out


def clean_ring(ring: Array, tolerance: float = _SAME_M) -> Array:
    """Drop corners of a ring, shape (K, 2), that repeat the one before or lie on a straight line."""
    kept = list(ring)
    changed = True
    while changed and len(kept) > 3:
        changed = False
        for i in range(len(kept)):
            a, p, b = kept[i - 1], kept[i], kept[(i + 1) % len(kept)]
            chord = b - a
            size = float(np.hypot(*chord))
            near = np.hypot(*(p - a)) <= 1e-6 or np.hypot(*(b - p)) <= 1e-6
            if near or (size > 0 and abs(chord[0] * (p - a)[1] - chord[1] * (p - a)[0]) / size <= tolerance):
                kept.pop(i)
                changed = True
                break
    return np.array(kept)


def _with_corners(
    walls: list[FaceOfWall], spans: list[tuple[tuple[float, float], tuple[float, float]]]
) -> list[FaceOfWall]:
    """Find for each end of each wall the wall that meets it there over the greatest height."""
    lefts: list[WallCorner | None] = [None] * len(walls)
    rights: list[WallCorner | None] = [None] * len(walls)
    for one, wall in enumerate(walls):
        best = 0.0
        for two, other in enumerate(walls):
            if one == two or np.hypot(*(other.start_m - wall.end_m)) > 1e-6:
                continue
            ends, starts = spans[one][1], spans[two][0]
            low, high = max(ends[0], starts[0]), min(ends[1], starts[1])
            if high - low <= max(STEP_M, best):
                continue
            best = high - low
            whole = abs(ends[0] - starts[0]) <= STEP_M and abs(ends[1] - starts[1]) <= STEP_M
            angle = interior_deg(wall.along, other.along)
            low, high = low - wall.base_m, high - wall.base_m
            rights[one] = WallCorner(angle, two, low, high, whole)
            known = lefts[two]
            if known is None or known.high_m - known.low_m < high - low:
                lefts[two] = WallCorner(angle, one, low, high, whole)
    return [replace(wall, left=lefts[i], right=rights[i]) for i, wall in enumerate(walls)]
