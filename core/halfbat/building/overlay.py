"""Lines in a plane cut it into faces."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from halfbat.building.rings import inside_rings, ring_area
from halfbat.building.weld import weld

Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

#: Rounds of cutting and welding; each moves points by less than the tolerance, so few are needed.
_ROUNDS = 6
#: Heights, as shares, at which the middle of a face is sought; none is a simple fraction.
_LEVELS = (0.487, 0.351, 0.648, 0.213, 0.792, 0.083, 0.917, 0.013, 0.987)


@dataclass(frozen=True, slots=True, eq=False)
class Overlay:
    """A plane cut into faces by straight edges.

    Parameters
    ----------
    nodes : ndarray, shape (N, 2)
        Points where edges meet.
    ends : ndarray of int, shape (E, 2)
        Nodes of each edge.
    beside : ndarray of int, shape (E, 2)
        Face to the left and to the right of each edge; 0 is the outside.
    spots : ndarray, shape (F, 2)
        A place well inside each face; that of the outside is not a number.
    areas : ndarray, shape (F,)
        Area of each face; infinite for the outside.
    """

    nodes: Array
    ends: Ints
    beside: Ints
    spots: Array
    areas: Array


def overlay(starts: Array, ends: Array, tolerance: float) -> Overlay:
    """Cut the plane along segments.

    Parameters
    ----------
    starts, ends : ndarray, shape (S, 2)
        Segments in any order and any way round; they may cross and lie over each other.
    tolerance : float
        Points nearer than this to each other or to a segment are brought together.

    Returns
    -------
    Overlay
        Edges that bound no face, such as one that ends in the open, are left out.
    """
    nodes, pairs = _noded(starts, ends, tolerance)
    pairs = _without_dangling(pairs)
    if len(pairs) == 0:
        return Overlay(nodes, pairs, pairs.copy(), np.full((1, 2), np.nan), np.array([np.inf]))
    cycles, of_half = _cycles(nodes, pairs)
    face_of_cycle, spots, areas = _faces(nodes, cycles)
    faces = face_of_cycle[of_half]
    beside = np.stack([faces[: len(pairs)], faces[len(pairs) :]], axis=1)
    used = beside[:, 0] != beside[:, 1]
    return Overlay(nodes, pairs[used], beside[used], spots, areas)


def _noded(starts: Array, ends: Array, tolerance: float) -> tuple[Array, Ints]:
    """Cut segments where they meet and give equal points one number."""
    nodes, index = weld(np.concatenate([starts, ends]), tolerance)
    pairs = _unique(np.stack([index[: len(starts)], index[len(starts) :]], axis=1))
    for _ in range(_ROUNDS):
        cuts = _cuts(nodes, pairs, tolerance)
        if not cuts:
            break
        pairs, nodes = _split(nodes, pairs, cuts)
        nodes, index = weld(nodes, tolerance)
        pairs = _unique(index[pairs])
    return nodes, pairs


def _unique(pairs: Ints) -> Ints:
    pairs = np.sort(pairs[pairs[:, 0] != pairs[:, 1]], axis=1)
    return np.unique(pairs, axis=0).astype(np.int64).reshape(-1, 2)


def _cuts(nodes: Array, pairs: Ints, tolerance: float) -> dict[int, list[tuple[float, Array]]]:
    """Return for each segment to be cut where, as share of its length and point."""
    cuts: dict[int, list[tuple[float, Array]]] = defaultdict(list)
    a, b = nodes[pairs[:, 0]], nodes[pairs[:, 1]]
    step = b - a
    length = np.hypot(step[:, 0], step[:, 1])
    used = np.unique(pairs)
    for edge in range(len(pairs)):
        to = nodes[used] - a[edge]
        share = to @ step[edge] / length[edge] ** 2
        off = np.abs(step[edge, 0] * to[:, 1] - step[edge, 1] * to[:, 0]) / length[edge]
        margin = tolerance / length[edge]
        on = (off <= tolerance) & (share > margin) & (share < 1.0 - margin)
        on &= (used != pairs[edge, 0]) & (used != pairs[edge, 1])
        cuts_here = [(float(share[i]), nodes[used[i]]) for i in np.flatnonzero(on)]
        cuts_here += _crossings(edge, a, step, length, tolerance)
        if cuts_here:
            cuts[edge] = cuts_here
    return cuts


def _crossings(edge: int, a: Array, step: Array, length: Array, tolerance: float) -> list[tuple[float, Array]]:
    """Return where one segment properly crosses others."""
    across = step[edge, 0] * step[:, 1] - step[edge, 1] * step[:, 0]
    slanted = np.abs(across) > 1e-9 * length * length[edge]
    safe = np.where(slanted, across, 1.0)
    to = a - a[edge]
    share = (to[:, 0] * step[:, 1] - to[:, 1] * step[:, 0]) / safe
    other = (to[:, 0] * step[edge, 1] - to[:, 1] * step[edge, 0]) / safe
    own_margin, margin = tolerance / length[edge], tolerance / length
    hit = slanted & (share > own_margin) & (share < 1.0 - own_margin) & (other > -margin) & (other < 1.0 + margin)
    # A line that ends on this one has been cut in by its end point already.
    hit &= (other > margin) & (other < 1.0 - margin)
    return [(float(share[i]), a[edge] + share[i] * step[edge]) for i in np.flatnonzero(hit)]


def _split(nodes: Array, pairs: Ints, cuts: dict[int, list[tuple[float, Array]]]) -> tuple[Ints, Array]:
    """Replace each segment by its pieces."""
    new_pairs: list[tuple[int, int]] = []
    added: list[Array] = []
    for edge, (first, last) in enumerate(pairs.tolist()):
        here = first
        for _, point in sorted(cuts.get(edge, []), key=lambda cut: cut[0]):
            added.append(point)
            new_pairs.append((here, len(nodes) + len(added) - 1))
            here = len(nodes) + len(added) - 1
        new_pairs.append((here, last))
    return np.array(new_pairs, dtype=np.int64), np.vstack([nodes, *added])


def _without_dangling(pairs: Ints) -> Ints:
    """Drop edges that end in the open, and those that hang on them."""
    while len(pairs):
        degree = np.bincount(pairs.reshape(-1))
        loose = (degree[pairs] == 1).any(axis=1)
        if not loose.any():
            break
        pairs = pairs[~loose]
    return pairs


def _cycles(nodes: Array, pairs: Ints) -> tuple[list[list[int]], Ints]:
    """Walk round every face on its left side; return the node cycles and each half-edge's cycle.

    Half-edge i runs along pair i, half-edge E + i back along it.
    """
    count = len(pairs)
    tail = np.concatenate([pairs[:, 0], pairs[:, 1]])
    head = np.concatenate([pairs[:, 1], pairs[:, 0]])
    step = nodes[head] - nodes[tail]
    angle = np.arctan2(step[:, 1], step[:, 0])
    leaving: dict[int, list[int]] = defaultdict(list)
    for half in np.lexsort([angle, tail]).tolist():
        leaving[int(tail[half])].append(half)
    place = {half: i for halves in leaving.values() for i, half in enumerate(halves)}
    of_half = np.full(2 * count, -1, dtype=np.int64)
    cycles: list[list[int]] = []
    for seed in range(2 * count):
        if of_half[seed] >= 0:
            continue
        half, ring = seed, []
        while of_half[half] < 0:
            of_half[half] = len(cycles)
            ring.append(int(tail[half]))
            twin = half + count if half < count else half - count
            # The next to the right of the way back keeps the face on the left.
            half = leaving[int(head[half])][place[twin] - 1]
        cycles.append(ring)
    return cycles, of_half


def _faces(nodes: Array, cycles: list[list[int]]) -> tuple[Ints, Array, Array]:
    """Number the faces: each counter-clockwise cycle is one, with the clockwise cycles in it as holes."""
    rings = [nodes[np.array(cycle)] for cycle in cycles]
    areas = [ring_area(ring) for ring in rings]
    outer = [i for i, area in enumerate(areas) if area > 0.0]
    face_of = np.zeros(len(cycles), dtype=np.int64)
    holes: dict[int, list[int]] = defaultdict(list)
    for number, cycle in enumerate(outer, start=1):
        face_of[cycle] = number
    for cycle, area in enumerate(areas):
        if area > 0.0:
            continue
        around = [o for o in outer if areas[o] > -area and _holds(rings[o], cycles[o], nodes, cycles[cycle])]
        if around:
            owner = min(around, key=lambda o: areas[o])
            face_of[cycle] = face_of[owner]
            holes[owner].append(cycle)
    spots = [np.full(2, np.nan)]
    sizes = [math.inf]
    for cycle in outer:
        spots.append(_deep_spot([rings[cycle], *(rings[hole] for hole in holes[cycle])]))
        sizes.append(areas[cycle] + sum(areas[hole] for hole in holes[cycle]))
    return face_of, np.array(spots), np.array(sizes)


def _deep_spot(rings: list[Array]) -> Array:
    """Return a place far from the border of a figure of rings, the best of a few level lines."""
    a = np.concatenate(rings)
    b = np.concatenate([np.roll(ring, -1, axis=0) for ring in rings])
    low, high = float(a[:, 1].min()), float(a[:, 1].max())
    best = -1.0
    found: Array = a.mean(axis=0)
    for share in _LEVELS:
        y = low + share * (high - low)
        spans = (a[:, 1] <= y) != (b[:, 1] <= y)
        start, step = a[spans], b[spans] - a[spans]
        crossings = np.sort(start[:, 0] + (y - start[:, 1]) / step[:, 1] * step[:, 0]).tolist()
        for left, right in zip(crossings[::2], crossings[1::2], strict=False):
            spot = np.array([(left + right) / 2.0, y])
            clear = float(_distances(spot, a, b).min())
            if clear > best:
                best, found = clear, spot
    return found


def _distances(spot: Array, a: Array, b: Array) -> Array:
    """Return the distance of a spot from each segment."""
    step = b - a
    square = np.maximum(np.einsum("ij,ij->i", step, step), 1e-24)
    share = np.clip(np.einsum("ij,ij->i", spot - a, step) / square, 0.0, 1.0)
    off = a + share[:, None] * step - spot
    distances: Array = np.hypot(off[:, 0], off[:, 1])
    return distances


def _holds(ring: Array, cycle: list[int], nodes: Array, inner: list[int]) -> bool:
    """Say whether a cycle lies within a ring it may touch."""
    free = [node for node in inner if node not in set(cycle)]
    if not free:
        return False
    return bool(np.count_nonzero(inside_rings([ring], nodes[free])) * 2 > len(free))
