"""Whether a solid is one closed, outward body that a printer can be given.

The product asks this of every part before it is written; the tests ask it of everything.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from halfbat.errors import KitError
from halfbat.solids.grid import Floats, Ints
from halfbat.solids.solid import Solid

MIXERS = np.array([0x9E3779B97F4A7C15, 0xC2B2AE3D27D4EB4F, 0x165667B19E3779F9], dtype=np.uint64)
"""Odd numbers without pattern: digits of the golden ratio, and two primes in use for hashing."""
BLOCK = 1 << 14
"""Triangles looked at together: few enough to stay in the processor's cache."""


def faults(solid: Solid) -> tuple[str, ...]:
    """List what keeps a solid from being one closed outward body.

    Parameters
    ----------
    solid : Solid
        Vertices in millimetres and triangles.

    Returns
    -------
    tuple of str
        Empty for a good solid. Judged on coordinates as an STL file keeps them, in float32.
    """
    triangles = np.asarray(solid.triangles, dtype=np.int64)
    vertices = np.asarray(solid.vertices, dtype=np.float64)
    if not len(triangles):
        return ("has no triangles",)
    if not np.isfinite(vertices).all():
        return ("has coordinates that are not finite",)
    found: list[str] = []
    single = vertices.astype(np.float32) + np.float32(0.0)
    merged = _same_places(single)
    if merged is not None:
        fallen = _number_used(triangles, len(single)) - _number_used(merged[triangles], len(single))
        if fallen:
            found.append(f"{fallen} vertices fall together in single precision")
        triangles = merged[triangles]
    edges, lone, doubled = _edges(triangles, len(single))
    if lone:
        found.append(f"{lone} edges have no partner running the other way")
    if doubled:
        found.append(f"{doubled} edges are used more than once in one direction")
    flat, volume = _flat_and_volume(single.astype(np.float64), triangles)
    if flat:
        found.append(f"{flat} triangles have no area")
    if not lone and not doubled:
        shells = _shells(edges, len(single))
        if shells != 1:
            found.append(f"is {shells} bodies instead of one")
        if volume <= 0:
            found.append("is turned inside out")
    return tuple(found)


def require_printable(solid: Solid, where: str) -> None:
    """Raise a `KitError` unless a solid is one closed outward body."""
    found = faults(solid)
    if found:
        raise KitError(
            f"a part did not come out as one closed solid ({found[0]})",
            where,
            "change its size or the building's mesh there and make the kit again",
        )


def _same_places(single: NDArray[np.float32]) -> Ints | None:
    """Which vertex stands first at the place of each vertex (N, 3); None where no two share a place."""
    bits = single.view(np.uint32).astype(np.uint64)
    # Equal places have equal sums of these; the other way round it only nearly always holds.
    mixed = np.sort(bits @ MIXERS)
    if not (mixed[1:] == mixed[:-1]).any():
        return None
    _, first, place = np.unique(single, axis=0, return_index=True, return_inverse=True)
    return np.asarray(first[place.reshape(-1)], dtype=np.int64)


def _number_used(triangles: Ints, count: int) -> int:
    used = np.zeros(count, dtype=bool)
    used[triangles.ravel()] = True
    return int(used.sum())


def _edges(triangles: Ints, count: int) -> tuple[Ints, int, int]:
    """Edges (2, E) from their low to their high vertex, in order; those without partner, and those used twice."""
    a = np.ascontiguousarray(triangles.T)
    b = a[[1, 2, 0]]
    key = np.minimum(a, b)
    key *= count
    key += np.maximum(a, b)
    key *= 2
    key += a > b
    key = np.sort(key, axis=None)
    # Each edge once in one direction, an even number, and next to it once in the other, the odd number that follows.
    there, back = key[0::2], key[1::2]
    paired = len(there) == len(back) and bool(((there & 1 == 0) & (back == there + 1)).all())
    if paired and not (there[1:] == there[:-1]).any():
        there >>= 1
        low = there // count
        return np.stack([low, there - low * count]), 0, 0
    twice = int((key[1:] == key[:-1]).sum())
    single = np.unique(key)
    lone = len(single) - 2 * int(np.isin(single[single & 1 == 0] + 1, single).sum())
    return np.zeros((2, 0), dtype=np.int64), lone, twice


def _flat_and_volume(places: Floats, triangles: Ints) -> tuple[int, float]:
    """Count triangles without area, and add up the volume over all of them in cubic millimetres."""
    columns = np.ascontiguousarray(places.T)
    flat, six_volumes = 0, 0.0
    for start in range(0, len(triangles), BLOCK):
        a, b, c = columns.take(triangles[start : start + BLOCK].T, axis=1).transpose(1, 0, 2)
        (ux, uy, uz), (vx, vy, vz) = b - a, c - a
        nx, ny, nz = uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx
        flat += int(((nx == 0) & (ny == 0) & (nz == 0)).sum())
        six_volumes += float((a[0] * nx + a[1] * ny + a[2] * nz).sum())
    return flat, six_volumes / 6


def _shells(edges: Ints, count: int) -> int:
    """Count connected bodies: every vertex follows its highest neighbour, and what has met is taken for one."""
    low, high = edges
    label = np.arange(count, dtype=np.int64)
    while low.size:
        last = np.flatnonzero(np.append(low[1:] != low[:-1], True))
        follow = np.arange(count, dtype=np.int64)
        follow[low[last]] = high[last]
        while True:
            further = follow[follow]
            if np.array_equal(further, follow):
                break
            follow = further
        label = follow[label]
        low, high = follow[low], follow[high]
        apart = np.flatnonzero(low != high)
        low, high = low[apart], high[apart]
        key = np.sort(np.minimum(low, high) * count + np.maximum(low, high))
        low = key // count
        high = key - low * count
    used = np.zeros(count, dtype=bool)
    used[label[edges.ravel()]] = True
    return int(used.sum())
