"""Pockets that hold resin or suck at the film, and holes too small to stay open."""

from __future__ import annotations

import numpy as np

from halfbat.findings import Finding, Severity
from halfbat.printing.checks.subject import COARSE_ACROSS_PX, Subject, coarse_pitch_mm
from halfbat.printing.rasters import enclosed, fine_pitch_mm, opened, pieces, raster, thin_places

POCKET_ACROSS_MM = 2.0
"""Narrower hollows, such as the strokes of marks, hold too little to matter (common practice, no source)."""
CUP_DEPTH_MM = 2.0
POCKET_LEAST_MM2 = 3.0
_HOLE_FEWEST_PX = 12
_EXACT_MM, _ROUNDING_MM = 1e-6, 1e-3


def check_pockets(subject: Subject) -> tuple[Finding, ...]:
    """No hollow on the plate face is closed all round and above."""
    if subject.resin is None or len(subject.bands) < 2:
        return ()
    grid = subject.grid(coarse_pitch_mm(POCKET_ACROSS_MM))
    masks = [raster(band.segments, grid) for band in subject.bands]
    hollow = opened(enclosed(masks[0]), COARSE_ACROSS_PX)
    closed = hollow & np.logical_or.reduce(masks[1:])
    if closed.sum() * grid.pixel_mm2 < POCKET_LEAST_MM2:
        return ()
    low = subject.bands[0]
    place = subject.place(closed, grid, low.low_mm, low.high_mm)
    text = f"a hollow of {closed.sum() * grid.pixel_mm2:.0f} mm2 is closed against the plate and traps resin"
    return (subject.finding(Severity.FAILURE, "pocket", text, "open it to an edge with a channel", place),)


def check_cups(subject: Subject) -> tuple[Finding, ...]:
    """No hollow deeper than 2 mm is walled all round: it pulls at the film and blows out."""
    if subject.resin is None:
        return ()
    grid = subject.grid(coarse_pitch_mm(POCKET_ACROSS_MM))
    depth = np.zeros((grid.size[1], grid.size[0]))
    deepest, place = 0.0, None
    for band in subject.bands:
        hollow = opened(enclosed(raster(band.segments, grid)), COARSE_ACROSS_PX)
        depth = np.where(hollow, depth + band.height_mm, 0.0)
        if depth.max() > max(deepest, CUP_DEPTH_MM):
            deep = depth >= depth.max() - _EXACT_MM
            place = subject.place(deep, grid, band.high_mm - float(depth.max()), band.high_mm)
        deepest = max(deepest, float(depth.max()))
    if deepest <= CUP_DEPTH_MM + _ROUNDING_MM:
        return ()
    text = f"a hollow {deepest:.1f} mm deep is walled all round without a vent"
    remedy = "give it a vent of 2.5 mm or more near its foot, or turn the part"
    return (subject.finding(Severity.FAILURE, "cup", text, remedy, place),)


def check_holes(subject: Subject) -> tuple[Finding, ...]:
    """Every hole through a part is as large as prints open."""
    limit = subject.process.min_hole_mm
    grid = subject.grid(fine_pitch_mm(limit))
    through = enclosed(subject.footprint(grid))
    found = pieces(through)
    if not found.count:
        return ()
    narrow = thin_places(through)
    small = pieces(narrow)
    if not small.count or small.sizes_px.max() < _HOLE_FEWEST_PX:
        return ()
    text = f"a hole is smaller than the {limit:g} mm that stay open"
    remedy = "make it larger, or drill it out"
    return (subject.finding(Severity.WARNING, "hole-small", text, remedy, subject.place(narrow, grid)),)
