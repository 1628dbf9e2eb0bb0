"""How many units a laid wall takes, by kind."""

from __future__ import annotations

import numpy as np

from halfbat.surfaces.laying import Laying
from halfbat.surfaces.pieces import Kind
from halfbat.units import Scale


def count_units(laying: Laying) -> dict[Kind, int]:
    """Count the units seen on a wall.

    A brick at a quoin is seen on both walls, as a stretcher on one and a header on the other, and is counted on each.

    Parameters
    ----------
    laying : Laying
        The wall.

    Returns
    -------
    dict of Kind to int
        Only kinds that occur, in the order of `Kind`; voids are not counted.
    """
    courses = np.bincount(laying.course_pattern, minlength=len(laying.patterns))
    counts = np.zeros(len(Kind), dtype=np.int64)
    for pattern, times in zip(laying.patterns, courses, strict=True):
        counts += times * np.bincount(pattern.kinds, minlength=len(Kind))
    return {kind: int(counts[kind]) for kind in Kind if counts[kind] and kind is not Kind.VOID}


def facing_per_m2(laying: Laying, scale: Scale) -> float:
    """Return the units seen to one full-size square metre of a laid wall, quoins and broken bond included.

    Parameters
    ----------
    laying : Laying
        The wall.
    scale : Scale
        Scale it was laid at.

    Returns
    -------
    float
    """
    area_m2 = laying.length_mm * laying.height_mm / scale.mm_per_m**2
    return sum(count_units(laying).values()) / area_m2
