"""Plinths: courses at the foot of a wall that stand proud, with a square or a chamfered top."""

from __future__ import annotations

from halfbat.settings import FeatureRequest
from halfbat.surfaces.dressing import FAR_MM, Brickwork, Dressing
from halfbat.surfaces.features.site import FeatureSite

#: A chamfer takes a quarter of a brick, so that a plinth may be this much proud: common practice, no source.
PROJECTION_M = 0.05625
#: Height of a plinth where none is given: common practice, no source.
USUAL_COURSES = 6


def plinth(request: FeatureRequest, site: FeatureSite, where: str) -> Dressing:
    """Let the lowest courses of a wall stand proud.

    Parameters
    ----------
    request : FeatureRequest
        Height, projection and top.
    site : FeatureSite
        The wall.
    where : str
        Name for refusals.

    Returns
    -------
    Dressing
        In whole courses, with the wall's own bricks and joints; a chamfer takes the top course.
    """
    gauge_m = site.masonry.gauge_mm / site.masonry.scale.mm_per_m
    foot = site.mm(request.bottom, 0.0, where)
    first, last = site.rows(foot, site.mm(request.height, USUAL_COURSES * gauge_m, where), where)
    level = site.raised(site.mm(request.projection, PROJECTION_M, where))
    left, right = proud_stretch(request, site, (first, last), where)
    if request.top == "square":
        return Dressing("plinth", where, (Brickwork(first, last, left, right, level),))
    square = (Brickwork(first, last - 1, left, right, level),) if last > first else ()
    return Dressing("plinth", where, (*square, Brickwork(last, last, left, right, level, 0.0)))


def proud_stretch(request: FeatureRequest, site: FeatureSite, rows: tuple[int, int], where: str) -> tuple[float, float]:
    """Return the stretch of courses that stand proud: beyond the wall's ends where it goes right up to them."""
    begin, end = site.stretch(request, where)
    left, right = site.clear_ends(*rows)
    begin = begin if request.start else -FAR_MM
    end = end if request.end else FAR_MM
    return max(begin, left), min(end, right)
