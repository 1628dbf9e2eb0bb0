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
from halfbat.parts.cut_choice import Border, Places
from halfbat.parts.toothing import line_middle, toothed_lines
from halfbat.surfaces import Lattice, Laying

Array = NDArray[np.float64]

#: A thinner piece of brick beside a cut breaks off (common practice, no source).
LEAST_SLIVER_MM = 0.25
#: A cover hides a seam when it is this wide, and wider than the gap by `COVER_OVERLAP_MM` (making notes, section 12).
LEAST_COVER_MM = 0.8
COVER_OVERLAP_MM = 0.4
_FINE_MM = 0.05
_PENALTY_STEPS = 9
_ROUNDING = 1e-6


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
class WallRun:
    """One wall to be cut, in model mm.

    Parameters
    ----------
    where : str
        Name for errors and findings, such as ``"wall A"``.
    laying : Laying
        Its bricks; gives its length and height.
    module_mm : float
        A stretcher with its joint.
    joint_mm : float
        Width of the perpends as printed.
    lattice_u, lattice_v : Lattice
        Pixels along and up the wall.
    left_extra_mm, right_extra_mm : float
        How much the first and the last panel are wider than their part of the wall, by their corners.
    piers_mm : tuple of (float, float)
        Left and right side of each pier that stands before the wall over its whole height.
    """

    where: str
    laying: Laying
    module_mm: float
    joint_mm: float
    lattice_u: Lattice
    lattice_v: Lattice
    left_extra_mm: float = 0.0
    right_extra_mm: float = 0.0
    piers_mm: tuple[tuple[float, float], ...] = ()

    @property
    def length_mm(self) -> float:
        """Length of the wall."""
        return self.laying.length_mm

    @property
    def height_mm(self) -> float:
        """Height of the wall."""
        return self.laying.height_mm


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
        share = np.clip((level_mm - v[on]) / np.maximum(v[on + 1] - v[on], _ROUNDING), 0.0, 1.0)
        level = v[on + 1] - v[on] < _ROUNDING
        places = np.concatenate([u[on] + share * (u[on + 1] - u[on]), u[on][level], u[on + 1][level]])
        return float(places.min()), float(places.max())


def least_cover_mm(gap_mm: float) -> float:
    """Return the width from which a cover hides a seam with a gap."""
    return max(LEAST_COVER_MM, gap_mm + COVER_OVERLAP_MM)


def cover_hides(style: SeamStyle, cover_width_mm: float, gap_mm: float) -> bool:
    """Tell whether a seam of a style has a cover, and it is wide enough."""
    if style is SeamStyle.DOWNPIPE:
        return True  # made as wide as it must be
    return style is SeamStyle.CABLE_RUN and cover_width_mm >= least_cover_mm(gap_mm) - _ROUNDING


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
            brick = np.clip(np.searchsorted(begin, edge + _ROUNDING) - 1, 0, len(begin) - 1)
            piece = edge - begin[brick] if sign < 0 else end[brick] - edge
            cuts = (edge > begin[brick] + _ROUNDING) & (edge < end[brick] - _ROUNDING)
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
    spans = (span for span in keep_outs if high > span[0] + _ROUNDING and low < span[1] - _ROUNDING)
    return next(spans, None)


def candidate_cuts(
    wall: WallRun,
    styles: Sequence[SeamStyle],
    stretch: tuple[Border, Border],
    keep_outs: Sequence[tuple[float, float]],
    *,
    largest_mm: float,
    gap_mm: float,
    cover_width_mm: float,
) -> tuple[Places, tuple[Cut, ...]]:
    """Where a stretch of a wall may be cut, and how much each cut would show.

    Parameters
    ----------
    wall : WallRun
        The wall.
    styles : sequence of SeamStyle
        Styles the cuts may have.
    stretch : tuple of Border
        Left and right border.
    keep_outs : sequence of (float, float)
        Spans along the wall without cuts, mm.
    largest_mm : float
        Widest panel.
    gap_mm, cover_width_mm : float
        Whole gap between panels, and width of covers.

    Returns
    -------
    Places
        Sorted by middle.
    tuple of Cut
        The cut at each place.
    """
    found: list[tuple[Cut, int]] = []
    for style in styles:
        if style in (SeamStyle.TOOTHED, SeamStyle.PIER):
            teeth = style is SeamStyle.TOOTHED
            offered = toothed_cuts(wall, asked=False) if teeth else pier_cuts(wall, gap_mm, asked=False)
            found += [(cut, 0) for cut in offered if not kept_out(cut, keep_outs, gap_mm)]
            continue
        covered = cover_hides(style, cover_width_mm, gap_mm)
        for position, sliver, penalty in zip(
            *_straight_places(wall, stretch, keep_outs, largest_mm, gap_mm), strict=True
        ):
            cut = straight_cut(wall, float(position), style, float(sliver), covered=covered, asked=False)
            found.append((cut, int(penalty)))
    found.sort(key=lambda pair: (pair[0].position_mm, pair[0].low_mm))
    cuts = tuple(cut for cut, _ in found)
    # A cover that the maker did not choose stands in only where piers do not.
    instead = wall.height_mm * SEEN_PER_MM[SeamStyle.TOOTHED] if SeamStyle.PIER in styles else 0.0
    shown = [_seen(cut, wall.module_mm) + (round(instead) if cut.covered else 0) for cut, _ in found]
    cost = [seen * (_PENALTY_STEPS + 1) + penalty for seen, (_, penalty) in zip(shown, found, strict=True)]
    places = Places(
        np.array([cut.low_mm for cut in cuts]),
        np.array([cut.high_mm for cut in cuts]),
        np.array([cut.position_mm for cut in cuts]),
        np.array(cost, dtype=np.int64),
    )
    return places, cuts


def _seen(cut: Cut, module_mm: float) -> int:
    """Cost of what is seen of a cut, by the length of its line."""
    if cut.covered:
        return 0
    # A cable run too narrow to hide the gap shows like a bare cut.
    style = SeamStyle.STRAIGHT if cut.style is SeamStyle.CABLE_RUN else cut.style
    across, up = np.abs(np.diff(cut.line, axis=0)).sum(axis=0)
    # Teeth are counted in quarter bricks, so that a pixel more or less does not decide where a wall is cut.
    teeth = max(1, len(cut.line) // 2 - 1)
    quarters = round(float(across) / teeth / (module_mm / 4))
    return round(SEEN_PER_MM[style] * (float(up) + quarters * teeth * module_mm / 4))


def _straight_places(
    wall: WallRun,
    stretch: tuple[Border, Border],
    keep_outs: Sequence[tuple[float, float]],
    largest_mm: float,
    gap_mm: float,
) -> tuple[Array, Array, NDArray[np.int64]]:
    """Return positions of straight cuts on the pixels, the sliver each leaves, and a penalty from 0 to 9 for it.

    Of the positions in each quarter of a brick the best is kept, and with them those that a stretch of full-size
    panels from either end would need: fewest panels can be had with the positions kept.
    """
    step = wall.lattice_u.pitch_mm if wall.lattice_u.pitch_mm > 0 else _FINE_MM
    origin = wall.lattice_u.origin_mm
    first = np.ceil((stretch[0].high - origin) / step)
    last = np.floor((stretch[1].low - origin) / step)
    positions = origin + np.arange(first, last + 1) * step
    free = np.ones(len(positions), dtype=np.bool_)
    for begin, end in keep_outs:
        free &= (positions + gap_mm / 2 <= begin + _ROUNDING) | (positions - gap_mm / 2 >= end - _ROUNDING)
    positions = positions[free]
    if not len(positions):
        return positions, positions, np.zeros(0, dtype=np.int64)
    sliver = slivers(wall, positions, gap_mm)
    best = min(float(sliver.max()), wall.module_mm)
    wanted = max(0.8 * best, min(best, LEAST_SLIVER_MM))
    penalty = np.ceil(np.clip(1 - sliver / wanted, 0, 1) * _PENALTY_STEPS - _ROUNDING).astype(np.int64)
    window = np.floor(positions / (wall.module_mm / 4))
    aside = np.abs(positions - (window + 0.5) * wall.module_mm / 4)
    order = np.lexsort((aside, penalty, window))
    kept = order[np.unique(window[order], return_index=True)[1]]
    kept = np.union1d(kept, _full_panels(positions, stretch, largest_mm, gap_mm))
    return positions[kept], sliver[kept], penalty[kept]


def _full_panels(
    positions: Array, stretch: tuple[Border, Border], largest_mm: float, gap_mm: float
) -> NDArray[np.intp]:
    """Return the indices of the cuts that make panels of full size from the left, and from the right."""
    chosen: list[int] = []
    for mirrored in (False, True):
        places = -positions[::-1] if mirrored else positions
        border = stretch[1] if mirrored else stretch[0]
        reach = (-border.high if mirrored else border.low) - border.overhang_mm + largest_mm + gap_mm / 2
        at = -1
        while True:
            further = int(np.searchsorted(places, reach + _ROUNDING, side="right")) - 1
            if further <= at or further >= len(places) - 1:
                break
            at = further
            chosen.append(len(places) - 1 - at if mirrored else at)
            reach = float(places[at]) + largest_mm + gap_mm
    return np.array(chosen, dtype=np.intp)
