"""What a kit is made of: parts to print, and materials to buy."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from halfbat.solids.solid import Solid

CUT_TAB_OFF = "Cut the tab off when it is glued on."
CUT_TAB_OFF_BEFORE = "Cut the tab off before it goes in."
SET_IN_FRONT = "It goes into its skin from the front."
ProcessKind = Literal["resin", "filament", "bought"]


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """One numbered part.

    Parameters
    ----------
    number : str
        Unique in the kit; also the name of its file.
    name : str
        What it is, in words, such as ``"Skin, wall A, panel 1"``.
    kind : str
        ``"shell"``, ``"skin"``, ``"cover"``, ``"lid"`` ...; parts of one kind are counted together.
    process : {"resin", "filament", "bought"}
        What it is made by; a bought part is shown in place but has no file.
    solid : Solid
        As printed: mm, lowest point at z = 0, middle of its box at x = y = 0.
    place : ndarray, shape (4, 4), float64
        Rigid matrix from the print frame to the building's frame at model size, mm.
    quantity : int
        How many of it the kit needs in all.
    wall : str or None
        Letter of the wall it stands on.
    counts : mapping of str to int
        Facing bricks of each kind in one piece.
    notes : tuple of str
        Sentences for the parts list.
    relief_mm : tuple of float, optional
        Height of the floor of the joints and of the brick faces over the plate, on skins.
    mirror_of : str, optional
        Number of the part that it is the mirror image of.
    tab_mm : tuple of float, optional
        Box along and up its wall of a tab beside a cover, ``(u0, v0, u1, v1)``; other tabs hang below the wall.
    cut_off_mm : ndarray (2, 8, 3), optional
        Corners in the building's frame of the boxes of a tab that is cut off and of its neck, the last coordinate
        changing first; None where there is none.
    sections : tuple of str
        Numbers of all sections that are glued together to the body it is a section of, its own among them; empty
        where it is whole.
    """

    number: str
    name: str
    kind: str
    process: ProcessKind
    solid: Solid
    place: NDArray[np.float64]
    quantity: int = 1
    wall: str | None = None
    counts: Mapping[str, int] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    relief_mm: tuple[float, float] | None = None
    mirror_of: str | None = None
    tab_mm: tuple[float, float, float, float] | None = None
    cut_off_mm: NDArray[np.float64] | None = None
    sections: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Material:
    """Something to buy by length, piece or amount.

    Parameters
    ----------
    name : str
        Such as ``"Wire, 1.0 mm"``.
    quantity : float
        How much the kit needs in all, in ``unit``.
    unit : str
        ``"mm"`` or ``"pieces"``.
    wall : str or None
        Letter of the wall it is for.
    notes : tuple of str
        Sentences for the parts list.
    """

    name: str
    quantity: float
    unit: str
    wall: str | None = None
    notes: tuple[str, ...] = ()
