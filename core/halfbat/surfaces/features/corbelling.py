"""Corbelled eaves: courses at the top of a wall, each oversailing the one below."""

from __future__ import annotations

from halfbat.findings import Finding, Severity
from halfbat.settings import FeatureRequest
from halfbat.surfaces.dressing import Brickwork, Dressing
from halfbat.surfaces.features.plinth import proud_stretch
from halfbat.surfaces.features.site import FeatureSite

#: An oversailing course projects up to 30 mm beyond the one below (bricklaying book).
MOST_M = 0.030


def corbelled_eaves(request: FeatureRequest, site: FeatureSite, where: str) -> Dressing:
    """Let the topmost courses of a wall step outward.

    Parameters
    ----------
    request : FeatureRequest
        Number of courses, and projection of each over the one below.
    site : FeatureSite
        The wall.
    where : str
        Name for refusals.

    Returns
    -------
    Dressing
        Each course stands 30 mm at most before the one below, in whole layers, but never less than shows. They end as
        many courses lower as the roof over them needs. A gable has no eaves: where no foot is given, nothing is made
        there.
    """
    masonry = site.masonry
    if not request.bottom and not site.level_top:
        text = "a gable has no eaves to corbel"
        return Dressing("corbelled eaves", where, findings=(Finding(Severity.NOTE, "no-eaves", where, text),))
    gauge = masonry.gauge_mm
    asked = site.mm(request.projection, MOST_M, where)
    most = masonry.mm(MOST_M)
    step = site.raised(asked, most_mm=most)
    findings: list[Finding] = []
    if asked > most + masonry.layer_mm / 2:
        text = "an oversailing course projects up to 30 mm beyond the one below"
        findings.append(Finding(Severity.WARNING, "oversailing", where, text, "give it more courses"))
        step = site.raised(asked)
    lower = site.courses_under_roof(step * request.courses)
    foot = site.height_mm - (request.courses + lower) * gauge
    foot = site.mm(request.bottom, 0.0, where) if request.bottom else foot
    first, _ = site.rows(max(foot, 0.0), gauge, where)
    count = min(request.courses, masonry.laying.courses - first)
    parts = []
    for place in range(count):
        level = round(step * (place + 1), 9)
        last = masonry.laying.courses - 1 if place == count - 1 and not request.bottom and not lower else first + place
        left, right = proud_stretch(request, site, (first + place, last), where)
        parts.append(Brickwork(first + place, last, left, right, level))
    return Dressing("corbelled eaves", where, tuple(parts), findings=tuple(findings))
