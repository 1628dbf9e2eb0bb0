"""Whether a solid is one closed, outward body that a printer can be given.

The product asks this of every part before it is written; the tests ask it of everything.
"""

from __future__ import annotations

import numpy as np

from halfbat.errors import KitError
from halfbat.solids.grid import Bools, Floats, Ints
from halfbat.solids.solid import Solid


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
    single, merged = _in_single_precision(vertices)
    tri = merged[triangles]
    fallen = int(_used(triangles, len(vertices)).sum()) - int(_used(tri, len(single)).sum())
    if fallen:
        found.append(f"{fallen} vertices fall together in single precision")
    lone, doubled = _edge_faults(tri, len(single))
    if lone:
        found.append(f"{lone} edges have no partner running the other way")
    if doubled:
        found.append(f"{doubled} edges are used more than once in one direction")
    corners = single[tri]
    double_area = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1)
    if not (double_area > 0).all():
        found.append(f"{int((double_area <= 0).sum())} triangles have no area")
    if not lone and not doubled:
        shells = _shells(tri, len(single))
        if shells != 1:
            found.append(f"is {shells} bodies instead of one")
        volume = float(np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])).sum()) / 6
        if volume <= 0:
            found.append("is turned inside out")
    return tuple(found)


def require_printable(solid: Solid, where: str) -> None:
    """Raise a `KitError` unless a solid is one closed outward body."""
    found = faults(solid)
    if found:
        raise KitError(
            f"the part {found[0]}", where, "change the part's size or the building's mesh there and make the kit again"
        )


def _in_single_precision(vertices: Floats) -> tuple[Floats, Ints]:
    """Round to float32; return the distinct points, and which of them each vertex becomes."""
    rounded = vertices.astype(np.float32)
    key = np.zeros(len(rounded), dtype=np.int64)
    for axis in range(3):
        values, place = np.unique(rounded[:, axis], return_inverse=True)
        key = key * len(values) + place.reshape(-1)
    _, first, merged = np.unique(key, return_index=True, return_inverse=True)
    return rounded[first].astype(np.float64), merged.reshape(-1).astype(np.int64)


def _used(numbers: Ints, count: int) -> Bools:
    used = np.zeros(count, dtype=bool)
    used[numbers.ravel()] = True
    return used


def _edge_faults(tri: Ints, count: int) -> tuple[int, int]:
    a = tri.ravel()
    b = tri[:, [1, 2, 0]].ravel()
    forward = np.sort(a * count + b)
    backward = np.sort(b * count + a)
    doubled = int((forward[1:] == forward[:-1]).sum())
    if not doubled and np.array_equal(forward, backward):
        return 0, 0
    return len(np.setxor1d(forward, backward)), doubled


def _shells(tri: Ints, count: int) -> int:
    """Count connected bodies by hooking labels to their smallest neighbour and halving paths."""
    a = tri.ravel()
    b = tri[:, [1, 2, 0]].ravel()
    label = np.arange(count, dtype=np.int64)
    while True:
        low = np.minimum(label[a], label[b])
        new = label.copy()
        np.minimum.at(new, label[a], low)
        np.minimum.at(new, label[b], low)
        while True:
            shorter = new[new]
            if np.array_equal(shorter, new):
                break
            new = shorter
        if np.array_equal(new, label):
            break
        label = new
    return int(_used(label[tri], count).sum())
