"""Segments of a cover: it is parted where the wall behind it steps, so that each lies flat on the plate."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from halfbat.surfaces.dressing import Proud

WIDEST_HOLLOW_MM = 2.0
"""A resin ceiling reaches 1 mm from either side without support (published values, section 7.1)."""
WIDEST_END_MM = 0.9
"""The same where it reaches out from one side only."""
SHORTEST_MM = 0.9
SAME_MM = 1e-6
GRID_DECIMALS = 3
"""Segments meet on the grid of solids, 0.001 mm."""


@dataclass(frozen=True, slots=True)
class Segment:
    """A stretch of a cover that lies on one level.

    Parameters
    ----------
    low_mm, high_mm : float
        From where to where, from the foot of the cover.
    base_mm : float
        How far out of the brick faces it lies.
    hollows : tuple of Proud
        What it passes over, counted from its own foot and from where it lies.
    """

    low_mm: float
    high_mm: float
    base_mm: float
    hollows: tuple[Proud, ...] = ()


def segments(proud: Sequence[Proud], foot_mm: float, top_mm: float) -> tuple[Segment, ...]:
    """Part a cover where the wall behind it steps.

    What stands out over a short stretch only is left out of the back of the cover; over a longer one the cover is a
    piece of its own. Short stretches that lie back are bridged.

    Parameters
    ----------
    proud : sequence of Proud
        What stands out of the wall, from its foot up.
    foot_mm, top_mm : float
        From where to where the cover goes.

    Returns
    -------
    tuple of Segment
        From the foot up, without gaps.
    """
    stretches = _stretches(proud, foot_mm, top_mm)
    levels = _joined(stretches)
    while True:
        at, base = _next(levels)
        if at is None:
            break
        levels[at] = Segment(levels[at].low_mm, levels[at].high_mm, base)
        levels = _joined(levels)
    return tuple(replace(own, hollows=_hollows(own, stretches)) for own in levels)


def part_of(segment: Segment, low_mm: float, high_mm: float) -> Segment:
    """Return a piece of a segment."""
    start, end = low_mm - segment.low_mm, high_mm - segment.low_mm
    hollows = tuple(
        Proud(max(one.low_mm, start) - start, min(one.high_mm, end) - start, one.out_mm)
        for one in segment.hollows
        if min(one.high_mm, end) > max(one.low_mm, start)
    )
    return Segment(low_mm, high_mm, segment.base_mm, hollows)


def _stretches(proud: Sequence[Proud], foot: float, top: float) -> list[Segment]:
    """Stretches from the foot to the top, each at the level of the wall behind it."""
    found: list[Segment] = []
    at = round(foot, GRID_DECIMALS)
    for one in (*proud, Proud(top, top, 0.0)):
        low, high = (round(min(max(level, foot), top), GRID_DECIMALS) for level in (one.low_mm, one.high_mm))
        for start, end, out in ((at, low, 0.0), (max(low, at), high, one.out_mm)):
            if end > start:
                found.append(Segment(_grid(start - foot), _grid(end - foot), out))
        at = max(at, high)
    return found


def _grid(level: float) -> float:
    return round(level, GRID_DECIMALS)


def _joined(found: Sequence[Segment]) -> list[Segment]:
    """Join neighbours that lie on one level."""
    joined: list[Segment] = []
    for own in found:
        if joined and abs(joined[-1].base_mm - own.base_mm) < SAME_MM:
            joined[-1] = replace(joined[-1], high_mm=own.high_mm)
        else:
            joined.append(own)
    return joined


def _next(levels: Sequence[Segment]) -> tuple[int | None, float]:
    """Return the next segment that is not to be a piece, the narrowest first, and the level it gets instead.

    What stands out further than all beside it and is narrow enough is sunk, to become a hollow. Any other that is too
    short is raised to the lower of the neighbours that stand out further.
    """
    for at in sorted(range(len(levels)), key=lambda k: levels[k].high_mm - levels[k].low_mm):
        own = levels[at]
        beside = [levels[k].base_mm for k in (at - 1, at + 1) if 0 <= k < len(levels)]
        long = own.high_mm - own.low_mm
        higher = [base for base in beside if base > own.base_mm]
        if beside and not higher and long <= (WIDEST_HOLLOW_MM if len(beside) == 2 else WIDEST_END_MM):
            return at, max(beside)
        if higher and long < SHORTEST_MM:
            return at, min(higher)
    return None, 0.0


def _hollows(own: Segment, stretches: Sequence[Segment]) -> tuple[Proud, ...]:
    """What stands out further than a segment lies, counted from its foot."""
    return tuple(
        Proud(_grid(one.low_mm - own.low_mm), _grid(one.high_mm - own.low_mm), one.base_mm - own.base_mm)
        for one in stretches
        if own.low_mm <= one.low_mm < own.high_mm and one.base_mm > own.base_mm + SAME_MM
    )
