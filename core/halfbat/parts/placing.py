"""Matrices from the frame a part is printed in to its place in the building."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from halfbat.solids.solid import Solid

Matrix = NDArray[np.float64]


def frame(x: ArrayLike, y: ArrayLike, z: ArrayLike, origin: ArrayLike) -> Matrix:
    """Build a rigid matrix whose columns are three unit vectors at right angles and an origin."""
    matrix = np.eye(4)
    for column, vector in enumerate((x, y, z, origin)):
        matrix[:3, column] = np.asarray(vector, dtype=np.float64)
    return matrix


def as_printed(solid: Solid, place: Matrix) -> tuple[Solid, Matrix]:
    """Move a solid so that it stands on z = 0 with the middle of its box at x = y = 0.

    Parameters
    ----------
    solid : Solid
        In a frame that differs from the print frame by a shift only.
    place : ndarray (4, 4)
        Matrix from that frame to the building.

    Returns
    -------
    Solid, ndarray (4, 4)
        The solid in the print frame, and the matrix from there to the building.
    """
    low, high = solid.bounds_mm
    shift = np.array([(low[0] + high[0]) / 2, (low[1] + high[1]) / 2, low[2]])
    back = np.eye(4)
    back[:3, 3] = shift
    return Solid(solid.vertices - shift, solid.triangles), place @ back
