"""Where a figure is narrower than can be printed: strips, necks, crumbs and tips, however many rings it has."""

from __future__ import annotations

from collections.abc import Sequence
from math import radians, tan

import numpy as np
from numpy.typing import NDArray

from halfbat.building.rings import ring_area
from halfbat.parts.outlines import NEARLY_STRAIGHT, directions
from halfbat.parts.remains import outlines_of
from halfbat.parts.sturdy import SPARE, STRIP_SHARE

Array = NDArray[np.float64]
LEAST_MM2 = 0.02
"""A narrow place smaller than this is no more than the rounding of a corner."""
SHARP_DEG = 50.0
"""A sharper corner is narrow over an area that breaks off."""
GROWN_MM = 0.01
"""By how much what is taken out reaches beyond its own outline, so that rounding leaves no skin of it."""
_NO_SHARPER = radians(180.0 - SHARP_DEG)


def narrow_places(rings_mm: Sequence[Array], least_mm: float) -> list[Array]:
    """Find what of a figure is narrower than a wall may be.

    What is left without it is as wide as a wall everywhere: the figure set in by half a width and out again.

    Parameters
    ----------
    rings_mm : sequence of ndarray (K, 2)
        Outlines anticlockwise, what is taken out of them clockwise.
    least_mm : float
        Smallest wall of the printer.

    Returns
    -------
    list of ndarray (K, 2)
        Outlines as given, a hair larger than what they are of.
    """
    half = SPARE * least_mm / 2
    whole = outlines_of([rings_mm])
    inner = outlines_of([[_moved(ring, half) for ring in whole]]) if whole else []
    wide = [_moved(ring, -half) for ring in inner if abs(ring_area(ring)) > LEAST_MM2 / 100]
    left = outlines_of([whole], [wide] if wide else []) if whole else []
    return _grown([ring for ring in left if ring_area(ring) < 0 or ring_area(ring) > LEAST_MM2])


def in_one_piece(rings_mm: Sequence[Array], least_mm: float) -> list[Array]:
    """Find what to take out of a body that must stay in one: narrow places, and small pieces that hung on by them.

    Parameters
    ----------
    rings_mm, least_mm
        As for `narrow_places`.

    Returns
    -------
    list of ndarray (K, 2)
        Outlines as given; none where two large pieces hang together by something narrow.
    """
    narrow = narrow_places(rings_mm, least_mm)
    if not narrow:
        return []
    pieces = sorted((r for r in outlines_of([rings_mm], [narrow]) if ring_area(r) > 0), key=ring_area)
    if not pieces or sum(map(ring_area, pieces[:-1])) > STRIP_SHARE * ring_area(pieces[-1]):
        return []
    return outlines_of([narrow, *([one] for one in _grown(pieces[:-1]))])


def _grown(rings: Sequence[Array]) -> list[Array]:
    return outlines_of([[_moved(ring, -GROWN_MM) for ring in rings]]) if any(ring_area(r) > 0 for r in rings) else []


def _moved(ring: Array, by_mm: float) -> Array:
    """Move all sides to their left; by windings of more than 0 what it then goes round is the outline set in."""
    along, inward = directions(ring)
    corners: list[Array] = []
    for i, corner in enumerate(ring):
        before, after = along[i - 1], along[i]
        turn = float(before[0] * after[1] - before[1] * after[0])
        ends = corner + inward[i - 1] * by_mm, corner + inward[i] * by_mm
        ahead = float(before @ after)
        if abs(turn) < NEARLY_STRAIGHT and ahead > 0:
            corners += ends
        elif turn * by_mm > 0:
            # Sides that close in on each other: through the corner, so that what turns over counts back.
            corners += [ends[0], corner, ends[1]]
        else:
            corners += _parted(ends, (before, after), by_mm, float(np.arctan2(abs(turn), ahead)))
    return np.array(corners)


def _parted(ends: tuple[Array, Array], along: tuple[Array, Array], by_mm: float, turned: float) -> list[Array]:
    """Corners where moved sides part: where they meet; at a sharp one cut off.

    Set in, sides stay a half width off the corner; set out, they end where the tip is a whole width wide.
    """
    if turned <= _NO_SHARPER:
        return [ends[0] + along[0] * (abs(by_mm) * tan(turned / 2))]
    off = abs(by_mm) * (tan(turned / 4) if by_mm > 0 else -tan((np.pi - turned) / 4))
    return [ends[0] + along[0] * off, ends[1] - along[1] * off]
