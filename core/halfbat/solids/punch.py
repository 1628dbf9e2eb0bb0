"""Openings punched through a solid between two of its plane faces."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from halfbat.solids.grid import PER_MM, Floats, Ints
from halfbat.solids.patch import triangulate
from halfbat.solids.solid import Solid

FLAT_MM = 1.5e-3
"""A face may stand off by the rounding of its corners to the grid."""


@dataclass(frozen=True, slots=True, eq=False)
class FaceFrame:
    """A plane frame on a face: origin, and unit vectors along it, up it and out of the solid.

    Parameters
    ----------
    origin, along, up, outward : ndarray (3,)
        Millimetres; the three vectors stand at right angles and are right-handed.
    """

    origin: Floats
    along: Floats
    up: Floats
    outward: Floats

    def flat(self, places: Floats) -> Floats:
        """Coordinates (N, 2) of places along and up the face."""
        return np.asarray((places - self.origin) @ np.stack([self.along, self.up], axis=1), dtype=np.float64)

    def depth(self, places: Floats) -> Floats:
        """Distance of places behind the face."""
        return np.asarray((self.origin - places) @ self.outward, dtype=np.float64)


def punch(solid: Solid, frame: FaceFrame, thickness_mm: float, rings_mm: list[Floats]) -> Solid:
    """Cut openings through a wall.

    Parameters
    ----------
    solid : Solid
        Closed and outward.
    frame : FaceFrame
        The outer face.
    thickness_mm : float
        Distance to the inner face, which is parallel.
    rings_mm : list of ndarray (K, 2)
        Anticlockwise openings in the face's frame, inside both faces and apart from each other.

    Returns
    -------
    Solid
        With the openings and their reveals.

    Raises
    ------
    ValueError
        An opening does not lie inside both faces.
    """
    if not rings_mm:
        return solid
    vertices, triangles = np.asarray(solid.vertices), np.asarray(solid.triangles)
    fresh = np.concatenate(rings_mm)
    sizes = [len(ring) for ring in rings_mm]
    surface = frame.origin + fresh[:, :1] * frame.along + fresh[:, 1:] * frame.up
    depths, flat = frame.depth(vertices), np.rint(frame.flat(vertices) * PER_MM).astype(np.int64)
    faces = [_face(depths, flat, triangles, depth, facing) for depth, facing in ((0.0, 1), (thickness_mm, -1))]
    if not all(len(face) for face in faces):
        raise ValueError("an opening does not lie inside the face it is cut in")
    # The new corners lie exactly in the faces as they are.
    outer, inner = (surface - frame.outward * float(depths[triangles[face]].mean()) for face in faces)
    first_outer, first_inner = len(vertices), len(vertices) + len(fresh)
    places = np.concatenate([vertices, outer, inner])
    flat = np.rint(frame.flat(places) * PER_MM).astype(np.int64)
    starts = np.cumsum([0, *sizes])[:-1]
    kept = np.ones(len(triangles), dtype=bool)
    added: list[Ints] = []
    for face, first, facing in zip(faces, (first_outer, first_inner), (1, -1), strict=True):
        rings = [[first + int(s) + k for k in range(n)] for s, n in zip(starts, sizes, strict=True)]
        added += _patches(flat * (facing, 1), triangles, face, rings, kept, facing)
    for start, size in zip(starts.tolist(), sizes, strict=True):
        k = np.arange(size)
        here, there = start + k, start + (k + 1) % size
        a, b, c, d = first_outer + here, first_outer + there, first_inner + there, first_inner + here
        added += [np.stack([a, b, c], axis=1), np.stack([a, c, d], axis=1)]
    return Solid(places, np.concatenate([triangles[kept], *added]))


def _face(depths: Floats, flat: Ints, triangles: Ints, depth: float, facing: int) -> Ints:
    """Triangles that lie in a plane at a depth and face outward (1) or inward (-1)."""
    level = (np.abs(depths[triangles] - depth) < FLAT_MM).all(axis=1)
    a, b, c = (flat[triangles[:, k]] for k in range(3))
    turn = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    return np.flatnonzero(level & (turn * facing > 0))


def _patches(
    flat: Ints, triangles: Ints, face: Ints, rings: list[list[int]], kept: np.ndarray, facing: int
) -> list[Ints]:
    """Cut every piece of a face anew that holds openings; seen from the side it faces."""
    waiting = list(range(len(rings)))
    new: list[Ints] = []
    for piece in _pieces(triangles[face]):
        members = face[piece]
        loops = _rim(triangles[members])
        mine = [k for k in waiting if _holds(flat, triangles[members], rings[k][0])]
        if not mine:
            continue
        waiting = [k for k in waiting if k not in mine]
        kept[members] = False
        areas = [_twice_area(flat[loop]) for loop in loops]
        outline = loops[int(np.argmax(areas))]
        holes = [loop for loop, area in zip(loops, areas, strict=True) if area < 0]
        # Seen from the face's own side an opening runs clockwise; an inward face sees everything in a mirror.
        holes += [rings[k][::-1] if facing > 0 else rings[k] for k in mine]
        new.append(triangulate(flat, outline, holes))
    if waiting:
        raise ValueError("an opening does not lie inside the face it is cut in")
    return new


def _pieces(triangles: Ints) -> list[Ints]:
    """Group triangles that share edges."""
    owner: dict[tuple[int, int], int] = {}
    group = list(range(len(triangles)))

    def root(k: int) -> int:
        while group[k] != k:
            group[k] = group[group[k]]
            k = group[k]
        return k

    for k, corners in enumerate(triangles.tolist()):
        for a, b in zip(corners, (*corners[1:], corners[0]), strict=True):
            other = owner.get((b, a))
            owner[a, b] = k
            if other is not None:
                group[root(k)] = root(other)
    roots = np.array([root(k) for k in range(len(triangles))])
    return [np.flatnonzero(roots == r) for r in np.unique(roots)]


def _rim(triangles: Ints) -> list[list[int]]:
    """Follow the open edges of a piece of a face into loops."""
    edges = {(a, b) for t in triangles.tolist() for a, b in zip(t, (*t[1:], t[0]), strict=True)}
    follow = {a: b for a, b in sorted(edges) if (b, a) not in edges}
    loops = []
    while follow:
        first, here = follow.popitem()
        loop = [first]
        while here != first:
            loop.append(here)
            here = follow.pop(here)
        loops.append(loop)
    return loops


def _holds(flat: Ints, triangles: Ints, point: int) -> bool:
    p = flat[point]
    a, b, c = (flat[triangles[:, k]] for k in range(3))

    def side(q: Ints, r: Ints) -> Ints:
        return np.asarray((r[:, 0] - q[:, 0]) * (p[1] - q[:, 1]) - (r[:, 1] - q[:, 1]) * (p[0] - q[:, 0]))

    return bool(((side(a, b) >= 0) & (side(b, c) >= 0) & (side(c, a) >= 0)).any())


def _twice_area(ring: Ints) -> int:
    nxt = np.roll(ring, -1, axis=0)
    return int((ring[:, 0] * nxt[:, 1] - ring[:, 1] * nxt[:, 0]).sum())
