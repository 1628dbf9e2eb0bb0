"""What an opening brings with it: its outline, the bricks that give way, and the units that stand there instead."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from halfbat.findings import Finding
from halfbat.surfaces.laying import Array

#: Height over the brick faces: ``a + b * u + c * v`` for ``(a, b, c)``, model millimetres.
Plane = tuple[float, float, float]
#: Corners lie on the grid of plane figures at once, so that an arch and its opening share them exactly.
_DECIMALS = 3


@dataclass(frozen=True, slots=True, eq=False)
class Unit:
    """One piece of a head or a sill, of a feature or of a finish.

    Parameters
    ----------
    ring : ndarray, shape (K, 2)
        Anticlockwise corners in the frame of the wall, model millimetres.
    kind : str
        Name for parts lists, in words: ``"voussoir"``, ``"stone sill"``.
    level_mm : float
        How far it stands proud of the bricks; 0 is flush.
    plane : tuple of float, optional
        ``(a, b, c)``: its face where that slopes.
    """

    ring: Array
    kind: str
    level_mm: float = 0.0
    plane: Plane | None = None

    @property
    def face(self) -> Plane:
        """Its face, level or sloping."""
        return self.plane or (self.level_mm, 0.0, 0.0)


@dataclass(frozen=True, slots=True, eq=False)
class Head:
    """What carries the wall over an opening.

    Parameters
    ----------
    soffit : ndarray, shape (K, 2)
        Its underside, from the right jamb to the left one: the upper side of the opening's outline.
    beds : tuple of ndarray, shape (K, 2) each
        Areas whose bricks give way, at the level of the joints; they may overlap, and hold all units.
    units : tuple of Unit
        Its pieces.
    straight_mm : float
        Height up to which the jambs are upright and courses beside them are laid to them, lintels included.
    findings : tuple of Finding
        What there is to tell.
    """

    soffit: Array
    beds: tuple[Array, ...]
    units: tuple[Unit, ...]
    straight_mm: float
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class OpeningUnits:
    """An opening with its head and sill.

    Parameters
    ----------
    outline : ndarray, shape (K, 2)
        The hole, anticlockwise; it has every lowest corner of its arch's voussoirs.
    bed : tuple of ndarray, shape (K, 2) each
        Areas whose bricks give way, at the level of the joints.
    units : tuple of Unit
        Pieces of head and sill, all inside the bed.
    reach : tuple of float
        ``(u0, v0, u1, v1)``: box of everything.
    jambs : tuple of float or None
        ``(left, right, from, to)``: the upright jambs and the heights between which courses are laid to them; None
        for a circle.
    findings : tuple of Finding
        What there is to tell.
    """

    outline: Array
    bed: tuple[Array, ...]
    units: tuple[Unit, ...]
    reach: tuple[float, float, float, float]
    jambs: tuple[float, float, float, float] | None
    findings: tuple[Finding, ...]

    @property
    def areas(self) -> tuple[Array, ...]:
        """Everything ordinary bricks give way to: the hole and the beds."""
        return (self.outline, *self.bed)


def ring(points: Iterable[Sequence[float]] | Array) -> Array:
    """Round corners to the grid and leave out those that fall together."""
    rounded = np.round(np.asarray(list(points), dtype=np.float64).reshape(-1, 2), _DECIMALS) + 0.0
    kept: Array = rounded[np.any(rounded != np.roll(rounded, 1, axis=0), axis=1)]
    return kept


def line(points: Iterable[Sequence[float]] | Array) -> Array:
    """Round the corners of an open line to the grid and leave out those that fall together."""
    rounded = np.round(np.asarray(list(points), dtype=np.float64).reshape(-1, 2), _DECIMALS) + 0.0
    fresh = np.any(np.diff(rounded, axis=0) != 0, axis=1)
    kept: Array = rounded[np.concatenate(([True], fresh))]
    return kept


def box(u0: float, v0: float, u1: float, v1: float) -> Array:
    """Return the anticlockwise corners of an upright rectangle."""
    return ring([(u0, v0), (u1, v0), (u1, v1), (u0, v1)])


def spread(u0: float, u1: float, count: int, joint_mm: float, origin_pitch: tuple[float, float]) -> Array:
    """Divide a stretch into equal pieces with a joint before, between and after them.

    Parameters
    ----------
    u0, u1 : float
        The stretch, model millimetres.
    count : int
        Number of pieces.
    joint_mm : float
        Joint as printed.
    origin_pitch : tuple of float
        Lattice on which joints begin; those at the two ends stay against them.

    Returns
    -------
    ndarray, shape (count, 2)
        Left and right edge of each piece.
    """
    pitch = (u1 - u0 - joint_mm) / count
    joints = u0 + pitch * np.arange(count + 1)
    origin, step = origin_pitch
    if step > 0:
        joints[1:-1] = origin + np.floor((joints[1:-1] - origin) / step + 0.5) * step
    return np.column_stack((joints[:-1] + joint_mm, joints[1:]))
