"""Covering one slope of a roof."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike

from halfbat.surfaces.roofing.courses import Courses, set_roof_courses
from halfbat.surfaces.roofing.coverings import Covering, Family
from halfbat.surfaces.roofing.face import RoofFace
from halfbat.surfaces.roofing.laid_roof import LaidRoof
from halfbat.surfaces.roofing.profiled import lay_profiled
from halfbat.surfaces.roofing.seams import lay_seams
from halfbat.surfaces.roofing.steps import RoofSteps
from halfbat.surfaces.roofing.tiles import lay_tiles
from halfbat.units import Scale


def lay_roof(
    outline_mm: ArrayLike,
    edges: Sequence[str],
    covering: Covering,
    scale: Scale,
    steps: RoofSteps,
    *,
    pitch_deg: float,
    eaves_v_mm: float = 0.0,
    courses: Courses | None = None,
    lap_m: float = 0.0,
    holes_mm: Sequence[ArrayLike] = (),
    seen_mm: ArrayLike | None = None,
    where: str = "roof",
) -> LaidRoof:
    """Cover a slope.

    Parameters
    ----------
    outline_mm : array_like (K, 2)
        Anticlockwise outline, u along the eaves and v up the slope, model millimetres. Edges that should be level or
        upright must be exactly so, see `squared`.
    edges : sequence of str, length K
        What each edge is: ``"eaves"``, ``"verge"``, ``"ridge"``, ``"hip"``, ``"valley"``, ``"abutment"``,
        ``"top edge"`` or ``"parapet"``.
    covering : Covering
        What is laid.
    scale : Scale
        How small.
    steps : RoofSteps
        What the printer makes of joints and steps.
    pitch_deg : float
        Pitch of the slope; decides the lap.
    eaves_v_mm : float
        Where the first course begins.
    courses : Courses, optional
        Course lines shared with other slopes; else they come out whole at the slope's own top.
    lap_m : float
        Head lap asked for, full size; 0 takes what the covering asks for.
    holes_mm : sequence of array_like (H, 2)
        Where nothing is laid.
    seen_mm : array_like (N, 2), optional
        Outline of what is seen of the slope, where that is less: tiles are joined by what is seen of them.
    where : str
        Name of the slope for findings.

    Returns
    -------
    LaidRoof

    Raises
    ------
    KitError
        The outline has no area, its edges do not match it, or the lap leaves nothing to be seen.
    """
    outline = np.asarray(outline_mm, dtype=np.float64)
    face = RoofFace.of(outline, edges, [np.asarray(hole, dtype=np.float64) for hole in holes_mm], where)
    if courses is None:
        courses = set_roof_courses(
            covering,
            scale,
            pitch_deg=pitch_deg,
            eaves_v_mm=eaves_v_mm,
            top_v_mm=float(face.high[1]),
            lap_m=lap_m,
            where=where,
        )
    if covering.joined:
        seen = None if seen_mm is None else replace(face, outline_mm=np.asarray(seen_mm, dtype=np.float64), edges=())
        return lay_tiles(face, covering, scale, courses, steps, pitch_deg, seen)
    lay = lay_seams if covering.family == Family.SEAM else lay_profiled
    return lay(face, covering, scale, courses, steps)
