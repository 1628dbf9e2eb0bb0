"""Block-bonded dressings beside openings: blocks alternately long and short from the sill to the springing."""

from __future__ import annotations

import numpy as np

from halfbat.settings import FeatureRequest
from halfbat.surfaces.dressing import Brickwork, Dressing, ground, void
from halfbat.surfaces.features.piers import strip_laying
from halfbat.surfaces.features.quoins import PROJECTION_M
from halfbat.surfaces.features.site import FeatureSite
from halfbat.surfaces.laying import End
from halfbat.surfaces.opening_units import OpeningUnits, Unit, box

#: Width of long and short blocks in bricks: common practice, no source.
LONG, SHORT = 1.0, 0.5


def surround(request: FeatureRequest, site: FeatureSite, where: str) -> Dressing:
    """Dress the upright jambs of every opening of a wall.

    Parameters
    ----------
    request : FeatureRequest
        Courses to a block, projection, and stone or brick.
    site : FeatureSite
        The wall and its openings.
    where : str
        Name for refusals.
    """
    level = site.raised(site.mm(request.projection, PROJECTION_M, where))
    parts: list[Brickwork] = []
    layers: list[list[Unit]] = [[], []]
    voids: list[OpeningUnits] = []
    for opening in site.openings:
        if opening.jambs is None:
            continue
        for side in (0, 1):
            _dress_jamb(opening, side, level, request, site, parts, layers, voids)
    made = (tuple(layers[0]), tuple(layers[1])) if layers[1] else ()
    return Dressing("surround", where, tuple(parts), made, tuple(voids))


def _room_beside(opening: OpeningUnits, side: int, site: FeatureSite) -> float:
    """Half of what is free between a jamb and the next opening at its height, so that blocks of both have room."""
    assert opening.jambs is not None
    jamb, (low, high) = opening.jambs[side], opening.jambs[2:]
    gaps = []
    for other in site.openings:
        if other is not opening and other.reach[1] < high and other.reach[3] > low:
            low_u, high_u = (other.jambs or (other.reach[0], other.reach[2]))[:2]
            gaps.append(jamb - high_u if side == 0 else low_u - jamb)
    return min((gap for gap in gaps if gap > 0), default=np.inf) / 2


def _dress_jamb(
    opening: OpeningUnits,
    side: int,
    level: float,
    request: FeatureRequest,
    site: FeatureSite,
    parts: list[Brickwork],
    layers: list[list[Unit]],
    voids: list[OpeningUnits],
) -> None:
    assert opening.jambs is not None
    masonry = site.masonry
    jamb = opening.jambs[side]
    on_jamb = np.abs(opening.outline[:, 0] - jamb) < masonry.least_mm / 10
    foot, head = (float(end) for end in (opening.outline[on_jamb, 1].min(), opening.outline[on_jamb, 1].max()))
    bottoms, tops = masonry.courses
    rows = np.flatnonzero((bottoms > foot - masonry.joint_v_mm * 2) & (tops < head + masonry.joint_v_mm / 2))
    joint = masonry.joint_u_mm
    most = _room_beside(opening, side, site) - joint
    for place, start in enumerate(range(0, len(rows), request.courses)):
        low, high = int(rows[start]), int(rows[min(start + request.courses, len(rows)) - 1])
        width = masonry.mm((SHORT if place % 2 else LONG) * masonry.brick.stretcher_module_m - masonry.brick.joint_m)
        width = min(width, most)
        if width < masonry.least_mm:
            continue
        left = jamb - width if side == 0 else jamb
        right = left + width
        if request.material == "stone":
            left = site.at_pixel(left - joint) + joint if side == 0 else left
            right = site.at_pixel(right) if side == 1 else right
        if left < 0 or right > site.length_mm:
            continue
        v0, v1 = float(bottoms[low]), float(tops[high])
        if request.material == "brick":
            ends = (End.STOPPED, End.JAMB) if side == 0 else (End.JAMB, End.STOPPED)
            phases = (0, 0) if width > masonry.half_mm else (1, 1)
            own = strip_laying(site, width, ends, phases)
            parts.append(Brickwork(low, high, left, right, level, laying=own, origin_mm=left))
            voids.append(void(left, v0, right, v1))
            continue
        outer = (left - joint, right) if side == 0 else (left, right + joint)
        layers[0].append(ground(outer[0], v0, outer[1], v1, -site.joint_depth_mm))
        layers[1].append(Unit(box(left, v0, right, v1), "jamb block", level))
        voids.append(void(outer[0], v0, outer[1], v1))
