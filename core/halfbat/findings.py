"""What checks have to say: data, which the outer layers decide how to show."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """How much a finding matters, least first."""

    NOTE = "note"
    WARNING = "warning"
    FAILURE = "failure"


WALL = "wall "
"""What the name of a wall begins with."""
DECIMALS = 3
"""Digits of a place after the point: a micrometre, and the same text on every machine."""
Corner = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Place:
    """Where on a part or a wall a finding is: a box.

    Parameters
    ----------
    of : str
        Number of a part, or ``"wall A"``.
    low_mm, high_mm : tuple of float
        Lowest and highest corner, mm at model size. On a part along X, Y and Z of its print frame. On a wall along it
        from its left end seen from outside, up from its foot, and out of its face.
    """

    of: str
    low_mm: Corner
    high_mm: Corner

    @staticmethod
    def on_wall(where: str, u0_mm: float, v0_mm: float, u1_mm: float, v1_mm: float) -> Place | None:
        """Return a stretch of the face of the wall that a name such as ``"opening 1, wall A"`` ends in, if any."""
        _, named, letter = where.rpartition(WALL)
        if not named:
            return None
        u0, v0, u1, v1 = (round(float(value), DECIMALS) + 0.0 for value in (u0_mm, v0_mm, u1_mm, v1_mm))
        return Place(WALL + letter, (u0, v0, 0.0), (u1, v1, 0.0))


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing worth telling the maker.

    Parameters
    ----------
    severity : Severity
        A failure means the part would not print, fit or show as meant.
    code : str
        Short stable name of the check, such as ``"gauge-adjusted"``.
    part : str
        Number of the part, ``"wall A"``, or ``""`` for the whole kit.
    text : str
        What was found, with its figure.
    remedy : str
        What the maker can do; empty where nothing need be done.
    place : Place, optional
        Where it is, of findings that are somewhere.
    """

    severity: Severity
    code: str
    part: str
    text: str
    remedy: str = ""
    place: Place | None = None
