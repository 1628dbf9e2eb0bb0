"""Render: a smooth coat, or one with a fine texture of grains that stand up by one step."""

from __future__ import annotations

import numpy as np

from halfbat.settings import FinishRequest
from halfbat.surfaces.dressing import Dressing
from halfbat.surfaces.features.site import FeatureSite
from halfbat.surfaces.finishes.band import Band, band_of, level_of
from halfbat.surfaces.finishes.obstacles import obstacles_of
from halfbat.surfaces.finishes.seeds import random_numbers
from halfbat.surfaces.opening_units import Unit, box

#: Thickness of a coat over bricks: common practice, no source.
COAT_M = 0.015
#: Distance of the grains of a texture, full size, and the least in the model: common practice, no source.
GRAIN_M, LEAST_GRAIN_MM = 0.040, 0.45
_SHARE = 0.7


def render(request: FinishRequest, site: FeatureSite, where: str) -> Dressing:
    """Render a band of a wall.

    Parameters
    ----------
    request : FinishRequest
        Band, texture, thickness and seed.
    site : FeatureSite
        The wall.
    where : str
        Name for refusals.

    Returns
    -------
    Dressing
        A coat stands out where bricks show above or below it, and is the face of the wall where they do not.
    """
    band = band_of(request, site, where)
    level = level_of(request, site, band, COAT_M, where)
    # A skin may run on behind the next one.
    beyond = 10.0 * site.masonry.gauge_mm
    coat = Unit(box(-beyond, band.low_mm, band.length_mm + beyond, band.high_mm), "render coat", level)
    layers: list[tuple[Unit, ...]] = [(coat,)]
    if request.texture == "fine":
        layers.append(_grains(band, level, request, site))
    return Dressing("render", where, (), tuple(layers), (band.void,))


def _grains(band: Band, level: float, request: FinishRequest, site: FeatureSite) -> tuple[Unit, ...]:
    """Scatter grains, one to a square of a grid at most, so that none touches another."""
    masonry = site.masonry
    apart = max(masonry.joint_mm, masonry.least_mm)
    pitch = max(masonry.mm(GRAIN_M), LEAST_GRAIN_MM, apart + 2 * masonry.least_mm)
    most = pitch - apart
    smallest = min(max(masonry.least_mm, most / 2), most)
    columns, rows = int((band.length_mm - apart) / pitch), int((band.high_mm - band.low_mm - apart) / pitch)
    grain = site.raised(0.0)
    numbers = random_numbers("render", site.letter, request.seed)
    blocked = obstacles_of(site, pitch)
    grains = []
    for row in range(rows):
        for column in range(columns):
            if next(numbers) > _SHARE:
                continue
            size = smallest + (most - smallest) * np.array([next(numbers), next(numbers)])
            corner = np.array([column, row]) * pitch + apart / 2 + (most - size) * [next(numbers), next(numbers)]
            u0, v0 = (corner + np.array([apart / 2, band.low_mm + apart / 2])).tolist()
            over = (blocked[:, 0] < u0 + size[0]) & (blocked[:, 2] > u0)
            if (over & (blocked[:, 1] < v0 + size[1]) & (blocked[:, 3] > v0)).any():
                continue
            grains.append(Unit(box(u0, v0, u0 + size[0], v0 + size[1]), "", level + grain))
    return tuple(grains)
