"""In which order flat faces are painted so that the nearer cover the farther.

Where two faces overlap on paper, their depths are compared at points that lie in both; every such pair is one rule
"this before that", and the faces are then put in an order that keeps all rules. So large and small, holed and bent
outlines all come out right, which sorting by the middle of each face does not give.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfbat.drawings.drawing import Array

GRID = 110
FINEST_MM = 0.9
"""Points of the grid over a drawing are no nearer than this on paper, and no more than `GRID` each way."""
NUDGE = 1e-3
_TOUCHING_MM = 1e-3


@dataclass(frozen=True, slots=True, eq=False)
class Flat:
    """A face on paper.

    Parameters
    ----------
    rings : tuple of ndarray (K, 2)
        On paper.
    depth : ndarray (3,)
        Nearness to the eye at x, y: ``depth @ (x, y, 1)``.
    """

    rings: tuple[Array, ...]
    depth: Array


def painting_order(faces: Sequence[Flat]) -> list[int]:
    """Return the places of faces in the order to paint them, farthest first."""
    if not faces:
        return []
    samples = _samples(faces)
    inside = [_within(face, samples) for face in faces]
    point = np.concatenate(inside)
    owner = np.repeat(np.arange(len(faces)), [len(found) for found in inside])
    at = np.column_stack([samples[point], np.ones(len(point))])
    depth = np.einsum("ij,ij->i", at, np.array([face.depth for face in faces])[owner])
    order = np.lexsort((depth, point))
    point, owner, depth = point[order], owner[order], depth[order]
    over = (point[1:] == point[:-1]) & (depth[1:] - depth[:-1] > _TOUCHING_MM) & (owner[1:] != owner[:-1])
    rules = np.unique(np.column_stack([owner[:-1][over], owner[1:][over]]), axis=0)
    middles = [float(face.depth @ [*np.concatenate(face.rings).mean(axis=0), 1.0]) for face in faces]
    return _sorted(len(faces), rules, middles)


def _samples(faces: Sequence[Flat]) -> Array:
    """Return a grid over everything, and points just inside the longest edges of each face."""
    corners = np.concatenate([ring for face in faces for ring in face.rings])
    low, high = corners.min(axis=0), corners.max(axis=0)
    step = max(float((high - low).max()) / GRID, FINEST_MM)
    axes = [np.arange(low[i] + step * 0.37, high[i], step) for i in range(2)]
    grid = np.stack(np.meshgrid(*axes), axis=-1).reshape(-1, 2)
    own = []
    for face in faces:
        ring = face.rings[0]
        along = np.roll(ring, -1, axis=0) - ring
        length = np.hypot(along[:, 0], along[:, 1])
        longest = np.argsort(-length, kind="stable")[: 6 if length.max() > step else 2]
        inward = np.column_stack([-along[:, 1], along[:, 0]])[longest] / np.maximum(length[longest, None], 1e-12)
        for share in (0.5, 0.13, 0.81):
            own.append(ring[longest] + along[longest] * share + inward * NUDGE * max(step, 0.1))
    every = np.concatenate([grid, *own])
    # From left to right, so that each face looks at the points of its own width only.
    return np.asarray(every[np.argsort(every[:, 0], kind="stable")])


def _within(face: Flat, samples: Array) -> NDArray[np.intp]:
    """Return the places of the samples inside a face: a ray to the right meets an odd count of its sides."""
    every = np.concatenate(face.rings)
    low, high = every.min(axis=0), every.max(axis=0)
    first, last = np.searchsorted(samples[:, 0], [low[0], high[0]])
    heights = samples[first:last, 1]
    near = first + np.flatnonzero((heights >= low[1]) & (heights <= high[1]))
    x, y = samples[near].T
    odd = np.zeros(len(near), dtype=bool)
    for ring in face.rings:
        corners = ring.tolist()
        for (x0, y0), (x1, y1) in zip(corners, [*corners[1:], corners[0]], strict=True):
            if y0 == y1:
                continue
            crossed = (y >= min(y0, y1)) & (y < max(y0, y1))
            odd[crossed] ^= x[crossed] < x0 + (y[crossed] - y0) * ((x1 - x0) / (y1 - y0))
    return np.asarray(near[odd], dtype=np.intp)


def _sorted(count: int, rules: NDArray[np.intp], middles: list[float]) -> list[int]:
    """Order faces by the rules, the farthest free one next; a ring of rules is broken at its farthest face."""
    waits = [0] * count
    frees: list[list[int]] = [[] for _ in range(count)]
    for behind, front in rules.tolist():
        waits[front] += 1
        frees[behind].append(front)
    free = [(middles[i], i) for i in range(count) if waits[i] == 0]
    heapq.heapify(free)
    rest = sorted(range(count), key=lambda i: middles[i])
    done = [False] * count
    order: list[int] = []
    while len(order) < count:
        face = heapq.heappop(free)[1] if free else next(i for i in rest if not done[i])
        if done[face]:
            continue
        done[face] = True
        order.append(face)
        for front in frees[face]:
            waits[front] -= 1
            if waits[front] == 0 and not done[front]:
                heapq.heappush(free, (middles[front], front))
    return order
