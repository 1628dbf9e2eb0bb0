"""The joints of a laid wall as lines for drawings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from halfbat.drawings.drawing import Array, BondLines, Brickwork
from halfbat.parts.walls import WallPlan


def bond_lines(wall: WallPlan) -> BondLines:
    """Return the middles of all joints of a wall; those at its very edges are left out.

    Parameters
    ----------
    wall : WallPlan
        A settled wall.
    """
    laying = wall.facing.laying
    patterns = tuple(
        pattern.bounds_mm[(pattern.bounds_mm > 0) & (pattern.bounds_mm < laying.length_mm)]
        for pattern in laying.patterns
    )
    return BondLines(
        wall.wall.letter,
        (laying.length_mm, laying.height_mm),
        laying.bed_v_mm,
        laying.gauge_mm,
        patterns,
        laying.course_pattern,
    )


def joint_lines(item: Brickwork) -> Iterator[Array]:
    """Yield the joints of brickwork within its outline as lines in the frame of its wall, shape (2, 2).

    Parameters
    ----------
    item : Brickwork
        As it is drawn.
    """
    bond = item.bond
    for level, index in zip(bond.beds_mm.tolist(), bond.course_pattern.tolist(), strict=True):
        for low, high in stretches(item.clips, level, axis=1):
            yield np.array([[low, level], [high, level]])
        top = level + bond.gauge_mm
        for u in bond.patterns[index].tolist():
            for low, high in stretches(item.clips, u, axis=0):
                start, end = max(low, level), min(high, top)
                if end > start:
                    yield np.array([[u, start], [u, end]])


def stretches(rings: Sequence[Array], at: float, axis: int) -> list[tuple[float, float]]:
    """Return where a line lies within rings: an upright one at u for axis 0, a level one at v for axis 1."""
    crossed: list[float] = []
    for ring in rings:
        a, b = ring, np.roll(ring, -1, axis=0)
        passes = (a[:, axis] <= at) != (b[:, axis] <= at)
        a, b = a[passes], b[passes]
        share = (at - a[:, axis]) / (b[:, axis] - a[:, axis])
        crossed += (a[:, 1 - axis] + share * (b[:, 1 - axis] - a[:, 1 - axis])).tolist()
    crossed.sort()
    return list(zip(crossed[::2], crossed[1::2], strict=False))
