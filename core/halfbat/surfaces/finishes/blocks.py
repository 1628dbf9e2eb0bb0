"""Ashlar and concrete blocks: laid as bricks of another format are, in half bond."""

from __future__ import annotations

from dataclasses import replace
from math import ceil

import numpy as np

from halfbat.settings import FinishRequest
from halfbat.surfaces.bonds import get_bond
from halfbat.surfaces.coursing import Coursing
from halfbat.surfaces.dressing import FAR_MM, Brickwork, Dressing
from halfbat.surfaces.features.site import FeatureSite
from halfbat.surfaces.finishes.band import band_of, level_of
from halfbat.surfaces.formats import BrickFormat
from halfbat.surfaces.jambs import laying_with_openings
from halfbat.surfaces.laying import End, Laying, lay_wall
from halfbat.surfaces.masonry import Masonry

#: Work size 440 x 215 x 215 with 10 mm joints, so that a course takes three of bricks (BS 6073; from memory).
BLOCK = BrickFormat("block", "Concrete block", 0.440, 0.215, 0.215, 0.010, 0.225)
#: Stones of ashlar with joints of 3 to 5 mm: common practice, no source.
ASHLAR = BrickFormat("ashlar", "Ashlar", 0.595, 0.295, 0.295, 0.005, 0.300)
_LEAST_COURSE = 0.3


def blocks(request: FinishRequest, site: FeatureSite, where: str) -> Dressing:
    """Build a band of wall of blocks or ashlar, round its openings.

    Parameters
    ----------
    request : FinishRequest
        Band, kind, and for ashlar the height of a course.
    site : FeatureSite
        The wall.
    where : str
        Name for refusals.

    Returns
    -------
    Dressing
        Courses of blocks end with the band; a low remainder joins the course below.
    """
    masonry = site.masonry
    band = band_of(request, site, where)
    stone = request.kind == "ashlar"
    unit = _sized(ASHLAR if stone else BLOCK, site.mm(request.size, 0.0, where) / masonry.scale.mm_per_m)
    gauge = masonry.mm(unit.gauge_m)
    whole = max(1, ceil((band.high_mm - band.low_mm) / gauge - _LEAST_COURSE))
    beds = band.low_mm + gauge * np.arange(whole, dtype=np.float64)
    bed = masonry.mm(unit.bed_joint_m)
    coursing = Coursing(beds + (0.0 if band.low_mm > 0 else bed / 2), gauge, band.high_mm)
    laying = _laid(site, unit, coursing)
    level = level_of(request, site, band, 0.0, where)
    work = Brickwork(0, whole - 1, -FAR_MM, FAR_MM, level, laying=laying, name=unit.name.lower())
    return Dressing(request.kind, where, (work,), (), (band.void,), findings=laying.findings)


def _sized(unit: BrickFormat, gauge_m: float) -> BrickFormat:
    """Return the format with courses of another height, and its other sizes in the same proportion."""
    if not gauge_m:
        return unit
    share = gauge_m / unit.gauge_m
    length, width = ((size + unit.joint_m) * share - unit.joint_m for size in (unit.length_m, unit.width_m))
    return replace(unit, length_m=length, width_m=width, height_m=gauge_m - unit.joint_m, gauge_m=gauge_m)


def _laid(site: FeatureSite, unit: BrickFormat, coursing: Coursing) -> Laying:
    masonry, rules, bond = site.masonry, site.rules, get_bond("stretcher", 3)
    ends = tuple(End.STOPPED if end is End.RETURN else end for end in rules.ends)
    laying = lay_wall(
        site.length_mm,
        coursing,
        bond,
        unit,
        masonry.scale,
        rules.start_phase,
        end_phase=rules.end_phase,
        perpend_limit_m=unit.stretcher_module_m / 20,
        ends=(ends[0], ends[1]),
        where=rules.where,
    )
    block_masonry = Masonry(
        laying,
        unit,
        masonry.scale,
        unit.bed_joint_m,
        masonry.joint_u_mm,
        masonry.joint_v_mm,
        masonry.lattice_u,
        masonry.lattice_v,
        masonry.layer_mm,
        masonry.least_mm,
    )
    own = replace(rules, bond=bond, courses=(), perpend_limit_m=unit.stretcher_module_m / 20)
    laid = laying_with_openings(block_masonry, site.openings, own)
    return replace(laid, findings=())
