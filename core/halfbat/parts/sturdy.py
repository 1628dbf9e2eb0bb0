"""Outlines without what is too narrow to be printed: strips are left out, and sharp tips cut off where thin."""

from __future__ import annotations

from collections.abc import Sequence
from math import radians, sin

import numpy as np
from numpy.typing import NDArray

from halfbat.building.overlay import overlay
from halfbat.building.rings import inside_rings, ring_area, trace_rings
from halfbat.parts.clearing import LEAST_EDGE_MM, SAME_MM, area_of
from halfbat.parts.outlines import joined_sides

Array = NDArray[np.float64]
Ints = NDArray[np.int64]
TIP_DEG = 40.0
"""A corner sharper than this is thinner than the smallest wall over a length that breaks off."""
SPARE = 1.02
"""How much wider than the smallest wall what stays is."""
STRIP_SHARE = 0.25
"""A part that hangs on by something thin stays out if it is smaller than this share of the rest."""
_HAIR_MM = 1e-3


def sturdy(outline_mm: Array, least_mm: float) -> tuple[Array, list[int]]:
    """Leave out what of an outline is narrower than a wall may be.

    Parameters
    ----------
    outline_mm : ndarray (N, 2)
        Anticlockwise.
    least_mm : float
        Smallest wall of the printer.

    Returns
    -------
    ndarray (M, 2), list of int
        What is left; and for each of its edges the edge of the outline it lies on, or -1 where a tip was cut off. The
        outline itself where nothing is too narrow, or where two large parts hang together by something narrow.
    """
    whole = list(range(len(outline_mm)))
    kept = _wide_sides(outline_mm, SPARE * least_mm / 2)
    if kept is not None and kept != whole and len(kept) > 2:
        joined = joined_sides(outline_mm, kept)
        # Sides that close in on each other meet beyond what they end at, but not where they are cut off.
        for ring, labels in ((joined, kept), blunted(joined, kept, SPARE * least_mm)):
            if _is_part(ring, outline_mm):
                return blunted(ring, labels, SPARE * least_mm) if ring is joined else (ring, labels)
    return blunted(outline_mm, whole, SPARE * least_mm)


def without_strips(outline_mm: Array, least_mm: float) -> tuple[Array, list[int]]:
    """Leave out narrow parts as `sturdy` does, but no tips."""
    whole = list(range(len(outline_mm)))
    kept = _wide_sides(outline_mm, SPARE * least_mm / 2)
    if kept is not None and kept != whole and len(kept) > 2:
        joined = joined_sides(outline_mm, kept)
        if _is_part(joined, outline_mm):
            return joined, kept
    return outline_mm, whole


def sturdy_rings(rings_mm: Sequence[Array], least_mm: float, *, tips: bool = True) -> list[Array]:
    """Leave out what of an outline, the first of some rings, is too narrow, sharp tips too or not; its holes stay."""
    outline, *holes = rings_mm
    return [(sturdy if tips else without_strips)(outline, least_mm)[0], *holes]


def tips_of(rings_mm: Sequence[Array], least_mm: float) -> list[Array]:
    """Triangles that `blunted` would cut off the corners of some rings, holes clockwise."""
    tips = []
    for ring in rings_mm:
        left, labels = blunted(ring, list(range(len(ring))), SPARE * least_mm)
        for k in (k for k, label in enumerate(labels) if label < 0):
            tips.append(np.array([left[k], ring[labels[(k + 1) % len(labels)]], left[(k + 1) % len(labels)]]))
    return tips


def weak_pieces(outline_mm: Array, lines_mm: Array, axis: int, way: int, least_mm: float) -> Ints:
    """Count the strips and sharp tips that straight cuts leave on one side of them.

    Parameters
    ----------
    outline_mm : ndarray (K, 2)
        Of what is cut.
    lines_mm : ndarray (N,)
        Where the cut sides lie.
    axis : {0, 1}
        The axis they are square to.
    way : {-1, 1}
        The side that is kept: lower or higher values.
    least_mm : float
        Smallest wall of the printer.

    Returns
    -------
    ndarray of int64, shape (N,)
        Edges of the outline that lie beside each cut at a sharp angle, nearer than the width.
    """
    count = np.zeros(len(lines_mm), dtype=np.int64)
    for a, b in _sides(outline_mm):
        step = np.abs(b - a)
        if np.arctan2(step[axis], step[1 - axis]) >= radians(TIP_DEG):
            continue
        low, high = sorted((way * float(a[axis]), way * float(b[axis])))
        line = way * lines_mm
        count += (high > line + _HAIR_MM) & (low < line + SPARE * least_mm)
    return count


def blunted(outline_mm: Array, labels: Sequence[int], least_mm: float) -> tuple[Array, list[int]]:
    """Cut off sharp tips square, where they are as wide as a length.

    Parameters
    ----------
    outline_mm : ndarray (N, 2)
        Anticlockwise.
    labels : sequence of int, length N
        Names of its edges.
    least_mm : float
        Width of the cut.

    Returns
    -------
    ndarray (M, 2), list of int
        Corners, and names of the edges, -1 for cuts.
    """
    corners: list[Array] = []
    names: list[int] = []
    count = len(outline_mm)
    for i, corner in enumerate(outline_mm):
        back, ahead = outline_mm[i - 1] - corner, outline_mm[(i + 1) % count] - corner
        lengths = float(np.hypot(*back)), float(np.hypot(*ahead))
        angle = _angle(ahead, back)
        far = least_mm / 2 / sin(angle / 2) if angle > 0 else np.inf
        if angle < radians(TIP_DEG) and far + LEAST_EDGE_MM < min(lengths):
            corners += [corner + back * (far / lengths[0]), corner + ahead * (far / lengths[1])]
            names += [-1, labels[i]]
        else:
            corners.append(corner)
            names.append(labels[i])
    return np.array(corners), names


def _angle(ahead: Array, back: Array) -> float:
    """Angle inside a corner, radians, from 0 to two pi."""
    turn = float(np.arctan2(ahead[0] * back[1] - ahead[1] * back[0], ahead @ back))
    return turn % (2 * np.pi)


def holds(outline_mm: Array, least_mm: float) -> bool:
    """Tell whether anything of an outline is as wide as a wall must be."""
    half = SPARE * least_mm / 2
    return bool(_wide_rings(outline_mm, _set_in(outline_mm, half)[0], half))


def _wide_sides(outline: Array, half_mm: float) -> list[int] | None:
    """Name the sides that stay when an outline is set back by half a width: those of its largest part.

    None where nothing is left, where another part is large too, and where corners fall together.
    """
    if float(np.linalg.norm(np.roll(outline, -1, axis=0) - outline, axis=1).min()) < _HAIR_MM:
        return None
    ring, along = _set_in(outline, half_mm)
    traced = _wide_rings(outline, ring, half_mm)
    if not traced or (len(traced) > 1 and ring_area(traced[-2]) > STRIP_SHARE * ring_area(traced[-1])):
        return None
    found = [_side_at(a, b, ring, range(len(ring)), along) for a, b in _sides(traced[-1])]
    sides = [side for k, side in enumerate(found) if side >= 0 and side != found[k - 1]]
    # The walk may begin in the middle of a side.
    first = sides.index(min(sides)) if sides else 0
    return [*sides[first:], *sides[:first]] or None


def _set_in(outline: Array, half_mm: float) -> tuple[Array, Array]:
    """All sides moved inward, each drawn to the next; and which way each runs."""
    along = np.roll(outline, -1, axis=0) - outline
    along = along / np.maximum(np.linalg.norm(along, axis=1), 1e-12)[:, None]
    return _moved(outline, along, np.stack([-along[:, 1], along[:, 0]], axis=1), half_mm), along


def _wide_rings(outline: Array, ring: Array, half_mm: float) -> list[Array]:
    """Rings of what lies at least half a width inside an outline, of its sides moved inward, the largest last."""
    cut = overlay(ring, np.roll(ring, -1, axis=0), SAME_MM)
    if not len(cut.ends):
        return []
    spots = cut.spots[1:]
    kept = inside_rings([outline], spots) & (_clear_mm(spots, outline) > half_mm - 2 * SAME_MM)
    kept = np.concatenate([[False], kept])
    left, right = kept[cut.beside].T
    edges = [*cut.ends[left & ~right].tolist(), *cut.ends[right & ~left][:, ::-1].tolist()]
    traced = [cut.nodes[one] for one in trace_rings([(a, b) for a, b in edges], cut.nodes)]
    return sorted((one for one in traced if ring_area(one) > 0), key=ring_area)


def _moved(outline: Array, along: Array, inward: Array, half_mm: float) -> Array:
    """All sides moved inward, each drawn to the next, turned over or not."""
    corners: list[Array] = []
    for i, corner in enumerate(outline):
        before, after = along[i - 1], along[i]
        turn = float(before[0] * after[1] - before[1] * after[0])
        if abs(turn) < 1e-3:
            corners.append(corner + inward[i] * half_mm)
        else:
            gap = (inward[i] - inward[i - 1]) * half_mm
            share = float(gap[0] * after[1] - gap[1] * after[0]) / turn
            corners.append(corner + inward[i - 1] * half_mm + before * share)
    return np.array(corners)


def _side_at(a: Array, b: Array, ring: Array, names: Sequence[int], along: Array) -> int:
    """The moved side that an edge lies on and runs along; -1 where none."""
    middle, step = (a + b) / 2, (b - a) / max(float(np.hypot(*(b - a))), 1e-12)
    best, nearest = -1, 4 * SAME_MM
    for (p, q), name in zip(_sides(ring), names, strict=True):
        length = float((q - p) @ along[name])
        on = float((middle - p) @ along[name])
        off = abs(float(along[name][0] * (middle - p)[1] - along[name][1] * (middle - p)[0]))
        if float(step @ along[name]) > 0.9 and -LEAST_EDGE_MM < on < length + LEAST_EDGE_MM and off < nearest:
            best, nearest = name, off
    return best


def _sides(ring: Array) -> list[tuple[Array, Array]]:
    return list(zip(ring, np.roll(ring, -1, axis=0), strict=True))


def _clear_mm(spots: Array, outline: Array) -> Array:
    """How far spots lie from the sides of an outline."""
    clear = np.full(len(spots), np.inf)
    for a, b in _sides(outline):
        step = b - a
        share = np.clip(((spots - a) @ step) / max(float(step @ step), 1e-12), 0.0, 1.0)
        clear = np.minimum(clear, np.linalg.norm(spots - a - share[:, None] * step, axis=1))
    return clear


def _is_part(ring: Array, outline: Array) -> bool:
    """Whether a ring is some of an outline: no corner of it lies outside."""
    if not 0 < area_of(ring) <= area_of(outline) + _HAIR_MM:
        return False
    inside = inside_rings([outline], ring)
    return bool((inside | (_clear_mm(ring, outline) < _HAIR_MM)).all())
