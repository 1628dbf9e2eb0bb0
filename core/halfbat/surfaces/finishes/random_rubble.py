"""Random rubble: stones of any shape and size, roughly bedded, with joints between them."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from halfbat.settings import FinishRequest
from halfbat.surfaces.dressing import Dressing, ground
from halfbat.surfaces.features.site import FeatureSite
from halfbat.surfaces.finishes.band import Band, band_of, level_of
from halfbat.surfaces.finishes.coursed_rubble import course_lines
from halfbat.surfaces.finishes.obstacles import breadth, cut_off, obstacles_of, parted
from halfbat.surfaces.finishes.seeds import random_numbers
from halfbat.surfaces.laying import Array
from halfbat.surfaces.opening_units import Unit, ring

#: Usual height of a stone, and its length in heights: common practice, no source.
STONE_M, LENGTH = 0.220, 1.6
#: How far the middles of stones are moved about, in sizes of a stone.
SCATTER = 0.32
_NEAR = 2.6


def random_rubble(request: FinishRequest, site: FeatureSite, where: str) -> Dressing:
    """Cover a band with stones of any shape.

    Parameters
    ----------
    request : FinishRequest
        Band, usual height of a stone, and seed.
    site : FeatureSite
        The wall.
    where : str
        Name for refusals.

    Returns
    -------
    Dressing
        The same stones for the same wall and seed. Each is what lies nearer to its own middle than to any other's,
        with heights counted more than lengths, less half a joint all round: so stones are convex and never overlap.
        Corners too close for the printer are taken off, and stones too small left out.
    """
    masonry = site.masonry
    band = band_of(request, site, where)
    level = level_of(request, site, band, 0.0, where)
    numbers = random_numbers("random rubble", site.letter, request.seed)
    joint, least = masonry.joint_mm, masonry.least_mm
    usual = max(site.mm(request.size, STONE_M, where), 3 * (joint + least))
    middles = _middles(band, usual, site, numbers)
    blocked = obstacles_of(site, usual / 3)
    stones: list[Unit] = []
    for place in range(len(middles)):
        raised = int(next(numbers) * 3) * masonry.layer_mm
        for piece in parted(_stone(place, middles, usual, band, joint), blocked, joint):
            corners = without_short_sides(piece, least)
            if breadth(corners) >= 2 * least:
                stones.append(Unit(ring(corners), "rubble stone", level + raised))
    under = ground(0.0, band.low_mm, site.length_mm, band.high_mm, level - site.joint_depth_mm)
    return Dressing("random rubble", where, (), ((under,), tuple(stones)), (band.void,))


def _middles(band: Band, usual: float, site: FeatureSite, numbers: Iterator[float]) -> Array:
    """Scatter the middles of stones about rows of differing height and stones of differing length."""
    lines = course_lines(band, usual, site, numbers)
    found: list[tuple[float, float]] = []
    for low, high in pairwise(lines):
        height = float(high - low)
        at = -usual * LENGTH * 0.7 * next(numbers)
        while at < site.length_mm:
            length = usual * LENGTH * (0.55 + 0.9 * next(numbers))
            middle = at + length / 2 + (next(numbers) - 0.5) * SCATTER * usual
            rise = (low + high) / 2 + (next(numbers) - 0.5) * 2 * SCATTER * height
            if 0 < middle < site.length_mm:
                found.append((middle, float(rise)))
            at += length
    return np.array(found, dtype=np.float64).reshape(-1, 2)


def _stone(place: int, middles: Array, usual: float, band: Band, joint: float) -> Array:
    """Cut one stone out of the band by the half planes nearer to its middle than to the others'."""
    own = middles[place]
    squash = np.array([1.0 / LENGTH, 1.0])
    away = np.abs((middles - own) * squash).max(axis=1)
    near = np.flatnonzero((away < _NEAR * usual) & (away > 0))
    corners = np.array(
        [
            [0.0, band.low_mm],
            [band.length_mm, band.low_mm],
            [band.length_mm, band.high_mm],
            [0.0, band.high_mm],
        ]
    )
    for other in middles[near[np.argsort(away[near])]]:
        normal = (other - own) * squash**2
        size = float(np.hypot(*normal))
        limit = float(normal @ (own + other) / 2) / size - joint / 2
        corners = cut_off(corners, normal / size, limit)
        if not len(corners):
            break
    return corners


def without_short_sides(corners: Array, least: float) -> Array:
    """Replace every side shorter than a least length by one corner in its middle; what is left stays inside."""
    while len(corners) > 3:
        sides = np.hypot(*(np.roll(corners, -1, axis=0) - corners).T)
        shortest = int(np.argmin(sides))
        if sides[shortest] >= least:
            break
        following = (shortest + 1) % len(corners)
        corners = corners.copy()
        corners[shortest] = (corners[shortest] + corners[following]) / 2
        corners = np.delete(corners, following, axis=0)
    return corners
