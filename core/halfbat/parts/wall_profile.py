"""What stands out of a wall behind something that runs up it, and how high that may run under the roof."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.bent_line import Box
from halfbat.parts.masses import MassStack
from halfbat.parts.skins import Facing
from halfbat.settings.features import FINISH_CHOICES
from halfbat.surfaces.dressing import Dressing, Proud
from halfbat.surfaces.remnants import extents

Array = NDArray[np.float64]
LEAST_STEP_MM = 0.05
LEAST_STRETCH_MM = 0.3
"""Shorter stretches are joined to a neighbour that stands out further."""
UNDER_ROOF_MM = 0.05
SAME_HEIGHT_MM = 0.5
LEAST_FALL = 0.05
_PROBES = 24
_HAIR_MM = 1e-3


def proud_stretches(facing: Facing, span: tuple[float, float]) -> tuple[Proud, ...]:
    """Return what stands out of a wall between two places along it, from the foot up.

    Parameters
    ----------
    facing : Facing
        The wall with its features and finishes.
    span : tuple of float
        From where to where along it, mm.

    Returns
    -------
    tuple of Proud
        Without gaps or overlaps where anything stands out; what differs by less than `LEAST_STEP_MM` counts as level.
    """
    boxes = [box for own in facing.dressings for box in _boxes(own, facing, span)]
    return levelled([(low, high, out) for (_, low, _, high), out in boxes], facing.laying.height_mm)


def proud_boxes(facing: Facing) -> list[tuple[Box, float]]:
    """Return everything that stands out of a wall: boxes along and up it, mm, and how far each stands out."""
    return [box for own in facing.dressings for box in _boxes(own, facing, (-np.inf, np.inf))]


def levelled(stretches_mm: Sequence[tuple[float, float, float]], length_mm: float) -> tuple[Proud, ...]:
    """Return what stands out along a line, of stretches that may lie over each other.

    Parameters
    ----------
    stretches_mm : sequence of (float, float, float)
        From where to where along the line, and how far out.
    length_mm : float
        Of the line.
    """
    if not stretches_mm:
        return ()
    low, high, out = np.array(stretches_mm).T
    levels = np.unique(np.clip(np.concatenate([low, high]), 0.0, length_mm))
    stretches = []
    for a, b in zip(levels[:-1].tolist(), levels[1:].tolist(), strict=True):
        over = (low < b - _HAIR_MM) & (high > a + _HAIR_MM)
        stretches.append(Proud(a, b, float(out[over].max()) if over.any() else 0.0))
    return tuple(one for one in _joined(stretches) if one.out_mm > LEAST_STEP_MM)


def _joined(stretches: Sequence[Proud]) -> list[Proud]:
    """Join neighbours that stand out alike, and short ones to what stands out further beside them."""
    found: list[Proud] = []
    for one in stretches:
        last = found[-1] if found else None
        if last is not None and abs(last.out_mm - one.out_mm) < LEAST_STEP_MM:
            found[-1] = Proud(last.low_mm, one.high_mm, max(last.out_mm, one.out_mm))
        elif last is not None and last.high_mm - last.low_mm < LEAST_STRETCH_MM and one.out_mm > last.out_mm:
            found[-1] = Proud(last.low_mm, one.high_mm, one.out_mm)
        elif last is not None and one.high_mm - one.low_mm < LEAST_STRETCH_MM and one.out_mm < last.out_mm:
            found[-1] = Proud(last.low_mm, one.high_mm, last.out_mm)
        else:
            found.append(one)
    return found


def _boxes(dressing: Dressing, facing: Facing, span: tuple[float, float]) -> list[tuple[Box, float]]:
    """Box along and up the wall and reach of each piece of a dressing between two places along the wall."""
    bed = facing.laying.bed_v_mm
    found: list[tuple[Box, float]] = []
    finish = dressing.kind in FINISH_CHOICES
    if finish:
        # Stones and boards of one finish stand out by turns; what runs over them lies on the highest.
        span = -np.inf, np.inf
    tops = [*bed[1:].tolist(), facing.laying.height_mm]
    for part in dressing.brickwork:
        if part.left_mm < span[1] and part.right_mm > span[0]:
            foot = float(bed[part.first]) if part.first else 0.0
            box = (float(part.left_mm), foot, float(part.right_mm), tops[part.last])
            found.append((box, max(part.level_mm, part.head_mm or 0.0)))
    for unit in [unit for layer in dressing.layers for unit in layer]:
        (left, low), (right, high) = unit.ring.min(axis=0), unit.ring.max(axis=0)
        a, b, c = unit.face
        out = float((a + b * unit.ring[:, 0] + c * unit.ring[:, 1]).max())
        if left < span[1] and right > span[0] and out > 0:
            found.append(((float(left), float(low), float(right), float(high)), out))
    if finish and found:
        low, high = min(box[1] for box, _ in found), max(box[3] for box, _ in found)
        return [((-np.inf, low, np.inf, high), max(out for _, out in found))]
    return found


def wall_span_mm(facing: Facing, span: tuple[float, float]) -> tuple[float, float]:
    """Return from which height to which the face of a wall goes all the way between two places along it."""
    outline = facing.face.outline_mm
    inside = outline[(outline[:, 0] > span[0]) & (outline[:, 0] < span[1]), 0]
    left, right = float(outline[:, 0].min()) + _HAIR_MM, float(outline[:, 0].max()) - _HAIR_MM
    places = np.clip(np.concatenate([span, inside - _HAIR_MM, inside + _HAIR_MM]), left, right)
    low, high = extents(outline, places, axis=0)
    return float(low.max()), float(high.min())


def under_roof_mm(
    facing: Facing, masses: Sequence[MassStack], span: tuple[float, float], top_mm: float, out_mm: float
) -> tuple[float, float]:
    """Find how high something may run under the roof, and how far the roof reaches out over it.

    Parameters
    ----------
    facing : Facing
        The wall.
    masses : sequence of MassStack
        With their roofs.
    span : tuple of float
        From where to where along the wall, mm.
    top_mm : float
        Height of the wall there.
    out_mm : float
        How far it stands out of the wall.

    Returns
    -------
    float, float
        Height over the foot of the wall, and the reach of eaves beyond the face of the wall; 0 at a verge.
    """
    top, reach = top_mm, 0.0
    along, outward = facing.along, facing.outward
    for slope in [slope for mass in masses for slope in mass.slopes]:
        far = float(((slope.ring_mm - facing.foot_mm[:2]) @ outward).max())
        if far <= 2 * _HAIR_MM:
            continue
        falls = -float(np.array(slope.plane[1:]) @ outward)
        outs = np.linspace(0.0, far - _HAIR_MM, _PROBES)
        for at in (span[0], sum(span) / 2, span[1]):
            spots = facing.foot_mm[:2] + at * along + outs[:, None] * outward
            over = slope.over(spots)
            # A roof that begins lower down the wall, as that of a lean-to does, is not over it.
            if not over[0] or float(slope.under_mm(spots[:1])[0] - facing.foot_mm[2]) < top_mm - SAME_HEIGHT_MM:
                continue
            near = over & (outs <= out_mm)
            top = min(top, float((slope.under_mm(spots[near]) - facing.foot_mm[2]).min()) - UNDER_ROOF_MM)
            if falls > LEAST_FALL:
                gap = np.flatnonzero(~over)
                reach = max(reach, float(outs[gap[0] - 1] if len(gap) else far))
    return top, reach
