"""Convex bodies seen from a face, and outlines cut clear of them."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from halfbat.building.overlay import overlay
from halfbat.building.rings import inside_rings, ring_area, trace_rings

Array = NDArray[np.float64]
SAME_MM = 2e-3
LEAST_BEND_MM = 5e-3
LEAST_EDGE_MM = 0.02


def clipped(ring: Array, off: Array) -> Array:
    """Keep the part of a convex ring on one side of a line or plane.

    Parameters
    ----------
    ring : ndarray (N, D)
        Corners in order.
    off : ndarray (N,)
        How far each lies on the side that is kept; below zero beyond the line.

    Returns
    -------
    ndarray (M, D)
        Corners; none where all lies beyond.
    """
    kept: list[Array] = []
    for i in range(len(ring)):
        j = (i + 1) % len(ring)
        if off[i] >= 0:
            kept.append(ring[i])
        if (off[i] < 0) != (off[j] < 0):
            kept.append(ring[i] + (ring[j] - ring[i]) * (off[i] / (off[i] - off[j])))
    return np.array(kept).reshape(-1, ring.shape[1] if ring.ndim == 2 else 2)


def without(outline: Array, rings: Sequence[Array]) -> tuple[Array, list[int]]:
    """Take convex rings out of an outline and keep the largest piece.

    Parameters
    ----------
    outline : ndarray (N, 2)
        Anticlockwise.
    rings : sequence of ndarray (K, 2)
        What is taken out; one that lies wholly inside leaves no hole, so it must reach the outline.

    Returns
    -------
    ndarray (M, 2), list of int
        Corners of the piece; and for each of its edges the edge of the outline it lies on, or -1 where it is new. No
        corners where nothing is left.
    """
    starts = np.concatenate([outline, *rings])
    ends = np.concatenate([np.roll(ring, -1, axis=0) for ring in (outline, *rings)])
    cut = overlay(starts, ends, SAME_MM)
    spots = cut.spots[1:]
    kept = inside_rings([outline], spots)
    for ring in rings:
        kept &= ~inside_rings([ring], spots)
    kept = np.concatenate([[False], kept])
    left, right = kept[cut.beside].T
    edges = [*cut.ends[left & ~right].tolist(), *cut.ends[right & ~left][:, ::-1].tolist()]
    traced = [cut.nodes[ring] for ring in trace_rings([(a, b) for a, b in edges], cut.nodes)]
    if not traced:
        return np.zeros((0, 2)), []
    return _plain(max(traced, key=ring_area), outline)


def boxes_within(outline: Array, box: Array) -> list[Array]:
    """Boxes of the pieces of an outline that lie in a box; those that part along one axis only, else the box itself.

    Parameters
    ----------
    outline : ndarray (N, 2)
        Anticlockwise.
    box : ndarray (2, 2)
        Lowest and highest corner.

    Returns
    -------
    list of ndarray (2, 2)
        Each as large as the box but for the sides between two pieces, which lie midway.
    """
    (x0, y0), (x1, y1) = box
    spans = spans_within(outline, np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]]))
    for axis in (0, 1):
        between = lines_between(spans, axis)
        if between:
            limits = [float(box[0, axis]), *between, float(box[1, axis])]
            parted = [box.copy() for _ in spans]
            for own, limit in zip(parted, pairwise(limits), strict=True):
                own[:, axis] = limit
            return parted
    return [box]


def spans_within(outline: Array, around: Array) -> list[tuple[Array, Array]]:
    """Lowest and highest corner of each piece of an outline (N, 2) that lies in a ring (K, 2), both anticlockwise."""
    starts = np.concatenate([outline, around])
    cut = overlay(starts, np.concatenate([np.roll(outline, -1, axis=0), np.roll(around, -1, axis=0)]), SAME_MM)
    inside = inside_rings([outline], cut.spots[1:]) & inside_rings([around], cut.spots[1:])
    spans = []
    for face in np.flatnonzero(inside) + 1:
        nodes = cut.nodes[cut.ends[(cut.beside == face).any(axis=1)].ravel()]
        spans.append((nodes.min(axis=0), nodes.max(axis=0)))
    return spans


def rings_within(outline: Array, around: Array) -> list[Array]:
    """Outlines of the pieces of an outline (N, 2) that lie in a ring (K, 2), both anticlockwise, the largest first."""
    starts = np.concatenate([outline, around])
    cut = overlay(starts, np.concatenate([np.roll(outline, -1, axis=0), np.roll(around, -1, axis=0)]), SAME_MM)
    spots = cut.spots[1:]
    kept = np.concatenate([[False], inside_rings([outline], spots) & inside_rings([around], spots)])
    left, right = kept[cut.beside].T
    edges = [*cut.ends[left & ~right].tolist(), *cut.ends[right & ~left][:, ::-1].tolist()]
    traced = [cut.nodes[ring] for ring in trace_rings([(a, b) for a, b in edges], cut.nodes)]
    traced = [plainer(ring, [-1] * len(ring))[0] for ring in traced if ring_area(ring) > 0]
    return sorted(traced, key=ring_area, reverse=True)


def lines_between(spans: list[tuple[Array, Array]], axis: int) -> list[float]:
    """Where lines square to an axis pass midway between boxes, which are put in order; none if they do not pass."""
    spans.sort(key=lambda span: float(span[0][axis]))
    gaps = [(before[1][axis], after[0][axis]) for before, after in pairwise(spans)]
    return [float(low + high) / 2 for low, high in gaps] if all(low <= high for low, high in gaps) else []


def _plain(ring: Array, outline: Array) -> tuple[Array, list[int]]:
    """Name the edges of a piece of an outline, those in one line joined and hairs left out."""
    labels = [_edge_of((a + b) / 2, outline) for a, b in zip(ring, np.roll(ring, -1, axis=0), strict=True)]
    return plainer(ring, labels)


def plainer(ring: Array, labels: list[int]) -> tuple[Array, list[int]]:
    """Leave out hairs, and corners between edges of one name that lie in one line."""
    while len(ring) > 3:
        past, ahead = ring - np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0) - ring
        lengths = np.hypot(*ahead.T)
        off = np.abs(past[:, 0] * ahead[:, 1] - past[:, 1] * ahead[:, 0]) / np.maximum(np.hypot(*past.T), 1e-9)
        needless = [k for k in range(len(ring)) if off[k] < LEAST_BEND_MM and labels[k - 1] == labels[k]]
        if needless:
            drop = gone = needless[0]
        else:
            gone = int(np.argmin(lengths))
            if lengths[gone] >= LEAST_EDGE_MM:
                break
            if gone == len(ring) - 1:
                ring, labels = np.roll(ring, 1, axis=0), [labels[-1], *labels[:-1]]
                gone = 0
            drop = _hair_end(ring, gone)
        ring, labels = np.delete(ring, drop, axis=0), [*labels[:gone], *labels[gone + 1 :]]
    return ring, labels


def _hair_end(ring: Array, edge: int) -> int:
    """The end of an edge too short to keep that takes less away with it, so that long edges stay where they are."""
    before, start, end, behind = (ring[(edge + k) % len(ring)] for k in (-1, 0, 1, 2))
    (x, y), ways = end - start, (before - start, behind - end)
    lost = [abs(x * way[1] - y * way[0]) for way in ways]
    return edge if lost[0] <= lost[1] else edge + 1


def _edge_of(place: Array, outline: Array) -> int:
    """The edge of an outline that a place lies on; -1 where on none."""
    step = np.roll(outline, -1, axis=0) - outline
    length = np.maximum(np.hypot(*step.T), 1e-9)
    off = np.abs(step[:, 0] * (place - outline)[:, 1] - step[:, 1] * (place - outline)[:, 0]) / length
    share = np.einsum("ij,ij->i", place - outline, step) / length**2
    off = np.where((share > 0) & (share < 1), off, np.inf)
    return int(np.argmin(off)) if off.min() < 2 * SAME_MM else -1


def lower_side(points: Array) -> Array:
    """Lower half of the convex hull of points (N, 2), from left to right."""
    chain: list[Array] = []
    for p in points[np.lexsort((points[:, 1], points[:, 0]))]:
        while len(chain) > 1 and _turn(chain[-2], chain[-1], p) <= 0:
            chain.pop()
        chain.append(p)
    return np.array(chain)


def hull(points: Array) -> Array:
    """Convex hull of points (N, 2), anticlockwise."""
    return np.concatenate([lower_side(points)[:-1], -lower_side(-points)[:-1]])


def _turn(a: Array, b: Array, c: Array) -> float:
    return float((b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]))


def area_of(ring: Array) -> float:
    """Area of a ring; 0 of fewer than three corners."""
    return ring_area(ring) if len(ring) > 2 else 0.0
