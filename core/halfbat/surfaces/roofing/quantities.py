"""How many pieces of each kind cover a slope."""

from __future__ import annotations

from math import ceil

import numpy as np
from numpy.typing import NDArray

from halfbat.surfaces.roofing.coverings import Covering, Family
from halfbat.surfaces.roofing.face import RoofFace
from halfbat.surfaces.roofing.laid_roof import PieceKind
from halfbat.units import Scale

_EXACT = 1e-6


def count_pieces(face: RoofFace, covering: Covering, scale: Scale, kinds: NDArray[np.int8]) -> dict[str, int]:
    """Count the pieces of a slope by name.

    Parameters
    ----------
    face : RoofFace
        The slope.
    covering : Covering
        What is laid.
    scale : Scale
        How small.
    kinds : ndarray of int8
        Values of `PieceKind`, one for each piece.

    Returns
    -------
    dict of str to int
        What there is none of is left out. Where tiles are lapped twice, short ones lie under the eaves course, and
        under the ridge short ones end the covering; these count among the whole ones as drawn.
    """
    unit = covering.unit
    # "tile and a half", "slate and a half".
    names = {
        PieceKind.WHOLE: unit,
        PieceKind.CUT: f"cut {unit}",
        PieceKind.AND_A_HALF: f"{unit} and a half",
        PieceKind.CUT_AND_A_HALF: f"cut {unit} and a half",
    }
    found = {name: int((kinds == kind).sum()) for kind, name in names.items()}
    if covering.family != Family.DOUBLE_LAP:
        # There are no wider pieces: a cut one with what a sliver adds to it.
        found[f"cut {unit}"] += found.pop(f"{unit} and a half") + found.pop(f"cut {unit} and a half")
    else:
        cover = scale.to_mm(covering.cover_m)
        top = min(ceil(face.length_of_mm("ridge") / cover - _EXACT), found[unit])
        found[unit] -= top
        found[f"top {unit}"] = top
        found[f"under-eaves {unit}"] = ceil(face.length_of_mm("eaves") / cover - _EXACT)
    return {name: count for name, count in found.items() if count > 0}
