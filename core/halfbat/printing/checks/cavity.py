"""Marks as they are really cut into a part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from halfbat.printing.rasters import Grid, Mask, enclosed, opened, raster, united
from halfbat.printing.sections import Array
from halfbat.settings import Process

MARK_ACROSS_MM = 1.5
"""No stroke of a mark is as wide; what is enclosed and wider is a room, a window or a pocket."""
_PER_STROKE_PX = 4
_LEAST_STROKES = 6
_DEEPEST_DEPTHS = 4
_AROUND_MM = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class Band:
    """A range of height between two levels, and the section through its middle."""

    low_mm: float
    high_mm: float
    segments: Array

    @property
    def height_mm(self) -> float:
        """How high it is."""
        return self.high_mm - self.low_mm


@dataclass(frozen=True, slots=True, eq=False)
class Cavity:
    """A mark as it is cut into a part.

    Parameters
    ----------
    mask : ndarray of bool
        Its strokes, seen from above the plate.
    around : ndarray of bool
        Material at the same height.
    grid : Grid
        Pixels of both.
    band : Band
        Heights it lies between.
    from_below : bool
        It opens towards the plate.
    """

    mask: Mask
    around: Mask
    grid: Grid
    band: Band
    from_below: bool

    def strokes(self, pitch_mm: float) -> Mask:
        """Return the strokes alone, finer, with a margin of material round them."""
        rows, columns = np.flatnonzero(self.mask.any(axis=1)), np.flatnonzero(self.mask.any(axis=0))
        first, pitch = self.grid.first, self.grid.pitch_mm
        low = np.array([(first[0] + columns[0]) * pitch[0], (first[1] + rows[0]) * pitch[1]]) - _AROUND_MM
        high = np.array([(first[0] + columns[-1] + 1) * pitch[0], (first[1] + rows[-1] + 1) * pitch[1]]) + _AROUND_MM
        fine = Grid.over(np.stack([low, high]), pitch_mm)
        return enclosed(raster(self.band.segments, fine))


def find_cavities(bands: Sequence[Band], foot: Array, bounds_mm: Array, process: Process) -> tuple[Cavity, ...]:
    """Find what may be marks in a part: blind strokes that are enclosed, narrow, and closed below or above.

    Parameters
    ----------
    bands : sequence of Band
        Of the part, lowest first.
    foot : ndarray (K, 4)
        Its section just above the plate.
    bounds_mm : ndarray (2, 3)
        Its box.
    process : ResinProcess or FilamentProcess
        Says how deep and wide strokes may be.
    """
    stroke = process.min_stroke_mm
    found = []
    whole: Mask | None = None
    grid = Grid.over(bounds_mm[:, :2], stroke / _PER_STROKE_PX)
    least_px = _LEAST_STROKES * stroke * stroke / grid.pixel_mm2
    for place, band in enumerate(bands):
        if len(bands) < 2 or band.height_mm > _DEEPEST_DEPTHS * process.min_mark_depth_mm:
            continue
        around = raster(band.segments, grid)
        hollow = enclosed(around)
        if hollow.sum() < least_px:
            continue
        hollow &= ~opened(hollow, MARK_ACROSS_MM / grid.pitch_mm[0])
        if hollow.sum() < least_px:
            continue
        near = bands[1] if place == 0 else bands[place - 1]
        if whole is None:
            whole = united([raster(foot, grid), *(raster(other.segments, grid) for other in bands)])
        hollow &= raster(near.segments, grid) & ~enclosed(whole)
        if hollow.sum() >= least_px:
            found.append(Cavity(hollow, around, grid, band, from_below=place == 0))
    return tuple(found)


def without_marks(mask: Mask, grid: Grid) -> Mask:
    """Fill the holes of a section that are too narrow to be anything but marks and small holes."""
    holes = enclosed(mask)
    if not holes.any():
        return mask
    return np.asarray(mask | (holes & ~opened(holes, MARK_ACROSS_MM / grid.pitch_mm[0])), dtype=np.bool_)
