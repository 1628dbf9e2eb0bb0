"""Where a stretch of a wall may be cut, and how much each cut would show."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.cut_choice import Border, Places
from halfbat.parts.cuts import (
    LEAST_SLIVER_MM,
    ROUNDING_MM,
    SEEN_PER_MM,
    Cut,
    SeamStyle,
    cover_hides,
    kept_out,
    pier_cuts,
    slivers,
    straight_cut,
    toothed_cuts,
)
from halfbat.parts.wall_run import WallRun

Array = NDArray[np.float64]

_FINE_MM = 0.05
_PENALTY_STEPS = 9


def candidate_cuts(
    wall: WallRun,
    styles: Sequence[SeamStyle],
    stretch: tuple[Border, Border],
    keep_outs: Sequence[tuple[float, float]],
    *,
    largest_mm: float,
    gap_mm: float,
    cover_width_mm: float,
    crossed: Sequence[tuple[float, float]] = (),
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
    crossed : sequence of (float, float)
        Spans that a cut rather keeps off, such as openings it would run through.

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
    low, high = np.array([cut.low_mm for cut in cuts]), np.array([cut.high_mm for cut in cuts])
    if crossed:
        worst = max(cost, default=0) + 1
        cost = [own + worst * (kept_out(cut, crossed, gap_mm) is not None) for own, cut in zip(cost, cuts, strict=True)]
    # Rather anything seen than a piece that breaks off.
    weak = wall.weak_at(low, high, 0, gap_mm) * (max(cost, default=0) + 1)
    places = Places(low, high, np.array([cut.position_mm for cut in cuts]), np.array(cost, dtype=np.int64) + weak)
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
        free &= (positions + gap_mm / 2 <= begin + ROUNDING_MM) | (positions - gap_mm / 2 >= end - ROUNDING_MM)
    positions = positions[free]
    if not len(positions):
        return positions, positions, np.zeros(0, dtype=np.int64)
    sliver = slivers(wall, positions, gap_mm)
    best = min(float(sliver.max()), wall.module_mm)
    wanted = max(0.8 * best, min(best, LEAST_SLIVER_MM))
    penalty = np.ceil(np.clip(1 - sliver / wanted, 0, 1) * _PENALTY_STEPS - ROUNDING_MM).astype(np.int64)
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
            further = int(np.searchsorted(places, reach + ROUNDING_MM, side="right")) - 1
            if further <= at or further >= len(places) - 1:
                break
            at = further
            chosen.append(len(places) - 1 - at if mirrored else at)
            reach = float(places[at]) + largest_mm + gap_mm
    return np.array(chosen, dtype=np.intp)
