"""Leaning edges of a slope where panels are cut: their corners slide along the cuts, so that those stay straight."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from halfbat.solids.plate import Lean

Array = NDArray[np.float64]
LEAST_SINE = 0.05
_SAME_MM = 1e-6
Move = tuple[float, float]


def cut_leans(leans: Sequence[Lean], outline: Array, box: Array) -> tuple[Lean, ...]:
    """End leaning edges at the sides of a panel's box.

    Parameters
    ----------
    leans : sequence of Lean
        Of the whole slope.
    outline : ndarray (K, 2)
        Its outline.
    box : ndarray (2, 2)
        Lowest and highest corner of the panel; a side that lies outside the outline cuts nothing.

    Returns
    -------
    tuple of Lean
        Those edges, and the cuts themselves where a leaning edge ends on them.
    """
    made = [_ended(lean, box) for lean in leans]
    for axis, side in ((0, 0), (0, 1), (1, 0), (1, 1)):
        made += _cut(leans, outline, axis, side, box)
    return tuple(made)


def _ended(lean: Lean, box: Array) -> Lean:
    """A leaning edge, with the places where it crosses the sides of the box."""
    cuts = []
    for axis, side in ((0, 0), (0, 1), (1, 0), (1, 1)):
        level = float(box[side, axis])
        sign = 1.0 if side else -1.0
        start, end = sign * (lean.start[axis] - level) > _SAME_MM, sign * (lean.end[axis] - level) > _SAME_MM
        move = _along_cut(lean, axis) if start != end and lean.slope else None
        if move is not None:
            cuts.append((_crossing(lean, axis, level), move))
    return replace(lean, cuts=tuple(cuts))


def _crossing(lean: Lean, axis: int, level: float) -> tuple[float, float]:
    a, b = np.array(lean.start), np.array(lean.end)
    place = a + (b - a) * ((level - a[axis]) / (b[axis] - a[axis]))
    return float(place[0]), float(place[1])


def _along_cut(lean: Lean, axis: int) -> Move | None:
    """How a corner on a cut moves for each millimetre of depth: along the cut, and in by the slope of the edge."""
    step = np.array(lean.end) - np.array(lean.start)
    inward = np.array([-step[1], step[0]]) / np.hypot(*step)
    other = 1 - axis
    if abs(inward[other]) < LEAST_SINE:
        return None
    move = [0.0, 0.0]
    move[other] = lean.slope / float(inward[other])
    return move[0], move[1]


def _cut(leans: Sequence[Lean], outline: Array, axis: int, side: int, box: Array) -> list[Lean]:
    """The cut along one side of the box as an upright edge, where what it meets at its ends leans."""
    level, other = float(box[side, axis]), 1 - axis
    ends = np.roll(outline, -1, axis=0)
    met = [
        float(a[other] + (b[other] - a[other]) * (level - a[axis]) / (b[axis] - a[axis]))
        for a, b in zip(outline, ends, strict=True)
        if (a[axis] < level) != (b[axis] < level)
    ]
    # An outline that bends back is met more than twice, and the cut is in several pieces.
    met.sort()
    made = [_piece(leans, axis, level, span, box, side) for span in zip(met[::2], met[1::2], strict=False)]
    return [lean for lean in made if lean is not None]


def _piece(
    leans: Sequence[Lean], axis: int, level: float, span: tuple[float, float], box: Array, side: int
) -> Lean | None:
    """One piece of a cut, from where to where it lies in the outline; None where nothing leans at its ends."""
    other = 1 - axis
    # The plate lies to the left of its edges.
    forward = (side == 0) == (axis == 1)
    places, moves = [], []
    for kept in (max(span[0], float(box[0, other])), min(span[1], float(box[1, other]))):
        place = [0.0, 0.0]
        place[axis], place[other] = level, kept
        places.append((place[0], place[1]))
        moves.append(_move_at(leans, places[-1], axis))
    if moves == [None, None] or places[1][other] - places[0][other] < _SAME_MM:
        return None
    if not forward:
        places, moves = places[::-1], moves[::-1]
    face = next(lean.face_mm for lean in leans)
    return Lean(places[0], places[1], 0.0, face, moves[0], moves[1])


def _move_at(leans: Sequence[Lean], place: tuple[float, float], axis: int) -> Move | None:
    """How a place on a cut moves, by the leaning edge that ends there."""
    for lean in leans:
        a, b = np.array(lean.start), np.array(lean.end)
        step = b - a
        to = np.array(place) - a
        share = float(to @ step) / float(step @ step)
        if lean.slope and 0 <= share <= 1 and abs(float(step[0] * to[1] - step[1] * to[0])) < 1e-4 * np.hypot(*step):
            return _along_cut(lean, axis)
    return None
