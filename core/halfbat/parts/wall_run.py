"""One wall as it is to be cut into panels."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.sturdy import weak_pieces
from halfbat.surfaces import Lattice, Laying

Array = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class WallRun:
    """One wall to be cut, in model mm.

    Parameters
    ----------
    where : str
        Name for errors and findings, such as ``"wall A"``.
    laying : Laying
        Its bricks; gives its length and height.
    module_mm : float
        A stretcher with its joint.
    joint_mm : float
        Width of the perpends as printed.
    lattice_u, lattice_v : Lattice
        Pixels along and up the wall.
    left_extra_mm, right_extra_mm : float
        How much the first and the last panel are wider than their part of the wall, by their corners.
    piers_mm : tuple of (float, float)
        Left and right side of each pier that stands before the wall over its whole height.
    outline_mm : ndarray (K, 2), optional
        Its face where that is no rectangle: cuts that leave strips and tips of it are avoided.
    thin_mm : float
        What is narrower is such a strip.
    """

    where: str
    laying: Laying
    module_mm: float
    joint_mm: float
    lattice_u: Lattice
    lattice_v: Lattice
    left_extra_mm: float = 0.0
    right_extra_mm: float = 0.0
    piers_mm: tuple[tuple[float, float], ...] = ()
    outline_mm: Array | None = None
    thin_mm: float = 0.0

    @property
    def foot_mm(self) -> float:
        """Height at which the wall begins."""
        return 0.0 if self.outline_mm is None else max(0.0, float(self.outline_mm[:, 1].min()))

    def weak_at(self, low_mm: Array, high_mm: Array, axis: int, gap_mm: float) -> Ints:
        """Count the strips and tips that cuts leave, which reach from low to high along an axis (N,)."""
        count = np.zeros(len(low_mm), dtype=np.int64)
        if self.outline_mm is not None:
            count += weak_pieces(self.outline_mm, low_mm - gap_mm / 2, axis, -1, self.thin_mm)
            count += weak_pieces(self.outline_mm, high_mm + gap_mm / 2, axis, 1, self.thin_mm)
        return count

    @property
    def length_mm(self) -> float:
        """Length of the wall."""
        return self.laying.length_mm

    @property
    def height_mm(self) -> float:
        """Height of the wall."""
        return self.laying.height_mm
