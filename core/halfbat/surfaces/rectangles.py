"""The faces of the bricks of a laid wall, with joints a whole number of printer pixels wide."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from halfbat.surfaces.laying import Array, Laying
from halfbat.surfaces.pieces import Kind

#: Ties go up even when float error has put them a hair below.
_TIE = 1e-9


@dataclass(frozen=True, slots=True)
class Lattice:
    """Lines at equal distances, on which the edges of joints lie.

    Parameters
    ----------
    origin_mm : float
        Any one line.
    pitch_mm : float
        Distance of the lines; 0 for no lattice.
    """

    origin_mm: float
    pitch_mm: float

    def round(self, values_mm: Array) -> Array:
        """Move values to the nearest line, a tie to the upper one."""
        if self.pitch_mm <= 0:
            return values_mm
        steps = np.floor((values_mm - self.origin_mm) / self.pitch_mm + 0.5 + _TIE)
        lines: Array = self.origin_mm + steps * self.pitch_mm
        return lines


@dataclass(frozen=True, slots=True, eq=False)
class Rectangles:
    """Faces of bricks, bottom course first, each course from left to right.

    Parameters
    ----------
    u0, v0, u1, v1 : ndarray, shape (N,)
        Left, bottom, right and top edge in the frame of the wall, millimetres.
    kind : ndarray of int8, shape (N,)
        Values of `Kind`.
    course : ndarray of int32, shape (N,)
        Course each lies in, 0 at the bottom.
    """

    u0: Array
    v0: Array
    u1: Array
    v1: Array
    kind: npt.NDArray[np.int8]
    course: npt.NDArray[np.int32]

    def __len__(self) -> int:
        """Count the bricks."""
        return len(self.u0)

    @property
    def corners(self) -> Array:
        """The four edges as one array, shape (N, 4): u0, v0, u1, v1."""
        return np.column_stack((self.u0, self.v0, self.u1, self.v1))


def _between_joints(centres_mm: Array, high_mm: float, joint_mm: float, lattice: Lattice) -> tuple[Array, Array]:
    """Return where bricks begin and end between joints; outside the wall there are none, so its edges stay exact."""
    below = lattice.round(centres_mm - joint_mm / 2)
    begin, end = below[:-1] + joint_mm, below[1:]
    if centres_mm[0] <= 0:
        begin[0] = 0.0
    if centres_mm[-1] >= high_mm:
        end[-1] = high_mm
    return begin, end


def course_spans(laying: Laying, joint_mm: float, lattice: Lattice) -> tuple[Array, Array]:
    """Return bottom and top of the bricks of each course.

    Parameters
    ----------
    laying : Laying
        The wall.
    joint_mm : float
        Height of bed joints, model millimetres.
    lattice : Lattice
        Pixels up the wall.

    Returns
    -------
    tuple of ndarray, shape (C,) each
        Millimetres above the foot.
    """
    beds = np.append(laying.bed_v_mm, laying.height_mm)
    bottoms, tops = _between_joints(beds, laying.height_mm, joint_mm, lattice)
    # The bed joint under the first course may reach below the foot of the wall.
    return np.maximum(bottoms, 0.0), tops


def rectangles(
    laying: Laying,
    joint_u_mm: float,
    joint_v_mm: float,
    lattice_u: Lattice,
    lattice_v: Lattice,
    window: tuple[float, float, float, float] | None = None,
    smallest_mm: float = 0.0,
) -> Rectangles:
    """Cut the joints out of a laid wall.

    Every joint is exactly as wide as asked and begins on the lattice next to its true place; what is left over goes
    to the bricks. The wall's own edges stay exact. Voids are left out.

    Parameters
    ----------
    laying : Laying
        The wall.
    joint_u_mm, joint_v_mm : float
        Width of perpends and height of bed joints, model millimetres: whole pixels of the lattices.
    lattice_u, lattice_v : Lattice
        Pixels along and up the wall.
    window : tuple of float, optional
        ``(u0, u1, v0, v1)``: bricks are cut to it.
    smallest_mm : float
        Bricks narrower or lower than this after cutting are left out.

    Returns
    -------
    Rectangles
    """
    v0, v1 = course_spans(laying, joint_v_mm, lattice_v)
    if window is not None:
        v0, v1 = np.maximum(v0, window[2]), np.minimum(v1, window[3])
    tall = v1 - v0 > max(smallest_mm, 0.0) - _TIE if smallest_mm > 0 else v1 > v0
    rows = np.flatnonzero(tall)
    spans = [
        _pattern_spans(laying, index, joint_u_mm, lattice_u, window, smallest_mm)
        for index in range(len(laying.patterns))
    ]
    sizes = np.array([len(span[0]) for span in spans], dtype=np.intp)
    begins = np.concatenate(([0], np.cumsum(sizes)))[:-1]
    pattern = laying.course_pattern[rows]
    counts = sizes[pattern]
    # For each brick of each course: its place in the joined patterns.
    first = np.cumsum(counts) - counts
    place = np.arange(int(counts.sum())) + np.repeat(begins[pattern] - first, counts)
    u0, u1, kinds = (np.concatenate([span[part] for span in spans])[place] for part in range(3))
    return Rectangles(
        u0,
        np.repeat(v0[rows], counts),
        u1,
        np.repeat(v1[rows], counts),
        kinds.astype(np.int8),
        np.repeat(rows, counts).astype(np.int32),
    )


def _pattern_spans(
    laying: Laying,
    index: int,
    joint_mm: float,
    lattice: Lattice,
    window: tuple[float, float, float, float] | None,
    smallest_mm: float,
) -> tuple[Array, Array, Array]:
    """Return left ends, right ends and kinds of one pattern, cut to the window."""
    pattern = laying.patterns[index]
    u0, u1 = _between_joints(pattern.bounds_mm, laying.length_mm, joint_mm, lattice)
    # A brick beside a void reaches into it without a joint: what stands there cuts it.
    void = np.flatnonzero(pattern.kinds == Kind.VOID)
    before, after = void[void > 0] - 1, void[void < len(pattern.kinds) - 1] + 1
    u1[before], u0[after] = pattern.bounds_mm[before + 1], pattern.bounds_mm[after]
    if window is not None:
        u0, u1 = np.maximum(u0, window[0]), np.minimum(u1, window[1])
    wide = u1 - u0 >= smallest_mm - _TIE if smallest_mm > 0 else u1 > u0
    wide &= pattern.kinds != Kind.VOID
    return u0[wide], u1[wide], pattern.kinds[wide].astype(np.float64)
