"""Where a body is cut into sections along one direction: all cuts of it are chosen together."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.outlines import Outline

Array = NDArray[np.float64]
STEP_MM = 1.0
SHORTEST_MM = 20.0
"""Shortest section, so that none is a mere strip."""
NEAR_CORNER_MM = 2.5
"""A cut this near to a corner, or to an opening, would leave a sliver; such places are not offered at all."""
SEAM_MM = 3.0
_MANY, _BAD, _UNEVEN = 1e6, 1e3, 100.0
MOST = 36


@dataclass(frozen=True, slots=True, eq=False)
class Offers:
    """Places for cuts in one direction.

    Parameters
    ----------
    at : ndarray (N,)
        Places, rising, the two ends of the body first and last.
    cost : ndarray (N,)
        0 where nothing is in the way.
    low, high : ndarray (N - 1,)
        How far the body reaches along the cut between each place and the next.
    """

    at: Array
    cost: Array
    low: Array
    high: Array


def offers(
    outline: Sequence[Outline],
    corners: Array,
    closed: Array,
    beside: Array,
    box: Array,
    reach_mm: float,
) -> Offers:
    """Find places for cuts.

    Parameters
    ----------
    outline : sequence of ndarray (K, 2)
        Rings of the body, as (s, t).
    corners : ndarray (M,)
        As t, what no cut comes near to and a joint keeps clear of.
    closed : ndarray (C, 2)
        From where to where, as t, no cut may lie.
    beside : ndarray (B, 2)
        Where a cut should not lie.
    box : ndarray (2, 2)
        Lowest and highest (s, t) to be cut.
    reach_mm : float
        How far a joint reaches to each side.
    """
    (s0, t0), (s1, t1) = box
    inner = np.round(np.arange(t0 + SHORTEST_MM, t1 - SHORTEST_MM, STEP_MM), 3)
    near = np.abs(inner[:, None] - corners[None]).min(axis=1, initial=np.inf)
    free = near > NEAR_CORNER_MM
    for low, high in closed:
        free &= (inner < low - NEAR_CORNER_MM) | (inner > high + NEAR_CORNER_MM)
        near = np.minimum(near, np.maximum(np.maximum(low - inner, inner - high), 0.0))
    cost = 3.0 * (near < reach_mm)
    for low, high in beside:
        cost += (inner > low) & (inner < high)
    at = np.concatenate([[t0], inner[free], [t1]])
    reach = np.array([_span(outline, a, b) for a, b in pairwise(at.tolist())])
    low, high = np.maximum(reach[:, 0], s0), np.minimum(reach[:, 1], s1)
    return Offers(at, np.concatenate([[0.0], cost[free], [0.0]]), low, high)


def _span(outline: Sequence[Outline], t0: float, t1: float) -> tuple[float, float]:
    """How far outlines reach along s between two places."""
    low, high = np.inf, -np.inf
    for ring in outline:
        a, b = ring, np.roll(ring, -1, axis=0)
        rise = b[:, 1] - a[:, 1]
        even = np.abs(rise) < 1e-9
        safe = np.where(even, 1.0, rise)
        begin, end = (np.where(even, share, np.clip((t - a[:, 1]) / safe, 0, 1)) for t, share in ((t0, 0.0), (t1, 1.0)))
        on = (np.minimum(a[:, 1], b[:, 1]) <= t1) & (np.maximum(a[:, 1], b[:, 1]) >= t0)
        if on.any():
            places = np.concatenate([(a[:, 0] + (b - a)[:, 0] * share)[on] for share in (begin, end)])
            low, high = min(low, float(places.min())), max(high, float(places.max()))
    return low, high


def choose(found: Offers, count: Callable[[float, float, bool], int]) -> tuple[float, list[int]] | None:
    """Choose cuts: fewest sections, then the best places, then sections as equal as can be.

    Parameters
    ----------
    found : Offers
        Where cuts may lie.
    count : callable
        Into how many sections a piece must be cut yet, by its size along the cut and across it and by whether a joint
        reaches out of it; 0 where it cannot be made to fit.

    Returns
    -------
    float, list of int
        What it costs, and which of the places are cut. None where no choice fits.
    """
    at, last = found.at, len(found.at) - 1
    best, back = np.full(last + 1, np.inf), np.full(last + 1, -1)
    best[0] = 0.0
    whole = max(float(at[-1] - at[0]), 1e-9)
    for j in range(1, last + 1):
        low = np.minimum.accumulate(found.low[:j][::-1])[::-1]
        high = np.maximum.accumulate(found.high[:j][::-1])[::-1]
        for i in range(j - 1, -1, -1):
            long = float(at[j] - at[i])
            if not np.isfinite(best[i]) or (long < SHORTEST_MM and (i, j) != (0, last)):
                continue
            pieces = count(float(high[i] - low[i]), long, j < last)
            if not pieces:
                if not count(1.0, long, j < last):
                    break
                continue
            cost = best[i] + _MANY * pieces + _UNEVEN * (long / whole) ** 2 + _BAD * found.cost[j]
            if cost < best[j]:
                best[j], back[j] = cost, i
    if not np.isfinite(best[last]):
        return None
    cuts: list[int] = []
    at_cut = int(back[last])
    while at_cut > 0:
        cuts.insert(0, at_cut)
        at_cut = int(back[at_cut])
    return float(best[last]), cuts
