"""Quoins: blocks alternately long and short at the ends of a wall."""

from __future__ import annotations

from halfbat.settings import FeatureRequest
from halfbat.surfaces.dressing import Brickwork, Dressing, ground, void
from halfbat.surfaces.features.piers import strip_laying
from halfbat.surfaces.features.site import FeatureSite
from halfbat.surfaces.laying import End
from halfbat.surfaces.opening_units import Unit, box

#: Length of long and short blocks in bricks: common practice, no source.
LONG, SHORT = 1.5, 1.0
#: Projection where none is given: common practice, no source.
PROJECTION_M = 0.020


def quoins(request: FeatureRequest, site: FeatureSite, where: str) -> Dressing:
    """Stand quoins at both outer corners of a wall.

    Parameters
    ----------
    request : FeatureRequest
        Heights, courses to a block, projection, and stone or brick.
    site : FeatureSite
        The wall.
    where : str
        Name for refusals.

    Returns
    -------
    Dressing
        Where a block is long on one wall it is short on the next round the corner. An end of the wall that another
        wall stands before has none.
    """
    masonry = site.masonry
    scale, gauge = masonry.scale.mm_per_m, masonry.gauge_mm
    level = site.raised(site.mm(request.projection, PROJECTION_M, where))
    foot = site.mm(request.bottom, 0.0, where)
    brickwork: list[Brickwork] = []
    grounds, stones, voids, keep = [], [], [], []
    for end in (0, 1):
        if site.inner[end]:
            continue
        top = site.mm(request.height, (site.end_height_mm(end) - foot) / scale, where) + foot
        first, last = site.rows(foot, min(top, site.end_height_mm(end)) - foot, where)
        for place, (low, high) in enumerate(_blocks(first, last, request.courses)):
            long = (place + end) % 2 == 0
            width = masonry.mm((LONG if long else SHORT) * masonry.brick.stretcher_module_m - masonry.brick.joint_m)
            width = min(width, site.length_mm / 2 - masonry.joint_u_mm)
            if request.material == "stone":
                # The joint beside a block is as wide as all others.
                edge = width if end == 0 else site.length_mm - width - masonry.joint_u_mm
                width += (site.at_pixel(edge) - edge) * (1 if end == 0 else -1)
            left = 0.0 if end == 0 else site.length_mm - width
            v0, v1 = float(masonry.courses[0][low]), float(masonry.courses[1][high])
            if low == 0:
                v0 = 0.0
            beyond = (left - gauge, left + width) if end == 0 else (left, left + width + gauge)
            if request.material == "brick":
                rules = site.rules
                phase = rules.start_phase if end == 0 else rules.end_phase
                ends = (rules.ends[0], End.JAMB) if end == 0 else (End.JAMB, rules.ends[1])
                own = strip_laying(site, width, ends, (phase, phase))
                brickwork.append(Brickwork(low, high, left, left + width, level, laying=own, origin_mm=left))
            else:
                joint = masonry.joint_u_mm
                inside = (beyond[0], left + width + joint) if end == 0 else (left - joint, beyond[1])
                # Blocks lie on the bed joints of the wall, so only the ground beside them is theirs.
                grounds.append(ground(inside[0], v0, inside[1], v1, -site.joint_depth_mm))
                stones.append(Unit(box(beyond[0], v0, beyond[1], v1), "quoin block", level))
            margin = 0.0 if request.material == "brick" else masonry.joint_u_mm
            voids.append(
                void(left, v0, left + width + margin, v1) if end == 0 else void(left - margin, v0, left + width, v1)
            )
            keep.append((left, left + width))
    layers = (tuple(grounds), tuple(stones)) if stones else ()
    return Dressing("quoins", where, tuple(brickwork), layers, tuple(voids), tuple(keep))


def _blocks(first: int, last: int, courses: int) -> list[tuple[int, int]]:
    """Divide courses into blocks; what is left of a block at the top joins the one below if it is under half."""
    starts = list(range(first, last + 1, courses))
    if len(starts) > 1 and last + 1 - starts[-1] < courses / 2:
        starts.pop()
    return list(zip(starts, [*(start - 1 for start in starts[1:]), last], strict=True))
