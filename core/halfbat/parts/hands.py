"""Left and right hands: parts that are mirror images of each other, which a builder is told apart.

Bricks and engraved numbers differ from part to part, so the forms are compared by their box, volume and balance.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from halfbat.parts.part import Part
from halfbat.solids.solid import Solid

HANDED_KINDS = ("skin", "roof skin", "insert", "barge board")
"""Flat parts that lie with their faces up, left and right as seen in place."""
SAME_MM = 0.6
"""Ends at corners make one of a pair a little longer."""
SAME_SHARE = 0.01
LEAST_LEAN = 0.01
"""How far, as a share of its length, the middle of a part's mass must lie aside for it to have a hand."""
SAME_LEAN = 0.006
LEAST_SLANT = 0.01
"""The same for ends that slant, as those of barge boards do."""
SAME_SLANT = 0.02


@dataclass(frozen=True, slots=True)
class Balance:
    """How a solid's mass lies in its box.

    Parameters
    ----------
    across, up : float
        From the middle of the box to the middle of the mass along X and Y, in shares of its size.
    slant : float
        Mean of X times Y about the middle of the mass, over the square of the height: above zero where the upper part
        lies further to the right.
    """

    across: float
    up: float
    slant: float

    @property
    def is_left(self) -> bool:
        """Whether it is the left one of a pair: heavier on its left, or else slanting to the right."""
        return self.across < 0 if abs(self.across) > LEAST_LEAN else self.slant > 0


def with_hands(parts: Sequence[Part]) -> tuple[Part, ...]:
    """Return parts with a note on each that is the mirror image of another.

    Parameters
    ----------
    parts : sequence of Part
        Of one kit, as printed.
    """
    leans = {part.number: balance(part.solid) for part in parts if part.kind in HANDED_KINDS}
    pairs: dict[str, str] = {}
    for one, other in combinations([part for part in parts if part.number in leans], 2):
        if one.number in pairs or other.number in pairs or one.kind != other.kind:
            continue
        if _alike(one.solid, other.solid) and _opposite(leans[one.number], leans[other.number]):
            pairs[one.number], pairs[other.number] = other.number, one.number
    return tuple(_noted(part, pairs[part.number], leans) if part.number in pairs else part for part in parts)


def balance(solid: Solid) -> Balance:
    """Measure how a solid's mass lies in its box."""
    a, b, c = solid.vertices[solid.triangles].transpose(1, 0, 2)
    volumes = np.einsum("ij,ij->i", a, np.cross(b, c)) / 6
    whole = volumes.sum()
    total = a + b + c
    centre = (total / 4 * volumes[:, None]).sum(axis=0) / whole
    # Over a tetrahedron with one corner in the origin, x times y comes to a twentieth of these.
    products = total[:, 0] * total[:, 1] + (a[:, 0] * a[:, 1] + b[:, 0] * b[:, 1] + c[:, 0] * c[:, 1])
    mixed = float((volumes * products).sum() / 20 / whole) - centre[0] * centre[1]
    low, high = solid.bounds_mm
    share = (centre - (low + high) / 2) / (high - low)
    return Balance(float(share[0]), float(share[1]), float(mixed / (high - low)[1] ** 2))


def _alike(one: Solid, other: Solid) -> bool:
    same_size = bool((np.abs(np.asarray(one.size_mm) - np.asarray(other.size_mm)) < SAME_MM).all())
    return same_size and abs(one.volume_mm3 - other.volume_mm3) < SAME_SHARE * one.volume_mm3


def _opposite(one: Balance, other: Balance) -> bool:
    aside = min(abs(one.across), abs(other.across)) > LEAST_LEAN
    slanting = min(abs(one.slant), abs(other.slant)) > LEAST_SLANT
    turned = abs(one.across + other.across) < SAME_LEAN
    turned &= abs(one.slant + other.slant) < max(SAME_SLANT, SAME_SHARE * abs(one.slant))
    return (aside or slanting) and turned and abs(one.up - other.up) < SAME_LEAN


def _noted(part: Part, other: str, leans: dict[str, Balance]) -> Part:
    own, theirs = ("left", "right") if leans[part.number].is_left else ("right", "left")
    note = f"The {own} hand: {other}, the {theirs} hand, is its mirror image."
    return replace(part, notes=(*part.notes, note), mirror_of=other)
