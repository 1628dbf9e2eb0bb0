"""The joints of a laid wall as lines for drawings."""

from __future__ import annotations

from halfbat.drawings.drawing import BondLines
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
