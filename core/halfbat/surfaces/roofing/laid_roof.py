"""A slope covered with tiles, slates or sheets: what the parts need to know of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from halfbat.findings import Finding

Array = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


class PieceKind(IntEnum):
    """What a ring of a laid roof is."""

    GROUND = 0
    WHOLE = 1
    CUT = 2
    AND_A_HALF = 3
    CUT_AND_A_HALF = 4
    SEAM = 5


@dataclass(frozen=True, slots=True, eq=False)
class RoofLayer:
    """Rings that do not overlap each other and may reach over the outline, which cuts them.

    Parameters
    ----------
    rings_mm : ndarray (N, K, 2)
        Anticlockwise, K corners each, in the frame of the slope.
    cells : ndarray (N,) of int64
        Row of each in the table of planes.
    kinds : ndarray (N,) of int8
        Values of `PieceKind`.
    """

    rings_mm: Array
    cells: Ints
    kinds: NDArray[np.int8]


@dataclass(frozen=True, slots=True, eq=False)
class LaidRoof:
    """Everything seen on a covered slope, in its frame: u along the eaves, v up the slope.

    Parameters
    ----------
    layers : tuple of RoofLayer
        Later ones lie over earlier ones; under them all lies the outline, of cell 0.
    planes : ndarray (C, 3)
        Height of each cell over the top of the skin's base, millimetres: ``a + b * u + c * v``. Nothing is under 0.
    tails_mm : ndarray (R,)
        Course lines, where the skin can be parted across the slope.
    joints_mm : tuple of ndarray
        Centres of side joints in even and in odd courses, one array where they run straight up.
    gauge_mm : float
        Distance of the course lines.
    height_mm : float
        Of the highest place.
    counts : mapping of str to int
        Pieces by name.
    findings : tuple of Finding
        What was changed and what breaks a rule.
    """

    layers: tuple[RoofLayer, ...]
    planes: Array
    tails_mm: Array
    joints_mm: tuple[Array, ...]
    gauge_mm: float
    height_mm: float
    counts: Mapping[str, int]
    findings: tuple[Finding, ...]

    def moved(self, u_mm: float, v_mm: float) -> LaidRoof:
        """Return the same roof in a frame whose origin lies at ``(-u_mm, -v_mm)`` of this one."""
        shift = np.array([u_mm, v_mm])
        planes = self.planes.copy()
        planes[:, 0] -= planes[:, 1] * u_mm + planes[:, 2] * v_mm
        return replace(
            self,
            layers=tuple(replace(layer, rings_mm=layer.rings_mm + shift) for layer in self.layers),
            planes=planes,
            tails_mm=self.tails_mm + v_mm,
            joints_mm=tuple(joints + u_mm for joints in self.joints_mm),
        )


def rectangle_rings(u0: Array, v0: Array, u1: Array, v1: Array) -> Array:
    """Return the corners of upright rectangles, (N, 4, 2)."""
    return np.stack([u0, v0, u1, v0, u1, v1, u0, v1], axis=-1).reshape(-1, 4, 2)


def courses_planes(low: Array, high: Array, low_mm: float, high_mm: float) -> Array:
    """Return planes (R, 3) that stand at one height on a line `low` and at another on a line `high`, level along u."""
    slope = (high_mm - low_mm) / (high - low)
    return np.column_stack([low_mm - slope * low, np.zeros_like(low), slope])
