"""Piers and pilasters: upright strips of brickwork that stand proud, and panels that lie back."""

from __future__ import annotations

from dataclasses import replace

from halfbat.findings import Finding, Severity
from halfbat.settings import FeatureRequest
from halfbat.surfaces.coursing import Coursing
from halfbat.surfaces.dressing import Brickwork, Dressing, void
from halfbat.surfaces.features.site import FeatureSite
from halfbat.surfaces.laying import End, Laying, lay_wall

#: Width in bricks and projection where none is given: common practice, no source.
USUAL = {"pier": (2.0, 0.1125), "pilaster": (1.5, 0.05625), "recessed panel": (4.0, 0.05625)}


def pier(request: FeatureRequest, site: FeatureSite, where: str) -> Dressing:
    """Stand piers or pilasters before a wall; their bricks are laid for themselves, in the wall's bond and courses.

    Parameters
    ----------
    request : FeatureRequest
        Where, how wide, from which height to which and how far out.
    site : FeatureSite
        The wall.
    where : str
        Name for refusals.
    """
    return _strips(request, site, where, 1)


def recessed_panel(request: FeatureRequest, site: FeatureSite, where: str) -> Dressing:
    """Let a panel of brickwork lie back, never so far that too little is left behind it.

    Parameters
    ----------
    request : FeatureRequest
        Where, how wide and high, and how deep.
    site : FeatureSite
        The wall.
    where : str
        Name for refusals.
    """
    return _strips(request, site, where, -1)


def _strips(request: FeatureRequest, site: FeatureSite, where: str, side: int) -> Dressing:
    masonry = site.masonry
    scale = masonry.scale.mm_per_m
    bricks, out_m = USUAL[request.kind]
    width = site.mm(request.width, bricks * masonry.brick.stretcher_module_m - masonry.brick.joint_m, where)
    usual_foot = 0.0 if side > 0 else 3 * masonry.gauge_mm
    foot = site.mm(request.bottom, usual_foot / scale, where)
    rest = site.height_mm - foot if side > 0 else max(site.eaves_mm - foot - usual_foot, masonry.gauge_mm)
    first, last = site.rows(foot, site.mm(request.height, rest / scale, where), where)
    wanted = site.mm(request.projection, out_m, where)
    level, findings = site.raised(wanted), tuple[Finding, ...]()
    if side < 0:
        room = site.base_mm - site.least_base_mm
        level = site.raised(wanted, most_mm=room)
        if level < wanted - masonry.layer_mm:
            text = f"the panel lies {level:.2f} mm back instead of {wanted:.2f}, so that the skin holds behind it"
            findings = (Finding(Severity.NOTE, "recess-shallow", where, text, "make the skin thicker"),)
    v0 = float(masonry.courses[0][first]) if first else 0.0
    v1 = float(masonry.courses[1][last]) if last < masonry.laying.courses - 1 else site.height_mm
    parts, voids, keep = [], [], []
    for left in site.places(request, width, where):
        own = strip_laying(site, width, (End.STOPPED, End.STOPPED))
        parts.append(Brickwork(first, last, left, left + width, side * level, laying=own, origin_mm=left))
        voids.append(void(left, v0, left + width, v1, laid_to=side < 0))
        keep.append((left, left + width))
    return Dressing(request.kind, where, tuple(parts), (), tuple(voids), tuple(keep), findings=findings)


def strip_laying(site: FeatureSite, width_mm: float, ends: tuple[End, End], phases: tuple[int, int] = (0, 0)) -> Laying:
    """Lay a strip of a wall for itself, in the wall's courses."""
    masonry, rules = site.masonry, site.rules
    whole = masonry.laying
    coursing = Coursing(whole.bed_v_mm, whole.gauge_mm, whole.height_mm)
    size = rules.bond, masonry.brick, masonry.scale
    laid = lay_wall(
        width_mm,
        coursing,
        *size,
        phases[0],
        end_phase=phases[1],
        perpend_limit_m=rules.perpend_limit_m,
        ends=ends,
        where=rules.where,
    )
    return replace(laid, findings=())
