"""Plates of any outline whose edges are ended as their neighbours ask: upright, leaning, mitred or rebated."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.corners import End
from halfbat.parts.outlines import corner_moves, set_back
from halfbat.solids.plate import Lean

Array = NDArray[np.float64]
LEAST_STRIP_MM = 2e-3
LEAST_ACROSS = 0.1


@dataclass(frozen=True, slots=True, eq=False)
class Edged:
    """What a plate needs to know of its edges.

    Parameters
    ----------
    outline_mm : ndarray (K, 2)
        Outline of the face, with a corner wherever the underside bends.
    strips_mm : tuple of ndarray (4, 2)
        Strips of the back along edges that are not upright.
    planes : tuple of (float, float, float)
        Height ``a + b * x + c * y`` of each strip, the flat back being at 0.
    leans : tuple of Lean
        End faces that are not upright.
    flat_mm : ndarray (N, 2)
        Where the back is flat.
    lips_mm : tuple of (ndarray (2,), ndarray (2,))
        Corners of leaning end faces, at the face and at the land, where they may reach beyond the outline.
    lost_mm2 : float
        Area that was left out since it is too narrow to be printed.
    """

    outline_mm: Array
    strips_mm: tuple[Array, ...]
    planes: tuple[tuple[float, float, float], ...]
    leans: tuple[Lean, ...]
    flat_mm: Array
    lips_mm: tuple[tuple[Array, Array], ...] = ()
    lost_mm2: float = 0.0

    def back_mm(self, depth_mm: float) -> Array:
        """Outline so far behind the face, its corners moved as its leaning ends are, shape (K, 2)."""
        ring = self.outline_mm.copy()
        for lean in self.leans:
            for place, move in ((lean.start, lean.start_move), (lean.end, lean.end_move)):
                if move is not None:
                    at = np.abs(self.outline_mm - place).max(axis=1) < LEAST_STRIP_MM / 2
                    ring[at] = self.outline_mm[at] + depth_mm * np.array(move)
        return ring


def edged(outline_mm: Array, ends: Sequence[End], depth_mm: float) -> Edged:
    """End the edges of an anticlockwise outline.

    Parameters
    ----------
    outline_mm : ndarray (N, 2)
        Corners of the finished face; edge i runs from corner i to corner i + 1.
    ends : sequence of End, length N
        How each edge ends.
    depth_mm : float
        Thickness of the plate from its face to its back.

    Returns
    -------
    Edged
    """
    levels = max([1, *(len(end.profile_mm) for end in ends)])
    rings = [set_back(outline_mm, [end.face_mm for end in ends])]
    rings += [set_back(outline_mm, [_offset(end, level) for end in ends]) for level in range(1, levels)]
    strips: list[Array] = []
    planes: list[tuple[float, float, float]] = []
    leans: list[Lean] = []
    lips: list[tuple[Array, Array]] = []
    count = len(outline_mm)
    # A corner moves so that it stays on both its edges.
    moves = corner_moves(outline_mm, [end.slope for end in ends])
    for i, end in enumerate(ends):
        j = (i + 1) % count
        if end.slope or ends[i - 1].slope or ends[j].slope:
            # Upright edges beside leaning ones too: what stands on them makes room for their corners.
            leans += _leans(rings, ends, i, (moves[i], moves[j]), depth_mm)
        if end.slope:
            land = end.profile_mm[0][1] if end.profile_mm else depth_mm
            lips += [(rings[0][k], rings[0][k] + land * moves[k]) for k in (i, j)]
        for level in range(1, len(end.profile_mm)):
            strip = np.array([rings[level - 1][i], rings[level - 1][j], rings[level][j], rings[level][i]])
            plane = _plane(outline_mm[i], outline_mm[j], end, level, depth_mm)
            if plane is not None:
                strips.append(strip)
                planes.append(plane)
    return Edged(_with_bends(rings, ends), tuple(strips), tuple(planes), tuple(leans), rings[-1], tuple(lips))


def _leans(rings: list[Array], ends: Sequence[End], i: int, moves: tuple[Array, Array], depth_mm: float) -> list[Lean]:
    """Lean an edge; where the underside bends beside a neighbour that is not upright, what is there moves along it."""
    count = len(ends)
    before, j = (i - 1) % count, (i + 1) % count
    along = _direction(rings[0], i)
    inward = np.array([-along[1], along[0]])
    places, shifts = [rings[0][i]], [moves[0]]
    slides: dict[int, tuple[float, float]] = {}
    if len(ends[i].profile_mm) < 2:
        for neighbour, corner, levels in ((before, i, rings[1:]), (j, j, rings[:0:-1])):
            beside = _direction(rings[0], neighbour)
            across = float(beside @ inward)
            if len(ends[neighbour].profile_mm) >= 2 and abs(across) > LEAST_ACROSS:
                shift = beside * (ends[i].slope / across)
                # What lies between on the neighbour's strips stays on them only if it moves along it too.
                first = len(places) - (1 if neighbour == before else 0)
                slides |= dict.fromkeys(range(first, first + len(levels)), _point(shift))
                places += [ring[corner] for ring in levels]
                shifts += [shift] * len(levels)
    places.append(rings[0][j])
    shifts.append(moves[1])
    slope = ends[i].slope
    return [
        Lean(
            _point(places[k]),
            _point(places[k + 1]),
            slope,
            depth_mm,
            _point(shifts[k]),
            _point(shifts[k + 1]),
            slide=slides.get(k),
        )
        for k in range(len(places) - 1)
        if float((places[k + 1] - places[k]) @ along) > LEAST_STRIP_MM
    ]


def _direction(ring: Array, i: int) -> Array:
    step = ring[(i + 1) % len(ring)] - ring[i]
    return np.asarray(step / np.linalg.norm(step), dtype=np.float64)


def _point(xy: Array) -> tuple[float, float]:
    return float(xy[0]), float(xy[1])


def _offset(end: End, level: int) -> float:
    """How far inside its line an edge stands at a level of the profiles; the last point holds on."""
    if len(end.profile_mm) < 2:
        return end.face_mm
    return end.profile_mm[min(level, len(end.profile_mm) - 1)][0]


def _plane(a: Array, b: Array, end: End, level: int, depth_mm: float) -> tuple[float, float, float] | None:
    """Plane of one strip of the back: level along the edge, sloping across it."""
    start, deep = end.profile_mm[level - 1]
    stop, deeper = end.profile_mm[level]
    # The rim moves with the leaning end face afterwards; in the drawing the first strip starts at the face's edge.
    begin = end.face_mm if level == 1 else start
    if stop - begin < LEAST_STRIP_MM:
        return None
    along = (b - a) / np.linalg.norm(b - a)
    inward = np.array([-along[1], along[0]])
    slope = (deep - deeper) / (stop - begin)
    gradient = slope * inward
    return float(depth_mm - deep - slope * begin - gradient @ a), float(gradient[0]), float(gradient[1])


def _with_bends(rings: list[Array], ends: Sequence[End]) -> Array:
    """Give the outline a corner on each upright edge where the strips of its neighbour end."""
    count = len(ends)
    corners: list[Array] = []
    for i, end in enumerate(ends):
        corners.append(rings[0][i])
        if len(end.profile_mm) >= 2:
            continue
        if len(ends[i - 1].profile_mm) >= 2:
            corners += [ring[i] for ring in rings[1:]]
        j = (i + 1) % count
        if len(ends[j].profile_mm) >= 2:
            corners += [ring[j] for ring in reversed(rings[1:])]
    return _apart(np.array(corners))


def _apart(ring: Array) -> Array:
    """Leave out corners that fall on the one before them."""
    step = np.linalg.norm(ring - np.roll(ring, 1, axis=0), axis=1)
    return np.asarray(ring[step > LEAST_STRIP_MM / 2], dtype=np.float64)
