"""The band of a wall that a finish covers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from halfbat.errors import KitError
from halfbat.settings import FinishRequest
from halfbat.surfaces.dressing import FAR_MM, void
from halfbat.surfaces.features.site import FeatureSite
from halfbat.surfaces.laying import Array
from halfbat.surfaces.opening_units import OpeningUnits
from halfbat.units import format_length


@dataclass(frozen=True, slots=True)
class Band:
    """A stretch of height over the whole length of a wall, model millimetres.

    Parameters
    ----------
    low_mm, high_mm : float
        On bed joints where bricks go on below or above it.
    length_mm : float
        Length of the wall.
    over_bricks : bool
        Whether bricks show below or above it.
    """

    low_mm: float
    high_mm: float
    length_mm: float
    over_bricks: bool

    @property
    def void(self) -> OpeningUnits:
        """Where bricks give way: the whole band."""
        return void(-FAR_MM, self.low_mm, self.length_mm + FAR_MM, self.high_mm)


def band_of(request: FinishRequest, site: FeatureSite, where: str) -> Band:
    """Return the band that a finish is to cover.

    Raises
    ------
    KitError
        It has no height, or begins above the wall.
    """
    bottoms, tops = site.masonry.courses
    low = site.mm(request.bottom, 0.0, where)
    high = site.mm(request.top, 0.0, where) if request.top else site.height_mm
    if not low < min(high, site.height_mm):
        told = format_length(site.height_mm / site.masonry.scale.mm_per_m)
        if request.top and high <= low:
            raise KitError("the finish ends no higher than it begins", where, "give it a top above its bottom")
        raise KitError("the finish begins above this wall", where, f"let it begin lower: the wall is {told} high")
    gauge = site.masonry.gauge_mm
    whole_foot, whole_top = low < gauge / 2, high > site.height_mm - gauge / 2
    foot = 0.0 if whole_foot else _nearest(bottoms, low)
    top = site.height_mm if whole_top else _nearest(tops, high)
    if not top > foot:
        raise KitError("the finish is lower than a course", where, "make its band higher")
    return Band(foot, top, site.length_mm, not (whole_foot and whole_top))


def level_of(request: FinishRequest, site: FeatureSite, band: Band, usual_m: float, where: str) -> float:
    """Return the level of a finish: what is asked for, else the usual where bricks show beside it and 0 where not."""
    if request.projection:
        wanted = site.mm(request.projection, 0.0, where)
        return site.raised(wanted) if wanted > 0 else 0.0
    return site.raised(site.masonry.mm(usual_m)) if band.over_bricks and usual_m > 0 else 0.0


def _nearest(lines: Array, at: float) -> float:
    return float(lines[np.argmin(np.abs(lines - at))])
