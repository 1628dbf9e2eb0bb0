"""Walls cut down where roofs reach over them that none of their own edges carries."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import radians, tan

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import Slope, Structure, WallCorner
from halfbat.parts.clearing import area_of, lower_side, without
from halfbat.parts.corners import SHARPEST_DEG
from halfbat.parts.masses import RoofSlope
from halfbat.parts.outlines import set_back
from halfbat.parts.roof_edges import LEAST_SHARED_MM2, RISES_MM, pieces_of
from halfbat.parts.roofs import folds_of, gathered, plain, roof_slope
from halfbat.parts.standing import Standing, height_of, standing, within
from halfbat.units import Scale

Array = NDArray[np.float64]
LEAST_CUT_MM = 0.015
LARGEST_DROP_MM = 0.5
"""A top edge that is too high by no more comes down as a whole, rather than with a step in it."""
_FAR_MM = 1000.0


def under_roofs(
    structure: Structure,
    outlines_mm: Mapping[int, Array],
    depths_mm: Mapping[int, float],
    slopes: Sequence[Slope],
    skin_mm: float,
    scale: Scale,
) -> dict[int, Array]:
    """Lower walls under every slope that lies over them.

    A wall that comes through a slope is left as it is: there the slope gives way.

    Parameters
    ----------
    structure : Structure
        Walls, metres.
    outlines_mm : mapping of int to ndarray (K, 2)
        Faces of walls, lowered under what lies on their own edges.
    depths_mm : mapping of int to float
        Thickness of the skin of each wall.
    slopes : sequence of Slope
        Those that get skins.
    skin_mm : float
        Thickness of roof skins.
    scale : Scale
        How small.
    """
    roofs = [*(roof_slope(slope, skin_mm, scale) for slope in slopes), *folds_of(slopes, skin_mm, scale)]
    lowered = {}
    for wall in structure.walls:
        if wall.index not in outlines_mm:
            continue
        outline = outlines_mm[wall.index]
        foot = np.array([*wall.start_m, structure.base_m]) * scale.mm_per_m
        spreads = _spread(wall.left, outlines_mm), _spread(wall.right, outlines_mm)
        blocks = standing(outline, foot, wall.along, wall.outward, depths_mm[wall.index], wall.index, spreads)
        drops, cuts = np.zeros(len(outline)), []
        for block in blocks:
            for roof in roofs:
                for places, under, deep in _under(block, roof):
                    there = np.column_stack([(places - foot[:2]) @ wall.along, under - foot[2]])
                    edge = _edge_over(outline, float(there[:, 0].mean()), block, foot, wall.along)
                    if deep <= LARGEST_DROP_MM and edge is not None:
                        run, rise = outline[(edge + 1) % len(outline)] - outline[edge]
                        drops[edge] = max(drops[edge], deep * abs(run) / np.hypot(run, rise))
                    else:
                        line = lower_side(there)
                        cuts.append(np.concatenate([line, [[line[-1, 0], _FAR_MM], [line[0, 0], _FAR_MM]]]))
        left = set_back(outline, drops)
        outline = left if len(left) == len(outline) else outline
        lowered[wall.index] = _cut(outline, cuts) if cuts else outline
    return lowered


def _spread(corner: WallCorner | None, outlines_mm: Mapping[int, Array]) -> float:
    """How far a mitred end lies further in for each millimetre of depth."""
    if corner is None or corner.wall not in outlines_mm or corner.corner_deg >= 180.0 or not corner.whole:
        return 0.0
    # A sharper corner is refused where skins are ended at it.
    return 1 / tan(radians(max(corner.corner_deg, SHARPEST_DEG)) / 2)


def _edge_over(outline: Array, u: float, block: Standing, foot_mm: Array, along: Array) -> int | None:
    """The edge of an outline that is the top of a block."""
    v = float(height_of(block.top, foot_mm[None, :2] + along * u)[0]) - foot_mm[2]
    for k, ((a, p), (b, q)) in enumerate(zip(outline, np.roll(outline, -1, axis=0), strict=True)):
        if b < u < a and abs(p + (q - p) * (u - a) / (b - a) - v) < LEAST_CUT_MM:
            return k
    return None


def _cut(outline: Array, cuts: Sequence[Array]) -> Array:
    """What is left of an outline, without steps too low to be printed; the outline itself where nothing is."""
    left = without(outline, cuts)[0]
    if not len(left):
        return outline
    tidy = plain(np.column_stack([gathered(values) for values in left.T]))
    return tidy if area_of(tidy) > 0 else outline


def _under(block: Standing, roof: RoofSlope) -> Iterator[tuple[Array, Array, float]]:
    """Places where a slope lies over a block that is too high for it, how high it may be there, and by how much."""
    for piece in pieces_of(roof.ring_mm):
        shared = within(piece, block.ring_mm)
        if area_of(shared) < LEAST_SHARED_MM2:
            continue
        under, top = roof.under_mm(shared), height_of(block.top, shared)
        middle = shared.mean(axis=0, keepdims=True)
        through = height_of(block.top, middle) > height_of(roof.plane, middle) + RISES_MM
        above = height_of(block.foot, middle) > height_of(roof.plane, middle)
        if not (through or above) and (top - under).max() > LEAST_CUT_MM:
            yield shared, under, float((top - under).max())
