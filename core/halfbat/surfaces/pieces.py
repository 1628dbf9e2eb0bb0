"""The pieces a course is made of, and how many units long each is.

Everything is counted in whole units, a quarter of a stretcher with its joint for bricks twice as long as wide,
so that a bond comes out exact and two perpends either stand plumb or are a unit apart.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum


class Kind(IntEnum):
    """What a unit of brickwork is called, by the face it shows.

    A void is no brick: it is where an opening, or what belongs to one, interrupts a course. It comes last, so that the
    values of the others stay as they are.
    """

    STRETCHER = 0
    HEADER = 1
    QUEEN_CLOSER = 2
    KING_CLOSER = 3
    HALF_BAT = 4
    THREE_QUARTER_BAT = 5
    CUT_BAT = 6
    VOID = 7

    @property
    def label(self) -> str:
        """Name for parts lists, in words."""
        return self.name.lower().replace("_", " ").replace("three quarter", "three-quarter")


@dataclass(frozen=True, slots=True)
class Modules:
    """Lengths of the pieces, each with one joint, in whole units.

    Parameters
    ----------
    ratio : int
        Header faces that go into a stretcher face: 2 for nearly all bricks, 3 for long ones and bricks on edge.
    unit_m : float
        One unit, full size, metres.
    """

    ratio: int
    unit_m: float

    def units(self, kind: Kind) -> int:
        """Length of a piece in units.

        A closer is half a header face where bricks are twice as long as wide; elsewhere it is what brings a header
        over the middle of a stretcher.
        """
        return {
            Kind.STRETCHER: 2 * self.ratio,
            Kind.HEADER: 2,
            Kind.QUEEN_CLOSER: self.ratio - 1,
            Kind.KING_CLOSER: self.ratio - 1,
            Kind.HALF_BAT: self.ratio,
            Kind.THREE_QUARTER_BAT: 2 * self.ratio - self.ratio // 2,
            Kind.CUT_BAT: self.ratio,
            Kind.VOID: 0,
        }[kind]

    def total(self, pieces: tuple[Kind, ...]) -> int:
        """Length of several pieces in units."""
        return sum(self.units(kind) for kind in pieces)
