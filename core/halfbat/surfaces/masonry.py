"""The bricks of a wall as they will be printed: what openings are let into."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from halfbat.surfaces.formats import BrickFormat
from halfbat.surfaces.laying import Array, Laying
from halfbat.surfaces.rectangles import Lattice, course_spans
from halfbat.units import Scale

#: Nothing thinner is left standing, model millimetres: what a fine resin printer just holds.
LEAST_MM = 0.1
NO_LATTICE = Lattice(0.0, 0.0)


@dataclass(frozen=True, slots=True, eq=False)
class Masonry:
    """A wall's bricks, and how joints are printed.

    Parameters
    ----------
    laying : Laying
        The wall without its openings.
    brick : BrickFormat
        What it is laid in.
    scale : Scale
        How small.
    bed_joint_m : float
        Height of a bed joint, full size, metres.
    joint_u_mm, joint_v_mm : float
        Width of perpends and height of bed joints as printed, model millimetres.
    lattice_u, lattice_v : Lattice
        Pixels along and up the wall.
    layer_mm : float
        Height of one layer in the part, model millimetres: what stands proud does so by whole layers.
    least_mm : float
        Thinnest piece left standing, model millimetres.
    """

    laying: Laying
    brick: BrickFormat
    scale: Scale
    bed_joint_m: float
    joint_u_mm: float
    joint_v_mm: float
    lattice_u: Lattice = NO_LATTICE
    lattice_v: Lattice = NO_LATTICE
    layer_mm: float = 0.05
    least_mm: float = LEAST_MM

    def mm(self, length_m: float) -> float:
        """Turn a full-size length into model millimetres."""
        return self.scale.to_mm(length_m)

    @property
    def joint_mm(self) -> float:
        """Joint that is the same in all directions, for arches: the wider of the two as printed."""
        return max(self.joint_u_mm, self.joint_v_mm)

    @property
    def gauge_mm(self) -> float:
        """One course with its bed joint."""
        return self.laying.gauge_mm

    @property
    def half_mm(self) -> float:
        """Half a stretcher with its joint, model millimetres."""
        return self.mm(self.brick.stretcher_module_m / 2)

    @property
    def courses(self) -> tuple[Array, Array]:
        """Bottom and top of the bricks of each course as printed, shape (C,) each."""
        return course_spans(self.laying, self.joint_v_mm, self.lattice_v)

    def near_bottom(self, v_mm: float) -> float:
        """Return the underside of the bricks of a course where one is within a joint, else the same height."""
        return self._near(self.courses[0], v_mm)

    def near_top(self, v_mm: float) -> float:
        """Return the top of the bricks of a course where one is within a joint, else the same height."""
        return self._near(self.courses[1], v_mm)

    def top_towards(self, v_mm: float) -> float:
        """Return the top of the course nearest to a height."""
        tops = self.courses[1]
        return float(tops[np.argmin(np.abs(tops - v_mm))])

    def bottom_towards(self, v_mm: float) -> float:
        """Return the underside of the course nearest to a height."""
        bottoms = self.courses[0]
        return float(bottoms[np.argmin(np.abs(bottoms - v_mm))])

    def proud_mm(self, length_m: float) -> float:
        """Return a projection in whole layers, never under one."""
        return max(1, round(self.mm(length_m) / self.layer_mm)) * self.layer_mm

    def _near(self, lines: Array, v_mm: float) -> float:
        nearest = float(lines[np.argmin(np.abs(lines - v_mm))])
        reach = (self.mm(self.bed_joint_m) + self.joint_v_mm) / 2 + self.lattice_v.pitch_mm
        return nearest if abs(nearest - v_mm) <= reach else v_mm
