"""A finished part with what several checks want to know of it, measured once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from halfbat.findings import Finding, Place, Severity
from halfbat.parts.part import Part
from halfbat.printing.checks.cavity import Band, Cavity, find_cavities
from halfbat.printing.checks.places import place_of
from halfbat.printing.compensation import process_of
from halfbat.printing.rasters import Grid, Mask, fine_pitch_mm, raster
from halfbat.printing.sections import Array, Flats, bands, flats, section
from halfbat.settings import FilamentProcess, Process, ResinProcess, Settings

SLICES = 16
LOWEST_SHARE = 0.1
_COARSE_ACROSS = 9
MARKED_BEHIND = frozenset({"roof skin"})
"""Kinds of parts whose number is on their back or nowhere."""


@dataclass(frozen=True, slots=True, eq=False)
class Subject:
    """A part to be checked.

    Parameters
    ----------
    part : Part
        At its nominal size, in its print frame.
    process : ResinProcess or FilamentProcess
        What makes it.
    bands : tuple of Band
        Between its levels, lowest first.
    foot : ndarray (K, 4)
        Section just above the plate.
    up, down : Flats
        Its level faces.
    slices : ndarray (SLICES, rows, columns) of bool
        Evenly spread sections as pixels; for resin parts only, else empty.
    slice_grid : Grid
        Their pixels.
    cavities : tuple of Cavity
        What may be the mark cut into it.
    """

    part: Part
    process: Process
    bands: tuple[Band, ...]
    foot: Array
    up: Flats
    down: Flats
    slices: Mask
    slice_grid: Grid
    cavities: tuple[Cavity, ...]

    @staticmethod
    def of(part: Part, settings: Settings) -> Subject:
        """Measure a part that is printed."""
        process = process_of(part, settings)
        assert process is not None
        solid = part.solid
        found = tuple(Band(low, high, section(solid, (low + high) / 2)) for low, high in bands(solid))
        low = found[0]
        foot = section(solid, low.low_mm + LOWEST_SHARE * low.height_mm)
        longest = float(solid.size_mm[:2].max())
        grid = Grid.over(solid.bounds_mm[:, :2], max(0.1, longest / 1000))
        slices = np.zeros((0, grid.size[1], grid.size[0]), dtype=np.bool_)
        if process.kind == "resin":
            floor, height = float(solid.bounds_mm[0, 2]), float(solid.size_mm[2])
            slices = np.stack(
                [raster(section(solid, floor + height * (k + 0.5) / SLICES), grid) for k in range(SLICES)]
            )
        cavities = find_cavities(found, foot, solid.bounds_mm, process)
        if part.kind in MARKED_BEHIND:
            # Gaps between tiles may look like strokes, too; the back may lie above, turned over by the maker.
            face_up = bool(part.place[2, 2] > 0)
            cavities = tuple(one for one in cavities if one.from_below == face_up)
        up, down = flats(solid, facing_up=True), flats(solid, facing_up=False)
        return Subject(part, process, found, foot, up, down, slices, grid, cavities)

    @property
    def resin(self) -> ResinProcess | None:
        """The process where it is a resin printer's."""
        return self.process if isinstance(self.process, ResinProcess) else None

    @property
    def filament(self) -> FilamentProcess | None:
        """The process where it is a filament printer's."""
        return self.process if isinstance(self.process, FilamentProcess) else None

    @property
    def size_mm(self) -> tuple[float, float, float]:
        """Sides of its box."""
        x, y, z = (float(value) for value in self.part.solid.size_mm)
        return x, y, z

    @property
    def thickness_mm(self) -> Array:
        """Material over each pixel of `slice_grid`, to a sixteenth of the part's height."""
        return np.asarray(self.slices.sum(axis=0) * (self.size_mm[2] / SLICES), dtype=np.float64)

    @property
    def thickest(self) -> Band:
        """The highest band, which gives a shell or a lip its shape."""
        return max(self.bands, key=lambda band: band.height_mm)

    def grid(self, pitch_mm: float) -> Grid:
        """Pixels over the part."""
        return Grid.over(self.part.solid.bounds_mm[:, :2], pitch_mm)

    def footprint(self, grid: Grid) -> Mask:
        """Return its outline seen from above, as pixels: what the faces that look up cover.

        Sections between levels would leave out what lies under slopes only, as a tile over the mitre of a ridge.
        """
        corners = self.part.solid.vertices[self.part.solid.triangles][:, :, :2]
        ahead, aside = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
        up = corners[ahead[:, 0] * aside[:, 1] - ahead[:, 1] * aside[:, 0] > 0]
        return raster(np.concatenate([up, np.roll(up, -1, axis=1)], axis=2).reshape(-1, 4), grid)

    def finding(self, severity: Severity, code: str, text: str, remedy: str, place: Place | None = None) -> Finding:
        """Make a finding about the part."""
        return Finding(severity, code, self.part.number, text, remedy, place)

    def place(self, mask: Mask, grid: Grid, low_mm: float | None = None, high_mm: float | None = None) -> Place | None:
        """Return where the largest piece of some pixels is, from one height to another or through the whole part."""
        return place_of(self.part, mask, grid, low_mm, high_mm)


PartCheck = Callable[[Subject], tuple[Finding, ...]]
"""Looks at one part; has nothing to say where all is well."""


def coarse_pitch_mm(limit_mm: float) -> float:
    """Pixel for telling what is about as large as a limit, or larger."""
    return fine_pitch_mm(limit_mm, _COARSE_ACROSS)


COARSE_ACROSS_PX = _COARSE_ACROSS
