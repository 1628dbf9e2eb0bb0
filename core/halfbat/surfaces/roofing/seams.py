"""Metal roofs with standing seams: trays between seams at equal bays, lapped across where a tray would be too long."""

from __future__ import annotations

from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from halfbat.surfaces.roofing.courses import Courses
from halfbat.surfaces.roofing.coverings import Covering
from halfbat.surfaces.roofing.face import RoofFace
from halfbat.surfaces.roofing.laid_roof import LaidRoof, PieceKind, RoofLayer, courses_planes, rectangle_rings
from halfbat.surfaces.roofing.pieces import cut_pieces
from halfbat.surfaces.roofing.quantities import count_pieces
from halfbat.surfaces.roofing.steps import RoofSteps
from halfbat.units import Scale

Array = NDArray[np.float64]
_EXACT = 1e-6
SLENDEREST = 2.0
"""A printed seam is no more than this many times as high as it is wide (common practice, no source)."""


def lay_seams(face: RoofFace, covering: Covering, scale: Scale, courses: Courses, steps: RoofSteps) -> LaidRoof:
    """Lay metal with standing seams on a slope.

    Parameters
    ----------
    face : RoofFace
        The slope.
    covering : Covering
        Its cover is the largest bay, its depth the height of the seams.
    scale : Scale
        How small.
    courses : Courses
        Cross laps of the roof.
    steps : RoofSteps
        What the printer makes of steps.

    Returns
    -------
    LaidRoof
        A layer of trays and one of seams over them.
    """
    low, high = face.low, face.high
    lines = courses.lines(float(low[1]), float(high[1]), steps.lattice_v)
    rows = len(lines) - 1
    step = steps.sheet_step_mm if rows > 1 else 0.0
    tails, heads = courses.tails_and_heads(lines)
    height = max(round(scale.to_mm(covering.depth_m) / steps.layer_mm) * steps.layer_mm, steps.sheet_step_mm)
    trays = courses_planes(tails, heads, step, 0.0)
    planes = np.concatenate([np.zeros((1, 3)), trays, trays + np.array([height, 0.0, 0.0])])
    bays = _bays(face, scale.to_mm(covering.cover_m))
    course = np.arange(rows, dtype=np.int64)
    ground = RoofLayer(
        rectangle_rings(np.full(rows, low[0]), lines[:-1], np.full(rows, high[0]), lines[1:]),
        1 + course,
        np.full(rows, PieceKind.GROUND, dtype=np.int8),
    )
    u0, u1 = _seams(face, bays, height, steps)
    row = np.repeat(course, len(u0))
    seams = RoofLayer(
        rectangle_rings(np.tile(u0, rows), lines[row], np.tile(u1, rows), lines[row + 1]),
        1 + rows + row,
        np.full(len(row), PieceKind.SEAM, dtype=np.int8),
    )
    pieces = cut_pieces(face, np.broadcast_to(bays, (rows, len(bays))), lines, half_at_sides=False)
    return LaidRoof(
        (ground, seams),
        planes,
        lines[1:-1],
        (bays,),
        courses.gauge_mm,
        height + step,
        count_pieces(face, covering, scale, pieces.kinds),
        courses.findings + steps.findings,
    )


def _bays(face: RoofFace, widest_mm: float) -> Array:
    """Seam lines: equal bays between two sides, whole ones from one side, or from the middle between hips."""
    left, right = face.side_bounds()
    low, high = float(face.low[0]), float(face.high[0])
    bay, start = widest_mm, (low + high) / 2
    if left is not None and right is not None:
        bay, start = (right - left) / max(1, ceil((right - left) / widest_mm - _EXACT)), left
    elif left is not None or right is not None:
        start = left if left is not None else float(right or 0.0)
    first, last = floor((low - start) / bay + _EXACT), ceil((high - start) / bay - _EXACT)
    return np.asarray(start + bay * np.arange(first, last + 1), dtype=np.float64)


def _seams(face: RoofFace, bays: Array, height_mm: float, steps: RoofSteps) -> tuple[Array, Array]:
    """Left and right of every seam, whole pixels wide; those on an edge of the slope stand inside it."""
    pixel = steps.lattice_u.pitch_mm
    wide = steps.joint_mm
    if pixel > 0:
        wide = max(wide, ceil(height_mm / SLENDEREST / pixel - _EXACT) * pixel)
    low, high = float(face.low[0]), float(face.high[0])
    u0 = steps.lattice_u.round(bays[(bays > low - _EXACT) & (bays < high + _EXACT)] - wide / 2)
    u0 = np.where(u0 < low, low, np.where(u0 + wide > high, high - wide, u0))
    u0 = u0[np.diff(u0, prepend=u0[:1] - 2 * wide) > wide + pixel]
    return u0, u0 + wide
