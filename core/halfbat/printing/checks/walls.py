"""Walls of filament parts in whole lines."""

from __future__ import annotations

import numpy as np

from halfbat.findings import Finding, Severity
from halfbat.parts.seats import box_of, place_between
from halfbat.printing.checks.subject import Subject
from halfbat.printing.sections import Array

LONGEST_WALL_LINES = 12.5
LEAST_SIDE_MM = 3.0
_SHARE = 0.08
_WALL_KINDS = frozenset({"shell", "lid"})


def wall_thicknesses_mm(segments: Array) -> Array:
    """Measure through material from the middle of each long side of a section, square to it.

    Parameters
    ----------
    segments : ndarray (K, 4)
        Material to their left.

    Returns
    -------
    ndarray (S,)
        One thickness for each side longer than 3 mm.
    """
    return _measured(segments)[2]


def _measured(segments: Array) -> tuple[Array, Array, Array]:
    """Middles of long sides, how far and whereto material reaches from them, and how thick it is there."""
    x0, y0, x1, y1 = segments.T
    length = np.hypot(x1 - x0, y1 - y0)
    long = np.flatnonzero(length > LEAST_SIDE_MM)
    if not long.size:
        return np.zeros((0, 2)), np.zeros((0, 2)), np.zeros(0)
    middle = np.stack([(x0 + x1)[long] / 2, (y0 + y1)[long] / 2], axis=1)
    inward = np.stack([-(y1 - y0)[long], (x1 - x0)[long]], axis=1) / length[long, None]
    reach = ray_lengths(middle, inward, segments)
    known = np.isfinite(reach)
    return middle[known], inward[known] * reach[known, None], reach[known]


def ray_lengths(start: Array, along: Array, segments: Array) -> Array:
    """Return how far rays run before they meet a segment; infinite where they meet none, shapes (S, 2), (K, 4)."""
    a, b = segments[:, :2], segments[:, 2:]
    side = b - a
    turn = along[:, None, 0] * side[None, :, 1] - along[:, None, 1] * side[None, :, 0]
    to = a[None] - start[:, None]
    safe = np.where(np.abs(turn) < 1e-12, np.inf, turn)
    reach = (to[..., 0] * side[None, :, 1] - to[..., 1] * side[None, :, 0]) / safe
    share = (to[..., 0] * along[:, None, 1] - to[..., 1] * along[:, None, 0]) / safe
    hit = np.isfinite(safe) & (reach > 1e-4) & (share >= -1e-9) & (share <= 1 + 1e-9)
    return np.asarray(np.where(hit, reach, np.inf).min(axis=1, initial=np.inf), dtype=np.float64)


def check_lines(subject: Subject) -> tuple[Finding, ...]:
    """Walls of a shell and the lip of a lid are a whole number of lines thick."""
    filament = subject.filament
    if filament is None or subject.part.kind not in _WALL_KINDS:
        return ()
    middle, through, thick = _measured(subject.thickest.segments)
    lines = thick / filament.line_width_mm
    off = (np.abs(lines - np.round(lines)) > _SHARE) & (lines < LONGEST_WALL_LINES)
    if not off.any():
        return ()
    first = int(np.argmax(off))
    worst = float(lines[first])
    band = subject.thickest
    across = box_of(np.stack([middle[first], middle[first] + through[first]]))
    place = place_between(subject.part.number, np.column_stack([across, [band.low_mm, band.high_mm]]))
    text = (
        f"a wall is {worst * filament.line_width_mm:.2f} mm thick, {worst:.2f} lines of {filament.line_width_mm:g} mm"
    )
    return (subject.finding(Severity.WARNING, "wall-lines", text, "make it a whole number of lines", place),)
