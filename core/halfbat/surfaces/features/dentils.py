"""Dentil courses: headers that stand proud by turns, under a course that oversails them."""

from __future__ import annotations

from halfbat.settings import FeatureRequest
from halfbat.surfaces.dressing import Brickwork, Dressing, ground, void
from halfbat.surfaces.features.plinth import proud_stretch
from halfbat.surfaces.features.site import FeatureSite
from halfbat.surfaces.features.string_course import PROJECTION_M
from halfbat.surfaces.opening_units import Unit, box, spread


def dentil_course(request: FeatureRequest, site: FeatureSite, where: str) -> Dressing:
    """Lay a course of headers of which every second one stands proud, and let the courses over it stand as far out.

    Parameters
    ----------
    request : FeatureRequest
        Foot, height with the oversailing courses (two courses where none is given) and projection.
    site : FeatureSite
        The wall.
    where : str
        Name for refusals.

    Returns
    -------
    Dressing
        The count of headers is odd, so that one stands proud at both ends.
    """
    masonry = site.masonry
    gauge_m = masonry.gauge_mm / masonry.scale.mm_per_m
    level = site.raised(site.mm(request.projection, PROJECTION_M, where))
    usual = max(site.eaves_mm / masonry.scale.mm_per_m - (2 + site.courses_under_roof(level)) * gauge_m, 0.0)
    foot = site.mm(request.bottom, usual, where)
    first, last = site.rows(foot, site.mm(request.height, 2 * gauge_m, where), where)
    left, right = proud_stretch(request, site, (first, last), where)
    over = (Brickwork(first + 1, last, left, right, level),) if last > first else ()
    begin, end = site.stretch(request, where)
    begin, end = max(begin, left), min(end, right)
    low, high = float(masonry.courses[0][first]), float(masonry.courses[1][first])
    joint = masonry.joint_u_mm
    most = int((end - begin + joint) / (joint + 2 * masonry.least_mm))
    count = max(1, min(round((end - begin) / masonry.half_mm), most))
    count -= 1 - count % 2
    edges = spread(begin - joint, end + joint, count, joint, (masonry.lattice_u.origin_mm, masonry.lattice_u.pitch_mm))
    headers = tuple(
        Unit(box(a, low, b, high), "dentil header" if place % 2 == 0 else "header", level if place % 2 == 0 else 0.0)
        for place, (a, b) in enumerate(edges)
    )
    under = ground(begin, low, end, high, -site.joint_depth_mm)
    return Dressing("dentil course", where, over, ((under,), headers), (void(begin, low, end, high),))
