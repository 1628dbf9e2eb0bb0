"""Left and right hands: parts that are mirror images of each other, which a builder is told apart.

Bricks and engraved numbers differ from part to part, so the forms are compared by their box, volume and balance.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

import numpy as np

from halfbat.parts.part import Part
from halfbat.solids.solid import Solid

HANDED_KINDS = ("skin", "roof skin", "insert")
"""Flat parts that lie with their faces up, left and right as seen in place."""
SAME_MM = 0.6
"""Ends at corners make one of a pair a little longer."""
SAME_SHARE = 0.01
LEAST_LEAN = 0.01
"""How far, as a share of its length, the middle of a part's mass must lie aside for it to have a hand."""
SAME_LEAN = 0.006


def with_hands(parts: Sequence[Part]) -> tuple[Part, ...]:
    """Return parts with a note on each that is the mirror image of another.

    Parameters
    ----------
    parts : sequence of Part
        Of one kit, as printed.
    """
    leans = {part.number: lean(part.solid) for part in parts if part.kind in HANDED_KINDS}
    pairs: dict[str, str] = {}
    for one, other in combinations([part for part in parts if part.number in leans], 2):
        if one.number in pairs or other.number in pairs or one.kind != other.kind:
            continue
        if _alike(one.solid, other.solid) and _opposite(leans[one.number], leans[other.number]):
            pairs[one.number], pairs[other.number] = other.number, one.number
    return tuple(_noted(part, pairs[part.number], leans) if part.number in pairs else part for part in parts)


def lean(solid: Solid) -> tuple[float, float]:
    """How far the middle of a solid's mass lies from the middle of its box along X and Y, as shares of its size."""
    a, b, c = solid.vertices[solid.triangles].transpose(1, 0, 2)
    volumes = np.einsum("ij,ij->i", a, np.cross(b, c)) / 6
    centre = ((a + b + c) / 4 * volumes[:, None]).sum(axis=0) / volumes.sum()
    low, high = solid.bounds_mm
    share = (centre - (low + high) / 2) / (high - low)
    return float(share[0]), float(share[1])


def _alike(one: Solid, other: Solid) -> bool:
    same_size = bool((np.abs(np.asarray(one.size_mm) - np.asarray(other.size_mm)) < SAME_MM).all())
    return same_size and abs(one.volume_mm3 - other.volume_mm3) < SAME_SHARE * one.volume_mm3


def _opposite(one: tuple[float, float], other: tuple[float, float]) -> bool:
    aside = min(abs(one[0]), abs(other[0])) > LEAST_LEAN
    return aside and abs(one[0] + other[0]) < SAME_LEAN and abs(one[1] - other[1]) < SAME_LEAN


def _noted(part: Part, other: str, leans: dict[str, tuple[float, float]]) -> Part:
    own, theirs = ("left", "right") if leans[part.number][0] < 0 else ("right", "left")
    note = f"The {own} hand: {other}, the {theirs} hand, is its mirror image."
    return replace(part, notes=(*part.notes, note), mirror_of=other)
