"""What is dressed onto the bricks of a wall: features that stand out or lie back, and finishes in their place."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from halfbat.findings import Finding
from halfbat.surfaces.laying import Array, Laying
from halfbat.surfaces.opening_units import OpeningUnits, Plane, Unit, box

#: Beyond every wall, model millimetres.
FAR_MM = 1e4
_HAIR_MM = 2e-3


@dataclass(frozen=True, slots=True)
class Proud:
    """A stretch of height over which something stands out of a wall.

    Parameters
    ----------
    low_mm, high_mm : float
        From where to where.
    out_mm : float
        How far.
    """

    low_mm: float
    high_mm: float
    out_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class Brickwork:
    """Courses at another level than the wall's face, with their joints.

    Parameters
    ----------
    first, last : int
        Courses, both included, counted from 0 at the foot.
    left_mm, right_mm : float
        Stretch along the wall.
    level_mm : float
        Level of its bricks; their joints lie as deep behind it as those of the wall behind its face.
    head_mm : float or None
        Level at the top of the last course where the bricks are chamfered; None where they are not.
    laying : Laying or None
        Bricks of its own; None for those of the wall.
    origin_mm : float
        Where along the wall its own bricks begin.
    again : bool
        Whether these are the wall's bricks after all, brought back where something else has taken their place.
    name : str
        What its whole units are called in parts lists where they are no bricks: ``"concrete block"``.
    """

    first: int
    last: int
    left_mm: float
    right_mm: float
    level_mm: float
    head_mm: float | None = None
    laying: Laying | None = None
    origin_mm: float = 0.0
    again: bool = False
    name: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Dressing:
    """A feature or a finish of one wall, in its frame.

    Parameters
    ----------
    kind, where : str
        What it is, and its name in findings.
    brickwork : tuple of Brickwork
        Courses, laid first.
    layers : tuple of tuple of Unit
        Pieces; those of one layer do not overlap, later layers lie over earlier ones. Pieces without a kind are
        grounds (joints, the bottom of slots) and are not counted.
    voids : tuple of OpeningUnits
        Where bricks give way; those with jambs are laid to.
    keep : tuple of (float, float)
        Stretches along the wall that no seam should touch.
    clear_mm : float or None
        Where faces slope: the level at which a margin is left round what lies over them.
    findings : tuple of Finding
        What there is to tell.
    """

    kind: str
    where: str
    brickwork: tuple[Brickwork, ...] = ()
    layers: tuple[tuple[Unit, ...], ...] = ()
    voids: tuple[OpeningUnits, ...] = ()
    keep: tuple[tuple[float, float], ...] = ()
    clear_mm: float | None = None
    findings: tuple[Finding, ...] = ()

    @property
    def recesses(self) -> list[tuple[Array, Array]]:
        """Lowest and highest corner of brickwork that lies back."""
        back = [part for part in self.brickwork if part.level_mm < 0]
        return [
            (place.outline.min(axis=0), place.outline.max(axis=0))
            for part, place in zip(back, self.voids, strict=False)
        ]


def void(u0: float, v0: float, u1: float, v1: float, *, laid_to: bool = False) -> OpeningUnits:
    """Return a place where bricks give way.

    Parameters
    ----------
    u0, v0, u1, v1 : float
        Its box.
    laid_to : bool
        Whether courses are laid to its sides as to jambs; else bricks are cut there.
    """
    jambs = (u0, u1, v0, v1) if laid_to else None
    # Rings are rounded, and a course counts as covered only from bottom to top.
    v0, v1 = v0 - _HAIR_MM, v1 + _HAIR_MM
    return OpeningUnits(box(u0, v0, u1, v1), (), (), (u0, v0, u1, v1), jambs, ())


def ground(u0: float, v0: float, u1: float, v1: float, level_mm: float, plane: Plane | None = None) -> Unit:
    """Return a rectangle at a level that counts as no piece."""
    return Unit(box(u0, v0, u1, v1), "", level_mm, plane)


def slope(v0: float, v1: float, low_mm: float, high_mm: float) -> Plane:
    """Return the plane that stands at one level at a height and at another at a second one."""
    rate = (high_mm - low_mm) / (v1 - v0)
    return low_mm - rate * v0, 0.0, rate


def slope_across(u0: float, u1: float, left_mm: float, right_mm: float) -> Plane:
    """Return the plane that stands at one level at one place along the wall and at another at a second one."""
    rate = (right_mm - left_mm) / (u1 - u0)
    return left_mm - rate * u0, rate, 0.0


def reach_of(ring: Array) -> tuple[float, float, float, float]:
    """Return the box of a ring."""
    low, high = np.asarray(ring).min(axis=0), np.asarray(ring).max(axis=0)
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])
