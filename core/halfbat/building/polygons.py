"""Many polygons of different sizes over one list of points, as flat arrays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Polygons:
    """Polygons one after the other.

    Parameters
    ----------
    corners : ndarray of int, shape (C,)
        Point index of each corner, polygon after polygon.
    starts : ndarray of int, shape (F + 1,)
        Where each polygon starts in `corners`; the last entry is C.
    """

    corners: Ints
    starts: Ints

    @property
    def count(self) -> int:
        """Number of polygons."""
        return len(self.starts) - 1

    @property
    def sizes(self) -> Ints:
        """Number of corners of each polygon, shape (F,)."""
        sizes: Ints = np.diff(self.starts)
        return sizes

    @property
    def face_of(self) -> Ints:
        """Polygon of each corner, shape (C,)."""
        return np.repeat(np.arange(self.count), self.sizes)

    @property
    def following(self) -> Ints:
        """Point index of the corner after each corner, round its polygon, shape (C,)."""
        place = np.arange(len(self.corners)) + 1
        place[self.starts[1:] - 1] = self.starts[:-1]
        ahead: Ints = self.corners[place]
        return ahead

    def keep(self, corners: Flags) -> Polygons:
        """Return the polygons with only some corners; a polygon may become empty."""
        sizes = np.bincount(self.face_of[corners], minlength=self.count)
        return Polygons(self.corners[corners], np.concatenate([[0], np.cumsum(sizes)]))

    def take(self, faces: Flags) -> Polygons:
        """Return only some of the polygons."""
        sizes = self.sizes[faces]
        return Polygons(self.corners[faces[self.face_of]], np.concatenate([[0], np.cumsum(sizes)]))

    def ring(self, face: int) -> Ints:
        """Return the point indices of one polygon."""
        return self.corners[self.starts[face] : self.starts[face + 1]]


def polygons_from(faces: Sequence[Sequence[int]]) -> Polygons:
    """Return polygons given as one sequence of point indices each."""
    sizes = np.fromiter((len(face) for face in faces), dtype=np.int64, count=len(faces))
    corners = np.fromiter((c for face in faces for c in face), dtype=np.int64, count=int(sizes.sum()))
    return Polygons(corners, np.concatenate([[0], np.cumsum(sizes)]))


def area_vectors(points: Array, polygons: Polygons) -> Array:
    """Return the area vector of each polygon: along its normal, as long as its area.

    Exact for plane polygons of any shape, keyholes too (Newell's sum); a warped polygon gives
    its mean plane.

    Parameters
    ----------
    points : ndarray, shape (N, 3)
        Metres.
    polygons : Polygons
        None of them empty.

    Returns
    -------
    ndarray, shape (F, 3)
        Square metres.
    """
    # From the first corner of each polygon, so that sites far from the origin lose no digits.
    base = np.repeat(points[polygons.corners[polygons.starts[:-1]]], polygons.sizes, axis=0)
    crossed = np.cross(points[polygons.corners] - base, points[polygons.following] - base)
    summed: Array = np.add.reduceat(crossed, polygons.starts[:-1], axis=0) / 2.0
    return summed


@dataclass(frozen=True, slots=True, eq=False)
class Edges:
    """The edges of polygons, each once whichever way it is walked.

    Parameters
    ----------
    ends : ndarray of int, shape (E, 2)
        Point indices, lower first.
    of_corner : ndarray of int, shape (C,)
        Edge that leaves each corner.
    way : ndarray of int, shape (C,)
        1 where the corner's polygon walks it from the lower index to the higher, else -1.
    forward, backward : ndarray of int, shape (E,)
        How often it is walked each way.
    """

    ends: Ints
    of_corner: Ints
    way: Ints
    forward: Ints
    backward: Ints

    @property
    def uses(self) -> Ints:
        """How often each edge is walked, shape (E,)."""
        return self.forward + self.backward


def edges_of(polygons: Polygons) -> Edges:
    """Return the edges of polygons."""
    a, b = polygons.corners, polygons.following
    span = int(max(a.max(initial=0), b.max(initial=0))) + 1
    keys, index = np.unique(np.minimum(a, b) * span + np.maximum(a, b), return_inverse=True)
    index = index.reshape(-1).astype(np.int64)
    up = a < b
    forward = np.bincount(index[up], minlength=len(keys)).astype(np.int64)
    backward = np.bincount(index[~up], minlength=len(keys)).astype(np.int64)
    ends = np.stack([keys // span, keys % span], axis=1)
    return Edges(ends, index, np.where(up, 1, -1).astype(np.int64), forward, backward)
