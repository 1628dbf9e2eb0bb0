"""What would be printed over nothing."""

from __future__ import annotations

from math import cos, radians

import numpy as np

from halfbat.findings import Finding, Place, Severity
from halfbat.printing.checks.places import place_of_triangles
from halfbat.printing.checks.subject import Subject
from halfbat.printing.rasters import Mask, dilated, opened, pieces, raster, runs
from halfbat.printing.sections import FLAT, section

BRIDGE_MM = 20.0
"""Longest bridge that filament printers manage; 5 mm is advised (published values, section 7.3)."""
RESIN_REACH_MM = 1.0
"""How far a resin part may stand out level without support: published values, section 7.1."""
RESIN_LEAST_DEG = 19.0
"""Of a face looking down, from level, in resin: published values, section 7.1."""
_TOLERANCE_DEG = 1.0
_LEAST_MM2 = 1.0
_NEAR_MM = 0.004
_RESIN_PITCH_MM = 0.1
_FILAMENT_PITCH_MM = 0.2


def _steep(subject: Subject, from_level_deg: float) -> tuple[float, Place | None]:
    """Area of sloping faces that look down and are nearer to level than an angle, the plate's own layer aside.

    With where the largest of them is.
    """
    solid = subject.part.solid
    corners = solid.vertices[solid.triangles]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(normal, axis=1)
    share = -normal[:, 2] / np.where(length > 0, length, 1.0)
    above = corners[:, :, 2].max(axis=1) > solid.bounds_mm[0, 2] + subject.process.layer_mm
    steep = (share < FLAT) & (share > cos(radians(from_level_deg - _TOLERANCE_DEG))) & above
    return float(length[steep].sum() / 2), place_of_triangles(subject.part, steep, length)


def _ceilings(subject: Subject, pitch_mm: float) -> list[tuple[float, Mask, Mask]]:
    """Level faces that look down over nothing: height, what is above, and what is below."""
    low = float(subject.part.solid.bounds_mm[0, 2])
    grid = subject.grid(pitch_mm)
    found = []
    for height, area in zip(subject.down.heights_mm.tolist(), subject.down.areas_mm2.tolist(), strict=True):
        # The first layers are squashed on to the plate and fill what is lower.
        if height <= low + 2 * subject.process.layer_mm + _NEAR_MM or area < 1e-3:
            continue
        above = raster(section(subject.part.solid, height + _NEAR_MM), grid)
        below = raster(section(subject.part.solid, height - _NEAR_MM), grid)
        found.append((height, above, below))
    return found


def check_overhangs(subject: Subject) -> tuple[Finding, ...]:
    """No face leans out further than the process can print, and no ceiling is wider than it can bridge."""
    remedy = "turn the part, give it a slope, or print it with supports"
    filament = subject.filament
    least = RESIN_LEAST_DEG if filament is None else 90.0 - filament.max_overhang_deg
    steep, place = _steep(subject, least)
    if steep > _LEAST_MM2:
        text = f"faces of {steep:.1f} mm2 lean out over nothing further than {90 - least:g} degrees from upright"
        return (subject.finding(Severity.WARNING, "overhang", text, remedy, place),)
    pitch = _RESIN_PITCH_MM if filament is None else _FILAMENT_PITCH_MM
    for height, above, below in _ceilings(subject, pitch):
        hanging = above & ~below
        if filament is None:
            too_far = hanging & ~dilated(below, RESIN_REACH_MM / _RESIN_PITCH_MM)
        else:
            free = hanging & ~_bridged(hanging, below) & ~_bridged(hanging.T, below.T).T
            too_far = opened(free, 2 * filament.line_width_mm / _FILAMENT_PITCH_MM)
        if too_far.any():
            text = f"a level face {height:.1f} mm up stands out over nothing too far"
            place = subject.place(too_far, subject.grid(pitch), height, height)
            return (subject.finding(Severity.WARNING, "overhang", text, remedy, place),)
    return ()


def _bridged(hanging: Mask, below: Mask) -> Mask:
    """What a printer can bridge along X: runs that rest on something at both ends and are not too long."""
    row, start, end = runs(hanging)
    last = below.shape[1] - 1
    rests = below[row, np.maximum(start - 1, 0)] & below[row, np.minimum(end, last)]
    kept = rests & (end - start <= BRIDGE_MM / _FILAMENT_PITCH_MM)
    flips = np.zeros((hanging.shape[0], hanging.shape[1] + 1), dtype=np.int8)
    flips[row[kept], start[kept]] += 1
    flips[row[kept], end[kept]] -= 1
    return np.asarray(np.cumsum(flips[:, :-1], axis=1, dtype=np.int8) > 0, dtype=np.bool_)


def check_islands(subject: Subject) -> tuple[Finding, ...]:
    """No piece of a resin part begins in mid air."""
    if subject.resin is None:
        return ()
    for height, above, below in _ceilings(subject, _RESIN_PITCH_MM):
        found = pieces(above)
        alone = ~found.touching(below)
        begun = alone & (found.sizes_px > 2)
        if begun.any():
            text = f"a piece begins in mid air, {height:.2f} mm above the plate"
            place = subject.place(found.mask(begun), subject.grid(_RESIN_PITCH_MM), height, height)
            remedy = "turn the part or print it with supports"
            return (subject.finding(Severity.FAILURE, "island", text, remedy, place),)
    return ()
