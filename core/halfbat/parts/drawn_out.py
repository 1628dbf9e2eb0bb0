"""Solids drawn out along a line from a section."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from halfbat.solids.grid import to_grid, to_mm
from halfbat.solids.patch import triangulate
from halfbat.solids.solid import Solid

Array = NDArray[np.float64]


def drawn_out(places: Sequence[Array], section_mm: Array) -> Solid:
    """Join rings with the same number of corners, one after another along a run, into one closed solid.

    Parameters
    ----------
    places : sequence of ndarray (K, 3)
        Corners of each ring, from the first end to the last: across, along and up.
    section_mm : ndarray (K, 2)
        The section across and up, anticlockwise, whose triangles close both ends; every corner that a ring moves along
        the run keeps both ends plane.

    Returns
    -------
    Solid
        In the frame of the rings.
    """
    vertices, number = np.unique(to_grid(np.concatenate(places)), axis=0, return_inverse=True)
    rows = number.reshape(len(places), -1)
    following = np.roll(rows, -1, axis=1)
    a, b, c, d = (part.ravel() for part in (rows[:-1], following[:-1], following[1:], rows[1:]))
    sides = np.concatenate([np.column_stack([a, c, b]), np.column_stack([a, d, c])])
    ring = to_grid(section_mm)
    cap = triangulate(ring, range(len(ring)), [])
    triangles = np.concatenate([sides, rows[0][cap], rows[-1][cap][:, ::-1]])
    # Where a ring leaves a corner as it is, two corners are one.
    distinct = (triangles != np.roll(triangles, 1, axis=1)).all(axis=1)
    return Solid(to_mm(vertices), triangles[distinct])
