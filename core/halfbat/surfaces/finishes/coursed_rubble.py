"""Coursed rubble: squared stones of all lengths in courses of differing height."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from halfbat.settings import FinishRequest
from halfbat.surfaces.dressing import Dressing, ground
from halfbat.surfaces.features.site import FeatureSite
from halfbat.surfaces.finishes.band import Band, band_of, level_of
from halfbat.surfaces.finishes.obstacles import breadth, obstacles_of, parted
from halfbat.surfaces.finishes.seeds import random_numbers
from halfbat.surfaces.laying import Array
from halfbat.surfaces.opening_units import Unit, box, ring

#: Usual height of a course: common practice, no source. Courses differ by a third either way.
COURSE_M = 0.200
DIFFERENCE = 0.33
#: Lengths of stones in heights of their course, and the least lap in heights: common practice, no source.
SHORTEST, LONGEST, LAP = 0.9, 2.6, 0.25
_TRIES = 6


def coursed_rubble(request: FinishRequest, site: FeatureSite, where: str) -> Dressing:
    """Cover a band with stones in courses.

    Parameters
    ----------
    request : FinishRequest
        Band, usual height of a course, and seed.
    site : FeatureSite
        The wall.
    where : str
        Name for refusals.

    Returns
    -------
    Dressing
        The same stones for the same wall and seed. Faces differ by a layer or two, as rock faces do; perpends do not
        stand over one another.
    """
    masonry = site.masonry
    band = band_of(request, site, where)
    level = level_of(request, site, band, 0.0, where)
    numbers = random_numbers("coursed rubble", site.letter, request.seed)
    usual = max(site.mm(request.size, COURSE_M, where), 3 * (masonry.joint_v_mm + masonry.least_mm))
    lines = course_lines(band, usual, site, numbers)
    joint_u, joint_v = masonry.joint_u_mm, masonry.joint_v_mm
    blocked = obstacles_of(site, usual / 3)
    stones: list[Unit] = []
    below = np.array([])
    for row, (low, high) in enumerate(pairwise(lines)):
        joints = _perpends(site, float(high - low), below, numbers)
        top = high - joint_v if row < len(lines) - 2 else high
        edges = np.concatenate([[-joint_u], joints, [site.length_mm]])
        for left, right in zip(edges[:-1] + joint_u, edges[1:], strict=True):
            raised = int(next(numbers) * 3) * masonry.layer_mm
            for piece in parted(box(left, low, right, top), blocked, masonry.joint_mm):
                if breadth(piece) >= 2 * masonry.least_mm:
                    stones.append(Unit(ring(piece), "rubble stone", level + raised))
        below = joints
    under = ground(0.0, band.low_mm, site.length_mm, band.high_mm, level - site.joint_depth_mm)
    return Dressing("coursed rubble", where, (), ((under,), tuple(stones)), (band.void,))


def course_lines(band: Band, usual_mm: float, site: FeatureSite, numbers: Iterator[float]) -> Array:
    """Divide a band into courses of differing height; each line is the foot of a course, on the lattice."""
    height = band.high_mm - band.low_mm
    count = max(1, round(height / usual_mm))
    shares = np.array([1.0 + DIFFERENCE * (2 * next(numbers) - 1) for _ in range(count)])
    inner = band.low_mm + height * np.cumsum(shares)[:-1] / shares.sum()
    lines: Array = np.concatenate([[band.low_mm], site.masonry.lattice_v.round(inner), [band.high_mm]])
    return lines


def _perpends(site: FeatureSite, height: float, below: Array, numbers: Iterator[float]) -> Array:
    """Return where the perpends of a course begin, none over one of the course below."""
    masonry, length = site.masonry, site.length_mm
    joint, least = masonry.joint_u_mm, max(SHORTEST * height, 2 * masonry.joint_u_mm + masonry.least_mm)
    found: list[float] = []
    at = 0.0
    while length - at > 2 * least:
        for _ in range(_TRIES):
            step = least + (LONGEST - SHORTEST) * height * next(numbers) ** 1.5
            end = at + step
            clear = not len(below) or float(np.abs(below - end).min()) > LAP * height
            if clear and length - end >= least:
                break
        else:
            end = min(at + least, length - least)
        found.append(end - joint / 2)
        at = end
    return masonry.lattice_u.round(np.array(found, dtype=np.float64))
