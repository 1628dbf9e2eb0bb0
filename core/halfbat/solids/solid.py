"""One solid as vertices and triangles in model millimetres."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]
Triangles = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Solid:
    """A triangle mesh, meant to be one closed shell facing outward.

    Parameters
    ----------
    vertices : ndarray, shape (N, 3), float64
        Millimetres; treat as read-only.
    triangles : ndarray, shape (M, 3), int64
        Rows of ``vertices``, counter-clockwise seen from outside.
    """

    vertices: Points
    triangles: Triangles

    @property
    def volume_mm3(self) -> float:
        """Signed volume in cubic millimetres, positive where the triangles face outward."""
        if len(self.triangles) == 0:
            return 0.0
        # About a point of the solid, so that distance from the origin costs no digits.
        corners = (self.vertices - self.vertices.mean(axis=0))[self.triangles]
        a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
        return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6.0)

    @property
    def bounds_mm(self) -> Points:
        """Lowest and highest corner of the enclosing box, shape (2, 3), mm; zeros where there is nothing."""
        if len(self.vertices) == 0:
            return np.zeros((2, 3))
        return np.stack((self.vertices.min(axis=0), self.vertices.max(axis=0)))

    @property
    def size_mm(self) -> Points:
        """Sides of the enclosing box, shape (3,), mm."""
        low, high = self.bounds_mm
        size: Points = high - low
        return size
