"""Weatherboarding: boards that lap the one below, between upright corner boards."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from halfbat.settings import FinishRequest
from halfbat.surfaces.dressing import Dressing, ground, slope
from halfbat.surfaces.features.site import FeatureSite
from halfbat.surfaces.finishes.band import Band, band_of, level_of
from halfbat.surfaces.finishes.seeds import random_numbers
from halfbat.surfaces.laying import Array
from halfbat.surfaces.opening_units import Unit, box

#: What shows of a board, thickness of its lower edge, longest board, width of corner boards: common practice.
COVER_M, BUTT_M, LONGEST_M, CORNER_M = 0.150, 0.020, 4.8, 0.100
_LEAST_COURSE = 0.4


def weatherboard(request: FinishRequest, site: FeatureSite, where: str) -> Dressing:
    """Cover a band with boards, each sloping back from its lower edge to under the next.

    Parameters
    ----------
    request : FinishRequest
        Band, cover of a board, and seed for the butt joints.
    site : FeatureSite
        The wall.
    where : str
        Name for refusals.
    """
    masonry = site.masonry
    band = band_of(request, site, where)
    level = level_of(request, site, band, 0.0, where)
    butt = site.raised(masonry.mm(BUTT_M))
    cover = max(site.mm(request.size, COVER_M, where), 2 * (masonry.joint_v_mm + masonry.least_mm))
    lines = board_lines(band, cover, site)
    corner = max(masonry.mm(CORNER_M), masonry.joint_u_mm * 2)
    numbers = random_numbers("weatherboard", site.letter, request.seed)
    boards: list[Unit] = []
    grounds = [ground(0.0, band.low_mm, band.length_mm, band.high_mm, level)]
    ends = (0.0 if site.inner[0] else corner, band.length_mm - (0.0 if site.inner[1] else corner))
    for low, high in pairwise(lines):
        plane = slope(float(low), float(high), level + butt, level)
        joints = _butt_joints(ends, site, next(numbers))
        edges = np.concatenate([[ends[0] - masonry.joint_u_mm], joints, [ends[1]]])
        for left, right in zip(edges[:-1] + masonry.joint_u_mm, edges[1:], strict=True):
            boards.append(Unit(box(left, float(low), right, float(high)), "weatherboard", level, plane))
    top = level + butt + masonry.layer_mm
    corners = [
        Unit(box(left, band.low_mm, right, band.high_mm), "corner board", top)
        for left, right, inner in ((-corner, ends[0], site.inner[0]), (ends[1], ends[1] + 2 * corner, site.inner[1]))
        if not inner
    ]
    return Dressing("weatherboard", where, (), (tuple(grounds), (*boards, *corners)), (band.void,), clear_mm=level)


def board_lines(band: Band, cover_mm: float, site: FeatureSite) -> Array:
    """Divide a band into boards of one cover; a low remainder at the top is shared out."""
    count = max(1, int((band.high_mm - band.low_mm) / cover_mm + 1 - _LEAST_COURSE))
    inner = band.low_mm + (band.high_mm - band.low_mm) / count * np.arange(1, count, dtype=np.float64)
    lines: Array = np.concatenate([[band.low_mm], site.masonry.lattice_v.round(inner), [band.high_mm]])
    return lines


def _butt_joints(ends: tuple[float, float], site: FeatureSite, chance: float) -> Array:
    """Return where butt joints begin in one row of boards; none in rows a board is long enough for."""
    masonry = site.masonry
    longest = masonry.mm(LONGEST_M)
    length = ends[1] - ends[0]
    if length <= longest:
        return np.array([])
    first = longest * (0.35 + 0.65 * chance)
    found = np.arange(first, length, longest)
    clear = masonry.mm(0.6)
    kept = ends[0] + found[(found > clear) & (found < length - clear)]
    return masonry.lattice_u.round(kept.astype(np.float64))
