"""Roof skins for pictures: a plate with its courses as lines, in place of the thousands of faces of tiles."""

from __future__ import annotations

import numpy as np

from halfbat.drawings.drawing import Array, BondLines, signed_area
from halfbat.drawings.face import Bricks, Face
from halfbat.drawings.sections import level_section
from halfbat.parts.part import Part

CUT_AT = 0.4
"""Share of its height at which the outline of a roof skin is taken: over marks on its back, below its covering."""
_LEVEL_MM = 0.02
_OFTEN = 0.35
_APART_MM = 0.2


def roof_faces(part: Part) -> tuple[Face, ...]:
    """Return a roof skin as a plate in the building's frame.

    Parameters
    ----------
    part : Part
        A skin that lies on its back as printed, up the slope along Y.
    """
    place, thick = part.place, float(part.solid.size_mm[2])
    rings = sorted(level_section(part.solid, np.eye(4), thick * CUT_AT), key=lambda ring: -abs(signed_area(ring)))
    if not rings:
        return ()
    if signed_area(rings[0]) < 0:
        rings = [ring[::-1] for ring in rings]

    def placed(ring: Array, height: float) -> Array:
        points = np.column_stack([ring, np.full(len(ring), height)])
        return np.asarray(points @ place[:3, :3].T + place[:3, 3])

    low = np.concatenate(rings).min(axis=0)
    clips = tuple(ring - low for ring in rings)
    along, up, outward = (place[:3, column] for column in range(3))
    corner = placed(low[None, :], thick)[0]
    bricks = Bricks(_courses(part, low), corner, along, up, clips, part.number)
    tops = tuple(placed(ring, thick) for ring in rings)
    bottoms = tuple(placed(ring, 0.0)[::-1] for ring in rings)
    faces = [Face(tops, outward, bricks), Face(bottoms, -outward)]
    for ring in rings:
        upper, lower = placed(ring, thick), placed(ring, 0.0)
        for i in range(len(ring)):
            j = (i + 1) % len(ring)
            side = np.array([upper[i], lower[i], lower[j], upper[j]])
            normal = np.cross(lower[j] - lower[i], upper[i] - lower[i])
            size = float(np.linalg.norm(normal))
            if size > 1e-9:
                faces.append(Face((side,), normal / size))
    return tuple(faces)


def _courses(part: Part, low: Array) -> BondLines:
    """Return lines up the slope at which many corners of the covering lie: the edges of its courses."""
    points = part.solid.vertices
    raised = points[points[:, 2] > float(part.solid.size_mm[2]) * CUT_AT, 1]
    levels, counts = np.unique(np.round(raised / _LEVEL_MM).astype(np.int64), return_counts=True)
    often = levels[counts >= _OFTEN * counts.max()] * _LEVEL_MM if len(levels) else np.zeros(0)
    kept: list[float] = []
    for level in often.tolist():
        if not kept or level - kept[-1] > _APART_MM:
            kept.append(level)
    beds = np.array(kept) - low[1]
    size = part.solid.size_mm
    gauge = float(np.diff(beds).mean()) if len(beds) > 1 else float(size[1])
    return BondLines(
        part.number, (float(size[0]), float(size[1])), beds, gauge, (np.zeros(0),), np.zeros(len(beds), dtype=np.intp)
    )
