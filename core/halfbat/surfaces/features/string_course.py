"""String courses: one or more courses, of brick or stone, that stand proud of a wall."""

from __future__ import annotations

from halfbat.settings import FeatureRequest
from halfbat.surfaces.dressing import Brickwork, Dressing, ground, void
from halfbat.surfaces.features.plinth import proud_stretch
from halfbat.surfaces.features.site import FeatureSite
from halfbat.surfaces.features.stones import row_of_stones

#: An oversailing course projects up to 30 mm (bricklaying book).
PROJECTION_M = 0.030
#: Length of the stones of a string course or a coping: common practice, no source.
STONE_LENGTH_M = 0.600


def string_course(request: FeatureRequest, site: FeatureSite, where: str) -> Dressing:
    """Let courses stand proud, or lay a band of stones in their place.

    Parameters
    ----------
    request : FeatureRequest
        Where, how high, how far out and of what.
    site : FeatureSite
        The wall.
    where : str
        Name for refusals.
    """
    gauge = site.masonry.gauge_mm
    gauge_m = gauge / site.masonry.scale.mm_per_m
    stone = request.material == "stone"
    foot = site.mm(request.bottom, (site.eaves_mm / 2) / site.masonry.scale.mm_per_m, where)
    first, last = site.rows(foot, site.mm(request.height, (2 if stone else 1) * gauge_m, where), where)
    level = site.raised(site.mm(request.projection, PROJECTION_M, where))
    left, right = proud_stretch(request, site, (first, last), where)
    if not stone:
        return Dressing("string course", where, (Brickwork(first, last, left, right, level),))
    bottom, top = site.masonry.courses[0][first], site.masonry.courses[1][last]
    left, right = max(left, 0.0), min(right, site.length_mm)
    low, high = float(bottom), float(top)
    stones = row_of_stones(site, (left, right), (low, high), STONE_LENGTH_M, "string course stone", level)
    under = ground(left, low, right, high, level - site.joint_depth_mm)
    return Dressing("string course", where, (), ((under,), stones), (void(left, low, right, high),))
