"""Tiles and slates with open side joints, laid in bond: plain tile, Biberschwanz, slate, flat interlocking tile.

Each piece slopes from its tail, two steps over the base, to one step where the next course begins. Between pieces one
sees the course beneath, one step lower. So every surface runs on under the next course as the real ones do.
"""

from __future__ import annotations

from math import radians, tan

import numpy as np
from numpy.typing import NDArray

from halfbat.surfaces.rectangles import Lattice
from halfbat.surfaces.roofing.courses import Courses
from halfbat.surfaces.roofing.coverings import Covering, Family
from halfbat.surfaces.roofing.face import RoofFace
from halfbat.surfaces.roofing.laid_roof import LaidRoof, PieceKind, RoofLayer, courses_planes, rectangle_rings
from halfbat.surfaces.roofing.pieces import Pieces, cut_pieces
from halfbat.surfaces.roofing.quantities import count_pieces
from halfbat.surfaces.roofing.setting_out import side_joints
from halfbat.surfaces.roofing.steps import RoofSteps
from halfbat.units import Scale

Array = NDArray[np.float64]
_REACH = 0.08
FINE_TAIL_PX = 40.0
LEAST_SEEN = 0.6
"""Share of the gauge of which no more is asked under a ridge."""
_COARSE_TAIL = ((0.0, 0.22), (0.3, 0.0), (0.7, 0.0), (1.0, 0.22))


def lay_tiles(
    face: RoofFace,
    covering: Covering,
    scale: Scale,
    courses: Courses,
    steps: RoofSteps,
    pitch_deg: float = 0.0,
    seen: RoofFace | None = None,
) -> LaidRoof:
    """Lay tiles or slates on a slope.

    Parameters
    ----------
    face : RoofFace
        The slope.
    covering : Covering
        One with open side joints.
    scale : Scale
        How small.
    courses : Courses
        Course lines of the roof.
    steps : RoofSteps
        What the printer makes of joints and steps.
    pitch_deg : float
        Of the slope: the steeper, the further the mitre of its ridge cuts in under the last course.
    seen : RoofFace, optional
        What is seen of the slope, where that is less.

    Returns
    -------
    LaidRoof
        A layer of what lies under the joints, one rectangle for each course, and a layer of pieces.
    """
    low, high = face.low, face.high
    lines = courses.lines(float(low[1]), float(high[1]), steps.lattice_v)
    number = courses.numbers(lines)
    tails, heads = courses.tails_and_heads(lines)
    step = steps.step_mm
    rows = len(lines) - 1
    planes = np.concatenate(
        [np.zeros((1, 3)), courses_planes(tails, heads, step, 0.0), courses_planes(tails, heads, 2 * step, step)]
    )
    course = np.arange(rows, dtype=np.int64)
    ground = RoofLayer(
        rectangle_rings(np.full(rows, low[0]), lines[:-1], np.full(rows, high[0]), lines[1:]),
        1 + course,
        np.full(rows, PieceKind.GROUND, dtype=np.int8),
    )
    cover, widest = scale.to_mm(covering.cover_m), scale.to_mm(covering.widest_m)
    bounds = side_joints(face, cover, widest, covering.bond, number)
    lapped_twice = covering.family == Family.DOUBLE_LAP and not covering.tail
    least_seen = min(step * tan(radians(pitch_deg)) + steps.least_mm / 2, LEAST_SEEN * courses.gauge_mm)
    pieces = cut_pieces(
        face,
        bounds,
        lines,
        half_at_sides=lapped_twice,
        least_mm=steps.least_mm,
        least_seen_mm=least_seen,
        seen=seen,
    )
    u0, u1 = _between_joints(pieces, bounds, steps.joint_mm, steps.lattice_u)
    low_v, high_v, gauge = lines[pieces.row], lines[pieces.row + 1], (heads - tails)[pieces.row]
    rings = _shaped(covering, u0, low_v, u1, high_v, gauge, steps.lattice_u.pitch_mm)
    tiles = RoofLayer(rings, 1 + rows + pieces.row, pieces.kinds)
    rows_shown = np.unique(number % 2 if covering.bond else number * 0, return_index=True)[1]
    return LaidRoof(
        (ground, tiles),
        planes,
        lines[1:-1],
        tuple(bounds[place] for place in rows_shown),
        courses.gauge_mm,
        2 * step,
        count_pieces(face, covering, scale, pieces.kinds),
        courses.findings + steps.findings,
    )


def _between_joints(pieces: Pieces, bounds: Array, joint_mm: float, lattice: Lattice) -> tuple[Array, Array]:
    """Return left and right ends: joints whole pixels wide, none where nothing stands beside a piece."""
    begin, end = bounds[pieces.row, pieces.first], bounds[pieces.row, pieces.last + 1]
    # A piece alone reaches on past the edge of the slope, so that no hair of it stays bare.
    reach = _REACH * (end - begin) / (1 + pieces.last - pieces.first)
    u0 = np.where(pieces.alone_left, begin - reach, lattice.round(begin - joint_mm / 2) + joint_mm)
    u1 = np.where(pieces.alone_right, end + reach, lattice.round(end - joint_mm / 2))
    return u0, u1


def _shaped(covering: Covering, u0: Array, v0: Array, u1: Array, v1: Array, gauge: Array, pixel_mm: float) -> Array:
    """Return the corners of pieces with square or shaped tails."""
    if not covering.tail:
        return rectangle_rings(u0, v0, u1, v1)
    width = (u1 - u0)[:, None]
    fine = not width.size or float(np.median(width)) >= FINE_TAIL_PX * pixel_mm
    along, up = np.array(covering.tail if fine else _COARSE_TAIL).T
    # A tail rises by a share of the width, but never past most of what is seen of the piece.
    rise = np.minimum(up[None, :] * width, 0.75 * np.minimum(gauge, v1 - v0)[:, None])
    u, v = u0[:, None] + along[None, :] * width, v0[:, None] + rise
    top = np.stack([np.stack([u1, v1], axis=-1), np.stack([u0, v1], axis=-1)], axis=1)
    return np.concatenate([np.stack([u, v], axis=-1), top], axis=1)
