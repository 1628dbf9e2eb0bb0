"""Cuts of one wall: their styles, and where the brickwork offers them.

A straight cut runs through bricks whatever its place; it is set where it leaves no thin sliver of a brick beside it.
A toothed cut follows the joints. How much a cut shows is a cost per mm of its length: our own order, no source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.bent_line import BentLine
from halfbat.parts.toothing import line_middle, toothed_lines
from halfbat.parts.wall_run import WallRun

Array = NDArray[np.float64]

#: A thinner piece of brick beside a cut breaks off (common practice, no source).
LEAST_SLIVER_MM = 0.25
#: A cover hides a seam when it is this wide, and wider than the gap by `COVER_OVERLAP_MM` (making notes, section 12).
LEAST_COVER_MM = 0.8
COVER_OVERLAP_MM = 0.4
ROUNDING_MM = 1e-6


class SeamStyle(StrEnum):
    """What is seen of an upright cut."""

    CABLE_RUN = "cable run"
    DOWNPIPE = "downpipe"
    PIER = "pier"
    TOOTHED = "toothed"
    MOVEMENT_JOINT = "movement joint"
    STRAIGHT = "straight"


COVERING = (SeamStyle.CABLE_RUN, SeamStyle.DOWNPIPE)
"""Styles of seams that lie under a cover."""
SEEN_PER_MM: Mapping[SeamStyle, int] = MappingProxyType(
    {
        SeamStyle.CABLE_RUN: 0,
        SeamStyle.DOWNPIPE: 0,
        SeamStyle.PIER: 1,
        SeamStyle.MOVEMENT_JOINT: 1,
        SeamStyle.TOOTHED: 3,
        SeamStyle.STRAIGHT: 10,
    }
)


@dataclass(frozen=True, slots=True, eq=False)
class Cut:
    """One cut through the whole height of a wall.

    Parameters
    ----------
    position_mm : float
        Middle of the cut from the wall's left end seen from outside; of one that bends its place at the foot.
    style : SeamStyle
        What is seen of it.
    line : ndarray, shape (K, 2), float64
        Corners of its centre line from bottom to top, mm; upright and level runs by turns. One that bends under its
        cable run may slope too, but never leads down.
    covered : bool
        True where a cover wide enough hides it.
    asked : bool
        True where the maker asked for it.
    sliver_mm : float
        Thinnest piece of a brick left beside it; infinite where it cuts no brick.
    bent : BentLine, optional
        Its line where that bends under its cable run.
    """

    position_mm: float
    style: SeamStyle
    line: Array
    covered: bool
    asked: bool
    sliver_mm: float
    bent: BentLine | None = None

    @property
    def low_mm(self) -> float:
        """Leftmost position of the centre line."""
        return float(self.line[:, 0].min())

    @property
    def high_mm(self) -> float:
        """Rightmost position of the centre line."""
        return float(self.line[:, 0].max())

    def span_at(self, level_mm: float) -> tuple[float, float]:
        """Leftmost and rightmost position at a height; those of the whole cut where it does not bend."""
        if self.bent is None:
            return self.low_mm, self.high_mm
        u, v = self.line.T
        on = np.flatnonzero((v[:-1] <= level_mm) & (v[1:] >= level_mm))
        share = np.clip((level_mm - v[on]) / np.maximum(v[on + 1] - v[on], ROUNDING_MM), 0.0, 1.0)
        level = v[on + 1] - v[on] < ROUNDING_MM
        places = np.concatenate([u[on] + share * (u[on + 1] - u[on]), u[on][level], u[on + 1][level]])
        return float(places.min()), float(places.max())


def least_cover_mm(gap_mm: float) -> float:
    """Return the width from which a cover hides a seam with a gap."""
    return max(LEAST_COVER_MM, gap_mm + COVER_OVERLAP_MM)


def cover_hides(style: SeamStyle, cover_width_mm: float, gap_mm: float) -> bool:
    """Tell whether a seam of a style has a cover, and it is wide enough."""
    if style is SeamStyle.DOWNPIPE:
        return True  # made as wide as it must be
    return style is SeamStyle.CABLE_RUN and cover_width_mm >= least_cover_mm(gap_mm) - ROUNDING_MM


def slivers(wall: WallRun, positions_mm: Array, gap_mm: float) -> Array:
    """Measure the thinnest piece of brick beside straight cuts.

    Parameters
    ----------
    wall : WallRun
        The wall.
    positions_mm : ndarray, shape (N,)
        Centre lines of the cuts.
    gap_mm : float
        Whole gap between the panels.

    Returns
    -------
    ndarray, shape (N,)
        Over all courses and both sides, mm. A side of the gap that lies in a joint leaves no piece.
    """
    thinnest = np.full(len(positions_mm), np.inf)
    for pattern in wall.laying.patterns:
        joint_left = wall.lattice_u.round(pattern.bounds_mm[1:-1] - wall.joint_mm / 2)
        begin = np.concatenate([[0.0], joint_left + wall.joint_mm])
        end = np.concatenate([joint_left, [wall.length_mm]])
        for sign in (-1, 1):
            edge = positions_mm + sign * gap_mm / 2
            brick = np.clip(np.searchsorted(begin, edge + ROUNDING_MM) - 1, 0, len(begin) - 1)
            piece = edge - begin[brick] if sign < 0 else end[brick] - edge
            cuts = (edge > begin[brick] + ROUNDING_MM) & (edge < end[brick] - ROUNDING_MM)
            thinnest = np.minimum(thinnest, np.where(cuts, piece, np.inf))
    return thinnest


def straight_cut(
    wall: WallRun, position_mm: float, style: SeamStyle, sliver_mm: float, *, covered: bool, asked: bool
) -> Cut:
    """Make a straight cut from the foot of a wall to its top."""
    line = np.array([[position_mm, 0.0], [position_mm, wall.height_mm]])
    return Cut(position_mm, style, line, covered, asked, sliver_mm)


def toothed_cuts(wall: WallRun, *, asked: bool) -> list[Cut]:
    """Every toothed cut the bond offers, from left to right."""
    lines = toothed_lines(wall.laying, wall.module_mm, wall.lattice_u, wall.lattice_v)
    return [Cut(line_middle(line), SeamStyle.TOOTHED, line, False, asked, np.inf) for line in lines]


def pier_cuts(wall: WallRun, gap_mm: float, *, asked: bool) -> list[Cut]:
    """Every cut in the corner of a pier, from left to right; the gap lies in the wall, so that the pier stays whole."""
    places = [place for left, right in wall.piers_mm for place in (left - gap_mm / 2, right + gap_mm / 2)]
    inside = sorted(place for place in places if 0 < place < wall.length_mm)
    # Bricks of the wall end at a pier in any case.
    return [straight_cut(wall, place, SeamStyle.PIER, np.inf, covered=False, asked=asked) for place in inside]


def kept_out(cut: Cut, keep_outs: Sequence[tuple[float, float]], gap_mm: float) -> tuple[float, float] | None:
    """Return the first span without cuts that a cut or its gap touches, or None."""
    low, high = cut.low_mm - gap_mm / 2, cut.high_mm + gap_mm / 2
    spans = (span for span in keep_outs if high > span[0] + ROUNDING_MM and low < span[1] - ROUNDING_MM)
    return next(spans, None)
