"""Pieces of every course of a slope: where they are cut, and slivers joined to their neighbours."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfbat.surfaces.roofing.courses import SLIVER
from halfbat.surfaces.roofing.face import UPRIGHT_MM, RoofFace
from halfbat.surfaces.roofing.laid_roof import PieceKind

Array = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
_NOTHING = 2e-3
_HAIR = 0.01
_HALF = 0.5
_ROUNDS = 4
RAKING = frozenset({"hip", "valley"})
MOST_AT_HIPS = 0.5
"""As at verges: a tile-and-a-half takes the place of a whole one and of half a one or less."""
WIDER_AT_HIPS = 1.5


@dataclass(frozen=True, slots=True, eq=False)
class Pieces:
    """Pieces course by course, each from left to right.

    Parameters
    ----------
    row : ndarray (N,) of int64
        Course of each.
    first, last : ndarray (N,) of int64
        The places between side joints it takes up.
    share : ndarray (N,)
        Its area as a share of a whole piece.
    kinds : ndarray (N,) of int8
        Values of `PieceKind`.
    alone_left, alone_right : ndarray (N,) of bool
        No piece stands beside it there.
    """

    row: Ints
    first: Ints
    last: Ints
    share: Array
    kinds: NDArray[np.int8]
    alone_left: Bools
    alone_right: Bools

    def __len__(self) -> int:
        """Count the pieces."""
        return len(self.row)


def cut_pieces(
    face: RoofFace,
    bounds_mm: Array,
    lines_mm: Array,
    *,
    half_at_sides: bool,
    least_mm: float = 0.0,
    least_seen_mm: float = 0.0,
    seen: RoofFace | None = None,
) -> Pieces:
    """Find the pieces of a slope.

    Parameters
    ----------
    face : RoofFace
        The slope.
    bounds_mm : ndarray (R, J + 1)
        Centres of side joints of each course.
    lines_mm : ndarray (R + 1,)
        Course lines.
    half_at_sides : bool
        Join a piece of half or less to its neighbour at a verge or abutment: a tile-and-a-half.
    least_mm : float
        What is narrower does not hold; a piece at a hip or valley, or at the end of a course under a ridge, not much
        wider is joined to its neighbour too.
    least_seen_mm : float
        Where less of a piece is seen below a slanting ridge it is left out: its tail would hang on a feather over the
        mitre, and the course below shows on instead.
    seen : RoofFace, optional
        What is seen of the slope where that is less, as beside a parapet; pieces are joined by what is seen of them.

    Returns
    -------
    Pieces
    """
    whole = (bounds_mm[:, 1:] - bounds_mm[:, :-1]) * np.diff(lines_mm)[:, None]
    full, share = (
        np.diff(own.area_left_of(bounds_mm, lines_mm[:-1], lines_mm[1:]), axis=1) / whole
        for own in (face, seen or face)
    )
    least = np.full(share.shape, SLIVER)
    if half_at_sides:
        _raise_at_sides(least, face, bounds_mm, lines_mm)
    if least_mm > 0:
        raking = bool(RAKING & set(face.edges))
        rows = np.arange(len(share)) if raking else np.flatnonzero(lines_mm[1:] > face.ridge_mm - least_mm)
        _raise_at_ends(least, share, WIDER_AT_HIPS * least_mm / (bounds_mm[:, 1:] - bounds_mm[:, :-1]), rows)
    under = _seen_under_ridges(face, bounds_mm, lines_mm)
    held = under * np.diff(lines_mm)[:, None] >= least_seen_mm
    # What a ridge leaves of a piece is as wide as the piece is.
    share = np.where(held, share / np.maximum(under, _NOTHING), 0.0)
    row, place = np.nonzero(share > _NOTHING)
    first, last = place.copy(), place.copy()
    full, share, least = full[row, place], share[row, place], least[row, place]
    for _ in range(_ROUNDS):
        beside = np.zeros(len(row) + 1, dtype=bool)
        beside[1:-1] = (row[1:] == row[:-1]) & (first[1:] == last[:-1] + 1)
        to_right = _slivers_join(share, least, beside)
        if not to_right.any():
            break
        start = np.flatnonzero(~to_right[:-1])
        end = np.append(start[1:], len(row)) - 1
        row, first, last = row[start], first[start], last[end]
        full, share = np.add.reduceat(full, start), np.add.reduceat(share, start)
        least = np.minimum.reduceat(least, start)
    beside = np.zeros(len(row) + 1, dtype=bool)
    beside[1:-1] = (row[1:] == row[:-1]) & (first[1:] == last[:-1] + 1)
    return Pieces(row, first, last, full, _kinds(full, last > first), ~beside[:-1], ~beside[1:])


def _seen_under_ridges(face: RoofFace, bounds_mm: Array, lines_mm: Array) -> Array:
    """Share of the height of each place that is seen below a ridge over its middle, shape (R, J)."""
    middle = np.clip((bounds_mm[:, 1:] + bounds_mm[:, :-1]) / 2, face.low[0], face.high[0])
    top = np.full(middle.shape, np.inf)
    for p, q, kind in zip(face.outline_mm, np.roll(face.outline_mm, -1, axis=0), face.edges, strict=True):
        if kind == "ridge" and p[0] - q[0] > UPRIGHT_MM:
            over = p[1] + (middle - p[0]) * ((q[1] - p[1]) / (q[0] - p[0]))
            top = np.where((middle >= q[0]) & (middle <= p[0]), np.minimum(top, over), top)
    height = np.diff(lines_mm)[:, None]
    return np.asarray(np.clip((top - lines_mm[:-1, None]) / height, 0.0, 1.0), dtype=np.float64)


def _raise_at_sides(least: Array, face: RoofFace, bounds_mm: Array, lines_mm: Array) -> None:
    """Ask for more than half a piece beside upright edges."""
    middle = (lines_mm[:-1] + lines_mm[1:]) / 2
    for u, low, high in face.sides():
        rows = np.flatnonzero((middle > low) & (middle < high))
        for inward in (-_HAIR, _HAIR):
            place = (bounds_mm[rows] < u + inward).sum(axis=1) - 1
            good = (place >= 0) & (place < least.shape[1])
            least[rows[good], place[good]] = _HALF + _HAIR


def _raise_at_ends(least: Array, share: Array, wanted: Array, rows: Ints) -> None:
    """Ask for more of the pieces at the ends of courses: under a hip or ridge a mitre thins them from below."""
    for row in rows.tolist():
        place = np.flatnonzero(share[row] > _NOTHING)
        for end in place[[0, -1]] if len(place) else ():
            least[row, end] = max(least[row, end], min(wanted[row, end], MOST_AT_HIPS))


def _slivers_join(share: Array, least: Array, beside: Bools) -> Bools:
    """Say between which pieces the joint goes: element i lies left of piece i."""
    left = np.where(beside[:-1], np.concatenate([[0.0], share[:-1]]), 0.0)
    right = np.where(beside[1:], np.concatenate([share[1:], [0.0]]), 0.0)
    small = (share < least) & ((left > 0) | (right > 0))
    joins = np.zeros(len(share) + 1, dtype=bool)
    rightward = small & (right >= left)
    joins[1:] |= rightward
    joins[:-1] |= small & ~rightward
    return joins


def _kinds(share: Array, joined: Bools) -> NDArray[np.int8]:
    kinds = np.full(len(share), PieceKind.CUT, dtype=np.int8)
    kinds[(np.abs(share - 1) < _HAIR) & ~joined] = PieceKind.WHOLE
    kinds[share > 1 + _HAIR] = PieceKind.CUT_AND_A_HALF
    kinds[joined & (np.abs(share - 1.5) < _HAIR)] = PieceKind.AND_A_HALF
    return kinds
