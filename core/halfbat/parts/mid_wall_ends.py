"""What stands proud of a wall that runs into another one in mid wall: it ends before what stands proud of that one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import asin, degrees

import numpy as np

from halfbat.building.meetings import SAME_PLACE_M
from halfbat.building.structure import FaceOfWall
from halfbat.parts.proud_ends import INSIDE_MM, before_inner_end, kept_clear, proud_over
from halfbat.surfaces.dressing import FAR_MM, Dressing, Proud
from halfbat.surfaces.masonry import Masonry
from halfbat.units import Scale

LEAST_ACROSS = 0.2
"""Sine of the flattest angle at which one wall runs into another."""


@dataclass(frozen=True, slots=True, eq=False)
class Dressed:
    """A wall with what stands on it.

    Parameters
    ----------
    wall : FaceOfWall
        As measured on the mesh.
    masonry : Masonry
        Its bricks.
    dressings : tuple of Dressing
        Its finishes and features; none for a bare wall.
    """

    wall: FaceOfWall
    masonry: Masonry
    dressings: tuple[Dressing, ...]


def clear_in_mid_wall(walls: Sequence[Dressed], gap_mm: float, scale: Scale) -> Mapping[int, tuple[Dressing, ...]]:
    """Cut off what would stand in a plinth or string course of the wall that a wall runs into.

    Parameters
    ----------
    walls : sequence of Dressed
        All walls with skins.
    gap_mm : float
        Kept free between the two.
    scale : Scale
        How small.

    Returns
    -------
    mapping of int to tuple of Dressing
        Those of the walls that are changed, by the index of the wall.
    """
    changed = {}
    for own in walls:
        kept = [_kept_off(own, end, walls, gap_mm, scale) for end in (0, 1)]
        if own.dressings and any(kept):
            limits = -FAR_MM, own.masonry.laying.length_mm + FAR_MM
            changed[own.wall.index] = tuple(
                kept_clear(one, own.masonry, kept[0], limits, kept[1]) for one in own.dressings
            )
    return changed


def _kept_off(own: Dressed, end: int, walls: Sequence[Dressed], gap_mm: float, scale: Scale) -> tuple[Proud, ...]:
    """How far the left (0) or right (1) end of a wall is kept clear, height by height."""
    wall = own.wall
    if (wall.right if end else wall.left) is not None:
        return ()
    place = wall.end_m if end else wall.start_m
    into = wall.along if end == 0 else -wall.along
    for other in walls:
        met = other.wall
        off, at = float((place - met.start_m) @ met.outward), float((place - met.start_m) @ met.along)
        across = float(met.outward @ into)
        inside = -SAME_PLACE_M < at < met.length_m + SAME_PLACE_M
        if other is own or abs(off) > SAME_PLACE_M or not inside or across < LEAST_ACROSS:
            continue
        # Beside the corner, on the side that the face of this wall looks to.
        side = np.sign(float(wall.outward @ met.along))
        proud = proud_over(other.dressings, scale.to_mm(at) + side * INSIDE_MM, other.masonry)
        if proud:
            return before_inner_end(proud, 360.0 - degrees(asin(min(across, 1.0))), gap_mm)
    return ()
