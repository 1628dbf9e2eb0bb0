"""What stands proud of two walls where they meet, and how it ends there: no slot is left, and nothing crosses."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from math import cos, radians, sin

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import FaceOfWall
from halfbat.parts.clearing import clipped
from halfbat.parts.corners import SHARPEST_DEG, End
from halfbat.solids.plate import ProudEnd
from halfbat.surfaces import Laying
from halfbat.surfaces.dressing import FAR_MM, Brickwork, Dressing, Proud
from halfbat.surfaces.masonry import Masonry
from halfbat.surfaces.opening_units import Unit

Array = NDArray[np.float64]
INSIDE_MM = 0.3
"""Where the end of a wall is looked at, from the corner: further in than any gap there."""
LEAST_MM = 1e-6
LEAST_SHARE = 0.2
"""What stands out less than this share of what it meets is taken for the wall's face, and ends at the corner."""
STEEPEST = 2.7
"""Outward for each millimetre of height: resin prints faces from 19 degrees on (published values, section 7.1)."""
LEAST_PIECE_MM = 0.1


def proud_at(dressings: Sequence[Dressing], laying: Laying, masonry: Masonry, end: int) -> tuple[Proud, ...]:
    """Return what stands out at the left (0) or right (1) end of a wall, from the foot up.

    Parameters
    ----------
    dressings : sequence of Dressing
        Of the wall.
    laying : Laying
        Its bricks.
    masonry : Masonry
        Heights of their courses as printed.
    end : {0, 1}
        Left or right.
    """
    return proud_over(dressings, INSIDE_MM if end == 0 else laying.length_mm - INSIDE_MM, masonry)


def proud_over(dressings: Sequence[Dressing], at: float, masonry: Masonry) -> tuple[Proud, ...]:
    """Return what stands out at a place along a wall, from the foot up; see `proud_at`."""
    found: list[Proud] = []
    for own in dressings:
        for part in own.brickwork:
            if part.left_mm <= at <= part.right_mm:
                found.append(Proud(*_heights(part, masonry), part.level_mm))
        for unit in (unit for layer in own.layers for unit in layer):
            if unit.ring[:, 0].min() <= at <= unit.ring[:, 0].max():
                found.append(Proud(float(unit.ring[:, 1].min()), float(unit.ring[:, 1].max()), _out_mm(unit)))
    return _stacked(found)


def _out_mm(unit: Unit) -> float:
    a, b, c = unit.face
    return float((a + unit.ring @ (b, c)).max())


def _stacked(found: Sequence[Proud]) -> tuple[Proud, ...]:
    """Bring stretches into order, the last one where several lie over one another."""
    lines = sorted({line for one in found for line in (one.low_mm, one.high_mm)})
    stacked: list[Proud] = []
    for low, high in pairwise(lines):
        over = [one.out_mm for one in found if one.low_mm < high - LEAST_MM and one.high_mm > low + LEAST_MM]
        out = over[-1] if over else 0.0
        if stacked and stacked[-1].high_mm == low and stacked[-1].out_mm == out:
            stacked[-1] = Proud(stacked[-1].low_mm, high, out)
        elif out > LEAST_MM:
            stacked.append(Proud(low, high, out))
    return tuple(stacked)


def _furthest(found: Sequence[Proud], low: float, high: float) -> float:
    return max(
        (one.out_mm for one in found if one.low_mm < high - LEAST_MM and one.high_mm > low + LEAST_MM), default=0.0
    )


def _heights(part: Brickwork, masonry: Masonry) -> tuple[float, float]:
    """Foot and top of courses, which blocks have of their own."""
    bottoms, tops = masonry.courses
    own = part.laying
    if own is not None and (own.courses != len(tops) or own.bed_v_mm[0] != masonry.laying.bed_v_mm[0]):
        bottoms, tops = own.bed_v_mm, np.append(own.bed_v_mm[1:], own.height_mm)
    low = float(bottoms[part.first])
    return low, float(tops[part.last]) if part.last < len(tops) - 1 else FAR_MM


def ended_proud(
    own: Sequence[Proud], other: Sequence[Proud], corner_deg: float, end: End, depth_mm: float
) -> tuple[ProudEnd, ...]:
    """End what stands proud of one wall at an outer corner, height by height.

    Parameters
    ----------
    own, other : sequence of Proud
        What stands out at this end of the wall, and at that of the wall round the corner.
    corner_deg : float
        Interior angle.
    end : End
        How the skin itself ends.
    depth_mm : float
        Depth of joints.

    Returns
    -------
    tuple of ProudEnd
        Where both stand out they meet along the line from the wall's corner to where their faces meet. Where only this
        one does it ends at the corner, flush with the other wall's face. At corners too sharp for skins to meet it ends
        with the skin.
    """
    if corner_deg >= 180.0 or corner_deg < SHARPEST_DEG:
        return ()
    lines = sorted({line for one in (*own, *other) for line in (one.low_mm, one.high_mm)})
    found = []
    for low, high in pairwise(lines):
        out, met = (_furthest(side, low, high) for side in (own, other))
        if out > 0:
            slope = _slope(out, met, radians(corner_deg), end)
            found.append(ProudEnd(low, high, out, slope, out > depth_mm))
    return tuple(found)


def _slope(own: float, other: float, angle: float, end: End) -> float:
    """How far what stands proud moves outward for each millimetre that it stands out."""
    if min(own, other) < LEAST_SHARE * max(own, other):
        # Up to the corner line, whichever skin has the arris.
        return min(end.face_mm / own, STEEPEST)
    reach = (other + own * cos(angle)) / sin(angle)
    across = (own + other * cos(angle)) / sin(angle)
    if across < 0:
        # The other one ends square; this one comes up to it.
        reach = -own * cos(angle) / sin(angle)
    return min((max(0.0, reach) + end.behind_mm) / own, STEEPEST)


def before_inner_end(other: Sequence[Proud], corner_deg: float, gap_mm: float) -> tuple[Proud, ...]:
    """Say how far along a wall something must keep off its end at an inner corner, height by height.

    Parameters
    ----------
    other : sequence of Proud
        What stands out of the wall that stands before the end.
    corner_deg : float
        Interior angle, over 180.
    gap_mm : float
        Kept free.
    """
    across = max(sin(radians(360.0 - corner_deg)), LEAST_SHARE)
    return tuple(Proud(one.low_mm, one.high_mm, (one.out_mm + gap_mm) / across) for one in other)


def kept_clear(
    dressing: Dressing,
    masonry: Masonry,
    before: Sequence[Proud],
    limits: tuple[float, float],
    after: Sequence[Proud] = (),
) -> Dressing:
    """Cut off what would stand in the next wall, or in what stands out of it, at inner corners and in mid wall.

    Parameters
    ----------
    dressing : Dressing
        A feature or finish.
    masonry : Masonry
        The wall.
    before : sequence of Proud
        How far from the left end it must keep, height by height.
    limits : tuple of float
        Least and greatest place along the wall at every height.
    after : sequence of Proud
        How far from the right end it must keep, height by height.
    """
    length = masonry.laying.length_mm

    def ends(low: float, high: float) -> tuple[float, float]:
        kept = _furthest(after, low, high)
        return max(limits[0], _furthest(before, low, high)), min(limits[1], length - kept) if kept else limits[1]

    work: list[Brickwork] = []
    for part in dressing.brickwork:
        left, right = ends(*_heights(part, masonry)) if part.level_mm > 0 else (-FAR_MM, FAR_MM)
        work.append(replace(part, left_mm=max(part.left_mm, left), right_mm=min(part.right_mm, right)))
    layers = tuple(tuple(made for unit in layer for made in _cut(unit, ends)) for layer in dressing.layers)
    return replace(dressing, brickwork=tuple(part for part in work if part.right_mm > part.left_mm), layers=layers)


def _cut(unit: Unit, ends: Callable[[float, float], tuple[float, float]]) -> list[Unit]:
    if _out_mm(unit) <= LEAST_MM:
        return [unit]
    left, right = ends(float(unit.ring[:, 1].min()), float(unit.ring[:, 1].max()))
    ring = unit.ring
    if ring[:, 0].min() >= left and ring[:, 0].max() <= right:
        return [unit]
    ring = clipped(clipped(ring, ring[:, 0] - left), right - ring[:, 0]) if len(ring) else ring
    if len(ring) < 3 or np.ptp(ring[:, 0]) < (LEAST_PIECE_MM if unit.kind else LEAST_MM):
        return []
    return [replace(unit, ring=ring)]


def facing_levels(
    wall: FaceOfWall, end: int, levels: Mapping[int, tuple[tuple[Proud, ...], tuple[Proud, ...]]]
) -> tuple[Proud, ...]:
    """Return what stands out of the wall round the corner, at that corner.

    Parameters
    ----------
    wall : FaceOfWall
        The wall.
    end : {0, 1}
        Which of its ends.
    levels : mapping of int to (tuple of Proud, tuple of Proud)
        What stands out at the left and right end of each wall that has anything, by its index.
    """
    corner = wall.right if end else wall.left
    return levels[corner.wall][1 - end] if corner is not None and corner.wall in levels else ()
