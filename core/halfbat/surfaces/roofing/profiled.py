"""Tiles with a profile, corrugated sheets and felt: each piece laps the one beneath and the one to its right.

A piece slopes from its tail, one step up, to the level of the next course's underside, and from its left edge to its
right one, which stands over the next piece's left edge by a step. So laps show as steps and there are no open joints.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import floor

import numpy as np
from numpy.typing import NDArray

from halfbat.findings import Finding, Severity
from halfbat.surfaces.rectangles import Lattice
from halfbat.surfaces.roofing.courses import Courses
from halfbat.surfaces.roofing.coverings import Covering, Family
from halfbat.surfaces.roofing.face import RoofFace
from halfbat.surfaces.roofing.laid_roof import LaidRoof, PieceKind, RoofLayer, rectangle_rings
from halfbat.surfaces.roofing.pieces import Pieces, cut_pieces
from halfbat.surfaces.roofing.profiles import Profile, profile_of
from halfbat.surfaces.roofing.quantities import count_pieces
from halfbat.surfaces.roofing.setting_out import side_joints
from halfbat.surfaces.roofing.steps import RoofSteps
from halfbat.units import Scale

Array = NDArray[np.float64]
Ints = NDArray[np.int64]
THIN_M = 0.005
"""Side laps of sheets and felt thinner than this do not show."""
_DIGITS = 3
_EXACT = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class _Shape:
    """Sizes of a profile as it is printed: repeats in a piece, facets of one, depth and steps in millimetres."""

    waves: int
    profile: Profile
    depth_mm: float
    tail_mm: float
    side_mm: float
    findings: tuple[Finding, ...]


def lay_profiled(face: RoofFace, covering: Covering, scale: Scale, courses: Courses, steps: RoofSteps) -> LaidRoof:
    """Lay profiled tiles, sheets or felt on a slope.

    Parameters
    ----------
    face : RoofFace
        The slope.
    covering : Covering
        One without open side joints.
    scale : Scale
        How small.
    courses : Courses
        Course lines of the roof.
    steps : RoofSteps
        What the printer makes of steps.

    Returns
    -------
    LaidRoof
        One layer of facets.
    """
    lines = courses.lines(float(face.low[1]), float(face.high[1]), steps.lattice_v)
    number = courses.numbers(lines)
    bounds = side_joints(face, scale.to_mm(covering.cover_m), scale.to_mm(covering.widest_m), covering.bond, number)
    pieces = cut_pieces(face, bounds, lines, half_at_sides=False)
    shape = _shape(covering, scale, steps, float(bounds[0, 1] - bounds[0, 0]))
    kinds = _kind_by_place(pieces, (len(lines) - 1, bounds.shape[1] - 1))
    layer, planes = _facets(bounds, lines, courses.tails_and_heads(lines), kinds, shape, steps.lattice_u)
    seen = np.unique(number % 2 if covering.bond else number * 0, return_index=True)[1]
    return LaidRoof(
        (layer,),
        planes,
        lines[1:-1],
        tuple(bounds[place] for place in seen),
        courses.gauge_mm,
        shape.depth_mm + shape.tail_mm + shape.side_mm,
        _counts(face, covering, scale, pieces, courses),
        courses.findings + steps.findings + shape.findings,
    )


def _shape(covering: Covering, scale: Scale, steps: RoofSteps, cover_mm: float) -> _Shape:
    tile = covering.family != Family.SHEET
    waves, findings = covering.waves, list[Finding]()
    pitch_mm = cover_mm / waves
    if covering.profiled and pitch_mm < 2 * steps.joint_mm - _EXACT:
        waves = max(1, floor(cover_mm / (2 * steps.joint_mm) + _EXACT))
        findings.append(
            Finding(
                Severity.WARNING,
                "corrugation-coarse",
                "",
                f"corrugations made {cover_mm / waves:.3f} mm apart instead of {pitch_mm:.3f} mm, the least this "
                "printer shows",
                "choose a printer with smaller pixels",
            )
        )
    depth_mm = 0.0
    if covering.profiled:
        true_mm = scale.to_mm(covering.depth_m)
        depth_mm = max(round(true_mm / steps.layer_mm) * steps.layer_mm, steps.sheet_step_mm)
        if depth_mm > true_mm + steps.layer_mm / 2 + _EXACT:
            findings.append(
                Finding(
                    Severity.NOTE,
                    "corrugation-depth",
                    "",
                    f"corrugations made {depth_mm:.3f} mm deep instead of {true_mm:.3f} mm, the least that shows",
                )
            )
    side_mm = 0.0 if covering.thickness_m < THIN_M else steps.step_mm if tile else steps.sheet_step_mm
    profile = profile_of(covering.profile, cover_mm / waves / max(steps.lattice_u.pitch_mm, 1e-6))
    return _Shape(waves, profile, depth_mm, steps.step_mm if tile else steps.sheet_step_mm, side_mm, tuple(findings))


def _kind_by_place(pieces: Pieces, size: tuple[int, int]) -> NDArray[np.int8]:
    """Kind of the piece at every place; places beside the slope count as cut, those further out are -1."""
    kinds = np.full(size, -1, dtype=np.int8)
    for place in (pieces.first - 1, pieces.last + 1):
        good = (place >= 0) & (place < size[1])
        kinds[pieces.row[good], place[good]] = PieceKind.CUT
    for step in range(int((pieces.last - pieces.first).max(initial=0)) + 1):
        kinds[pieces.row, np.minimum(pieces.first + step, pieces.last)] = pieces.kinds
    return kinds


def _facets(
    bounds: Array,
    lines: Array,
    tails_heads: tuple[Array, Array],
    kinds: NDArray[np.int8],
    shape: _Shape,
    lattice: Lattice,
) -> tuple[RoofLayer, Array]:
    """Cut pieces into repeats whose ends lie on pixels, and repeats into facets, each with its plane."""
    row, place = np.nonzero(kinds >= 0)
    share = np.arange(shape.waves + 1) / shape.waves
    ends = bounds[row, place, None] + (bounds[row, place + 1] - bounds[row, place])[:, None] * share
    ends = lattice.round(ends)
    along, up = shape.profile.along, shape.profile.up * shape.depth_mm
    u = np.round(ends[:, :-1, None] + np.diff(ends, axis=1)[:, :, None] * along, _DIGITS)
    over = (np.arange(shape.waves)[:, None] + along) / shape.waves * shape.side_mm
    z = np.broadcast_to(up + over, u.shape)
    facets = shape.waves * (len(along) - 1)
    u0, u1 = u[:, :, :-1].ravel(), u[:, :, 1:].ravel()
    z0, z1 = z[:, :, :-1].ravel(), z[:, :, 1:].ravel()
    of_row, kind = np.repeat(row, facets), np.repeat(kinds[row, place], facets)
    wide = u1 - u0 > 0
    u0, u1, z0, z1, of_row, kind = u0[wide], u1[wide], z0[wide], z1[wide], of_row[wide], kind[wide]
    tails, heads = tails_heads[0][of_row], tails_heads[1][of_row]
    across = (z1 - z0) / (u1 - u0)
    upward = -shape.tail_mm / (heads - tails)
    planes = np.column_stack([z0 + shape.tail_mm - across * u0 - upward * tails, across, upward])
    # A verge between two pixels must not be left bare by the rounding.
    lowest, highest = np.full(len(lines), np.inf), np.full(len(lines), -np.inf)
    np.minimum.at(lowest, of_row, u0)
    np.maximum.at(highest, of_row, u1)
    u0 = np.where(u0 == lowest[of_row], u0 - lattice.pitch_mm, u0)
    u1 = np.where(u1 == highest[of_row], u1 + lattice.pitch_mm, u1)
    rings = rectangle_rings(u0, lines[of_row], u1, lines[of_row + 1])
    cells = np.arange(1, len(planes) + 1, dtype=np.int64)
    return RoofLayer(rings, cells, kind), np.concatenate([np.zeros((1, 3)), planes])


def _counts(face: RoofFace, covering: Covering, scale: Scale, pieces: Pieces, courses: Courses) -> dict[str, int]:
    """Count pieces; sheets by the length they are cut from."""
    found = count_pieces(face, covering, scale, pieces.kinds)
    if not covering.lengths_m:
        return found
    needed = courses.gauge_mm / scale.to_mm(1.0) + (courses.lap_m if courses.count > 1 else 0.0)
    sold = next((length for length in covering.lengths_m if length >= needed - 1e-6), covering.lengths_m[-1])
    return {f"{name} {sold:g} m": count for name, count in found.items()}
