"""Numbers of parts: unique in the kit, and the same again when something else changes.

A number is the letter of the kind, then the letter of the wall where the part belongs to one, then an index from 1:

=========  ======  ==========================================  ========
kind       letter  index counts                                example
=========  ======  ==========================================  ========
shell      S       shells                                      ``S1``
wall skin  W       panels of the wall, by rows from the foot,  ``WA2``
                   each from the left as seen from outside
cover      C       covers of the wall from the left            ``CA1``
lid        L       lids                                        ``L1``
former     F       roof formers                                ``F1``
roof skin  R       panels of the slope, as for walls           ``RA1``
ridge      H       ridges and hips, by pieces                  ``H2``
fascia     E       fascia boards of the slope, by pieces        ``EA1``
barge      B       barge boards of the slope, by pieces         ``BA1``
gutter     D       gutters of the slope, by pieces             ``DA1``
chimney    K       chimneys                                     ``K1``
pot        P       pots                                         ``P1``
roof light G       roof lights of the slope (glazing)           ``GA1``
insert     J       openings of the wall (joinery)              ``JA1``
tab        T       small parts that carry no mark of their own ``T3``
=========  ======  ==========================================  ========

So a number depends only on the wall and the place in it: adding a wall's seam never renumbers another wall. The kind
stands first and only letters follow it until the index, so no two kinds can meet in one number. I, O and Q are not
used, since they are read as 1 and 0.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType

ALPHABET = "ABCDEFGHJKLMNPRSTUVWXYZ"


class NumberKind(StrEnum):
    """The first letter of a number."""

    SHELL = "S"
    SKIN = "W"
    COVER = "C"
    LID = "L"
    FORMER = "F"
    ROOF = "R"
    INSERT = "J"
    RIDGE = "H"
    FASCIA = "E"
    BARGE = "B"
    GUTTER = "D"
    CHIMNEY = "K"
    POT = "P"
    ROOF_LIGHT = "G"
    TAB = "T"


_ON_A_WALL: Mapping[NumberKind, bool] = MappingProxyType({kind: kind.value in "WCRJEBGD" for kind in NumberKind})


def part_number(kind: NumberKind, index: int, wall: str | None = None) -> str:
    """Make the number of a part.

    Parameters
    ----------
    kind : NumberKind
        What the part is.
    index : int
        Its place among the parts of that kind (on that wall), from 1.
    wall : str or None
        Letters of the wall; given for skins and covers, and only for them.

    Returns
    -------
    str
        Such as ``"WA2"``; letters and digits only, so that it is also a file name.

    Raises
    ------
    ValueError
        The index is below 1, or the wall is missing, not wanted, or not made of the allowed letters.
    """
    if index < 1:
        raise ValueError(f"a part's index starts at 1, not {index}")
    if _ON_A_WALL[kind] != bool(wall):
        raise ValueError(f"a {kind.name.lower()} is numbered {'by' if _ON_A_WALL[kind] else 'without'} a wall")
    if wall and not set(wall) <= set(ALPHABET):
        raise ValueError(f"a wall's letters are from {ALPHABET}, not {wall!r}")
    return f"{kind.value}{wall or ''}{index}"


class Numbering:
    """Gives out the numbers of one kit, each only once."""

    def __init__(self) -> None:
        self._given: set[str] = set()

    @property
    def given(self) -> frozenset[str]:
        """All numbers given out so far."""
        return frozenset(self._given)

    def assign(self, kind: NumberKind, index: int, wall: str | None = None) -> str:
        """Give out the number of one part.

        Parameters
        ----------
        kind, index, wall
            As for `part_number`.

        Returns
        -------
        str
            The number.

        Raises
        ------
        ValueError
            The number was given out before, or cannot be made.
        """
        number = part_number(kind, index, wall)
        if number in self._given:
            raise ValueError(f"two parts would both carry the number {number}")
        self._given.add(number)
        return number
