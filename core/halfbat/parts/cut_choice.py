"""Choosing all cuts of a stretch together, out of places where it may be cut."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

_ROUNDING = 1e-6
_NEVER = np.iinfo(np.int64).max // 4


@dataclass(frozen=True, slots=True, eq=False)
class Places:
    """Where a stretch may be cut, sorted by ``middle``.

    Parameters
    ----------
    low, high, middle : ndarray, shape (N,)
        Least, greatest and middle position of each cut's centre line, mm. A toothed cut spreads from low to high.
    cost : ndarray of int64, shape (N,)
        How much each shows; only sums and order matter.
    """

    low: Array
    high: Array
    middle: Array
    cost: Ints


@dataclass(frozen=True, slots=True)
class Border:
    """What a stretch ends at: an end of the wall, or a cut already fixed.

    Parameters
    ----------
    low, high : float
        Least and greatest position of the border, mm.
    overhang_mm : float
        How far the panel reaches beyond the border: below zero at a cut, by half the gap; above zero where the panel
        is wider than the wall.
    """

    low: float
    high: float
    overhang_mm: float


def choose_cuts(
    places: Places, start: Border, end: Border, *, largest_mm: float, least_mm: float, half_gap_mm: float
) -> tuple[int, ...] | None:
    """Cut a stretch into panels: as few as can be, then showing least, then as equal as can be.

    Dynamic programming from panel to panel. Equality is the sum of squared distances from the places that would make
    all panels alike; what is still equal goes to the cuts further left.

    Parameters
    ----------
    places : Places
        Where it may be cut.
    start, end : Border
        Left (or lower) and right (or upper) border.
    largest_mm : float
        Largest size of a panel with its overhang and without its share of the gaps.
    least_mm : float
        Least distance between two cuts and from a cut to a border.
    half_gap_mm : float
        Half the gap between two panels.

    Returns
    -------
    tuple of int or None
        Places chosen, in order; None where no choice keeps the limits.
    """
    if end.high + end.overhang_mm - (start.low - start.overhang_mm) <= largest_mm + _ROUNDING:
        return ()
    low = np.concatenate([[start.low], places.low, [end.low]])
    high = np.concatenate([[start.high], places.high, [end.high]])
    middle = np.concatenate([[(start.low + start.high) / 2], places.middle, [(end.low + end.high) / 2]])
    cost = np.concatenate([[0], places.cost, [0]]).astype(np.int64)
    opens, closes = low + half_gap_mm, high - half_gap_mm
    opens[0], closes[-1] = start.low - start.overhang_mm, end.high + end.overhang_mm
    fits = (closes[None, :] - opens[:, None] <= largest_mm + _ROUNDING) & (
        low[None, :] - high[:, None] >= least_mm - _ROUNDING
    )
    layers = _layers(fits, cost)
    if layers is None:
        return None
    panels = len(layers) - 1
    ideal = np.linspace(middle[0], middle[-1], panels + 1)
    uneven = np.where(np.arange(len(low)) == 0, 0.0, np.inf)
    origins: list[NDArray[np.intp]] = []
    for panel in range(panels):
        # Only steps that lie on some way of least cost may be taken.
        reached = np.flatnonzero(np.isfinite(uneven))
        taken = fits[reached] & (layers[panel][reached, None] + cost == layers[panel + 1])
        ways = np.where(taken, uneven[reached, None], np.inf)
        origins.append(reached[ways.argmin(axis=0)])
        uneven = ways.min(axis=0) + (middle - ideal[panel + 1]) ** 2
    at = len(low) - 1
    chosen: list[int] = []
    for origin in reversed(origins[1:]):
        at = int(origin[at])
        chosen.append(at - 1)
    return tuple(reversed(chosen))


def _layers(fits: Bools, cost: Ints) -> list[Ints] | None:
    """Least cost of reaching each place with 0, 1, 2 ... panels, up to the first number that reaches the end."""
    count = len(cost)
    layer = np.full(count, _NEVER, dtype=np.int64)
    layer[0] = 0
    layers = [layer]
    for _ in range(count):
        reached = np.flatnonzero(layer < _NEVER)
        ways = np.where(fits[reached], layer[reached, None], _NEVER).min(axis=0, initial=_NEVER)
        layer = np.where(ways < _NEVER, ways + cost, _NEVER)
        layers.append(layer)
        if layer[-1] < _NEVER:
            return layers
        if not (layer < _NEVER).any():
            return None
    return None
