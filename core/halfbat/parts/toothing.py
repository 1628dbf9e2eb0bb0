"""The line of a toothed cut: up along perpends, sideways along bed joints, so that no brick is cut.

A course in which the cut lies to the left is followed by one in which it lies to the right. Each tooth is one course
high. Teeth under `LEAST_TOOTH_MM` break off (making notes, section 6: 0.8 x 0.8 mm, common practice).
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from halfbat.surfaces import Lattice, Laying

Array = NDArray[np.float64]

LEAST_TOOTH_MM = 0.8
#: How far from the middle of a cut a perpend may lie, in bricks: more than half a brick, so that teeth are found in
#: stack bond too, where perpends stand a whole brick apart.
_REACH = 0.75
#: Widest teeth, in bricks: those of Dutch bond at the smallest gauge that has teeth.
_WIDEST = 1.3
_ROUNDING = 1e-9


def course_breaks(laying: Laying, lattice_v: Lattice) -> Array:
    """Levels at which a cut may step sideways or a wall be cut level.

    Parameters
    ----------
    laying : Laying
        Bricks of the wall.
    lattice_v : Lattice
        Pixels up the wall.

    Returns
    -------
    ndarray, shape (C - 1,)
        Centres of the bed joints between courses, mm above the foot, on the lattice.
    """
    return np.asarray(lattice_v.round(laying.bed_v_mm[1:]), dtype=np.float64)


def teeth_fit(laying: Laying, gap_mm: float = 0.0) -> bool:
    """Tell whether there are two courses, high enough for teeth that a gap leaves at least half of."""
    high = laying.gauge_mm >= LEAST_TOOTH_MM - _ROUNDING and gap_mm <= LEAST_TOOTH_MM / 2 + _ROUNDING
    return laying.courses > 1 and high


def toothed_lines(laying: Laying, module_mm: float, lattice_u: Lattice, lattice_v: Lattice) -> list[Array]:
    """Every toothed cut that the bond offers.

    Parameters
    ----------
    laying : Laying
        Bricks of the wall.
    module_mm : float
        A stretcher and its joint, model mm. Teeth are about half of it wide, and never under `LEAST_TOOTH_MM`.
    lattice_u, lattice_v : Lattice
        Pixels along and up the wall, on which all corners are set.

    Returns
    -------
    list of ndarray, each shape (K, 2), float64
        Corners from bottom to top, mm; runs upright and level by turns. Sorted by `line_middle`; empty where courses
        are too low.
    """
    if not teeth_fit(laying):
        return []
    perpends = [np.asarray(lattice_u.round(p.bounds_mm[1:-1]), dtype=np.float64) for p in laying.patterns]
    courses = [perpends[index] for index in laying.course_pattern]
    breaks = course_breaks(laying, lattice_v)
    if laying.height_mm - breaks[-1] < LEAST_TOOTH_MM - _ROUNDING:
        # A cut course at the top is too low for a tooth of its own and goes with the one under it.
        courses, breaks = courses[:-1], breaks[:-1]
    if len(courses) < 2:
        return []
    middles = np.unique(np.concatenate([p + quarter * module_mm / 4 for p in perpends for quarter in range(-2, 3)]))
    ways = np.concatenate([_climb(courses, middles, module_mm, first) for first in (-1, 1)])
    ways = ways[np.ptp(ways, axis=1) <= _WIDEST * module_mm]
    lines = [_line(places, breaks, laying.height_mm) for places in np.unique(ways, axis=0)]
    return sorted(lines, key=lambda line: (line_middle(line), *line[:, 0]))


def line_middle(line: Array) -> float:
    """Middle between the leftmost and the rightmost run of a cut, mm."""
    return float(line[:, 0].min() + line[:, 0].max()) / 2


def _climb(courses: Sequence[Array], middles: Array, module_mm: float, first: int) -> Array:
    """Choose a perpend in each course, left and right of each middle by turns, about a quarter brick from it.

    Perpends of neighbouring courses must lie a tooth apart. Among all ways up, the one with the least sum of squared
    distances from the two wanted lines is taken (dynamic programming from course to course, all middles at once).

    Returns
    -------
    ndarray, shape (M, C)
        The ways of those middles that have one.
    """
    every = np.arange(len(middles))
    side = first
    cost = np.zeros((len(middles), 1))
    below = np.full((len(middles), 1), -np.inf if first > 0 else np.inf)
    chain: list[tuple[Array, NDArray[np.intp]]] = []
    for perpends in courses:
        here = _near(perpends, middles, _REACH * module_mm)
        apart = side * (here[:, None, :] - below[:, :, None]) >= LEAST_TOOTH_MM - _ROUNDING
        ways = np.where(apart, cost[:, :, None], np.inf)
        origin = ways.argmin(axis=1)
        step = np.where(np.isfinite(here), here - (middles[:, None] + side * module_mm / 4), np.inf) ** 2
        cost = ways.min(axis=1) + step
        chain.append((here, origin))
        below, side = here, -side
    at = cost.argmin(axis=1)
    possible = np.isfinite(cost[every, at])
    places = np.empty((len(middles), len(courses)))
    for course in range(len(courses) - 1, -1, -1):
        here, origin = chain[course]
        places[:, course] = here[every, at]
        at = origin[every, at]
    found: Array = places[possible]
    return found


def _near(perpends: Array, middles: Array, reach_mm: float) -> Array:
    """Return the perpends within reach of each middle, shape (M, K), filled up with NaN."""
    low = np.searchsorted(perpends, middles - reach_mm)
    high = np.searchsorted(perpends, middles + reach_mm)
    index = low[:, None] + np.arange(max(1, int((high - low).max(initial=0))))
    found = np.append(perpends, np.nan)[np.minimum(index, len(perpends))]
    return np.where(index < high[:, None], found, np.nan)


def _line(places: Array, breaks: Array, height_mm: float) -> Array:
    points = [(places[0], 0.0)]
    for (before, after), level in zip(pairwise(places), breaks, strict=True):
        points += [(before, level), (after, level)]
    points.append((places[-1], height_mm))
    return np.array(points, dtype=np.float64)
