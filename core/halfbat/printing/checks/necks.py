"""What is too thin to hold: teeth, necks, bricks, thin stretches of a plate, and the lands of mitres."""

from __future__ import annotations

import numpy as np

from halfbat.findings import Finding, Severity
from halfbat.parts.joinery import HELD_SHARE
from halfbat.parts.seats import place_between
from halfbat.printing.checks.cavity import without_marks
from halfbat.printing.checks.grooves import relief_levels_mm
from halfbat.printing.checks.subject import Subject
from halfbat.printing.rasters import (
    ACROSS_PX,
    Grid,
    Mask,
    dilated,
    fine_pitch_mm,
    opened,
    pieces,
    raster,
    runs,
    thin_places,
)
from halfbat.printing.sections import section
from halfbat.surfaces.finishes import FINISH_PIECES

LEAST_LAND_MM = 0.2
"""Thickness of the flat left on a mitred edge: making notes, section 5 (common practice)."""
LAND_PROBE_MM = 0.12
THIN_STRETCH_MM = 1.5
"""A stretch of a plate thinner than the smallest wall and wider than this bends or breaks; narrower ones are edges."""
BACKED_KINDS = frozenset({"ridge"})
"""Parts that stand on two feet joined above all along, and are glued down over all their length: held on two sides."""
BAR_ACROSS_PX = 7
_CONTACT_PX = 2
_ROUNDING_MM = 0.02
_FEWEST_PX = ACROSS_PX * ACROSS_PX // 4
_LAND_PROBES = 24
_EXACT_MM = 1e-3


def _thin(mask: Mask) -> tuple[Mask, Mask]:
    """Return what is thin and free at one end at least, and what is thin between two thick pieces."""
    thin = thin_places(mask)
    found = pieces(thin)
    large = found.sizes_px >= _FEWEST_PX
    free, held = np.zeros_like(large), np.zeros_like(large)
    thick = pieces(mask & ~found.mask(large))
    for number in np.flatnonzero(large).tolist():
        one = np.arange(found.count) == number
        ends = pieces(dilated(found.mask(one), _CONTACT_PX) & thick.mask(np.ones(thick.count, dtype=bool)))
        held[number] = ends.count >= 2
        free[number] = not held[number]
    return found.mask(free), found.mask(held)


def _smallest_wall_mm(subject: Subject) -> float:
    return subject.process.min_wall_mm * (HELD_SHARE if subject.part.kind in BACKED_KINDS else 1.0)


def check_necks(subject: Subject) -> tuple[Finding, ...]:
    """No tooth, neck or wall seen from above is thinner than the smallest wall; no bar held at both ends than half."""
    limit = _smallest_wall_mm(subject)
    pitch = fine_pitch_mm(limit)
    outlines = _outlines(subject, pitch)
    found = [_thin(mask) for mask in outlines]
    if subject.resin is None:
        below = _outlines(subject, pitch, below_mm=limit)
        found = [(_upright(free, under), held) for (free, held), under in zip(found, below, strict=True)]
    thin = next((free for free, _ in found if free.any()), None)
    if thin is not None:
        text = f"a tooth, neck or wall is thinner than {limit:g} mm, the smallest wall of this printer"
        place = subject.place(thin, subject.grid(pitch))
        remedy = "make it wider, or move the seam that leaves it"
        return (subject.finding(Severity.FAILURE, "neck-thin", text, remedy, place),)
    least = HELD_SHARE * limit
    if not any(bars.any() for _, bars in found):
        return ()
    pitch = fine_pitch_mm(least, BAR_ACROSS_PX)
    bars = next((mask for mask in map(_bars, _outlines(subject, pitch)) if mask.any()), None)
    if bars is not None:
        place = subject.place(bars, subject.grid(pitch))
        text = f"a bar or strip is thinner than {least:g} mm, the least that holds where both its ends do"
        return (subject.finding(Severity.WARNING, "bar-thin", text, "make it wider, or handle it with care", place),)
    return ()


def _bars(mask: Mask) -> Mask:
    thin = pieces(thin_places(mask, BAR_ACROSS_PX))
    return thin.mask(thin.sizes_px >= BAR_ACROSS_PX * BAR_ACROSS_PX // 4)


def _upright(thin: Mask, below: Mask) -> Mask:
    """What of thin places is thin as far below as it is wide, too: where a slope ends in a tip, it stands on more."""
    if not thin.any():
        return thin
    both = pieces(thin & thin_places(below))
    return both.mask(both.sizes_px >= _FEWEST_PX)


def _outlines(subject: Subject, pitch_mm: float, below_mm: float = 0.0) -> list[Mask]:
    """Sections to look for thin places in, or so far below those in the same band, marks filled."""
    grid = subject.grid(pitch_mm)
    if subject.resin is not None:
        return [without_marks(subject.footprint(grid), grid)]
    high = [band for band in subject.bands if band.height_mm > 2 * subject.process.layer_mm]
    if below_mm:
        levels = [max((band.low_mm + band.high_mm) / 2 - below_mm, band.low_mm + _EXACT_MM) for band in high]
        return [without_marks(raster(section(subject.part.solid, level), grid), grid) for level in levels]
    return [without_marks(raster(band.segments, grid), grid) for band in high]


def check_stretches(subject: Subject) -> tuple[Finding, ...]:
    """No wide stretch of a resin plate is thinner than the smallest wall."""
    if subject.resin is None:
        return ()
    limit = _smallest_wall_mm(subject)
    thickness = subject.thickness_mm
    step = subject.size_mm[2] / len(subject.slices)
    thin = (thickness > 0) & (thickness < limit - step)
    # On a part that lies aslant, as the saddle of a cable run may, pixels make a width more of up to one of them.
    across = THIN_STRETCH_MM / subject.slice_grid.pitch_mm[0] + 1
    wide = opened(thin, across)
    if not wide.any():
        return ()
    least = float(thickness[wide].min())
    text = f"a stretch wider than {THIN_STRETCH_MM:g} mm is about {least:.1f} mm thick, under {limit:g} mm"
    place = subject.place(wide, subject.slice_grid)
    return (subject.finding(Severity.FAILURE, "plate-thin", text, "make the base of the skins thicker", place),)


def check_raised(subject: Subject) -> tuple[Finding, ...]:
    """No brick or other raised piece is narrower, along or up the wall, than holds."""
    levels, resin = relief_levels_mm(subject), subject.resin
    # Stones are as broad as they must be, but have corners.
    if levels is None or resin is None or FINISH_PIECES & subject.part.counts.keys():
        return ()
    pitch = resin.pixel_x_mm / resin.scale_x, resin.pixel_y_mm / resin.scale_y
    grid = Grid.over(subject.part.solid.bounds_mm[:, :2], *pitch)
    bricks = raster(section(subject.part.solid, sum(levels) / 2), grid)
    limit = resin.min_raised_mm
    thin = _short(bricks, limit / pitch[0]) | _short(bricks.T, limit / pitch[1]).T
    # The tips of leaning pieces, as in an arch, are narrow too but small.
    least_px = limit * limit / grid.pixel_mm2
    found = pieces(thin)
    large = found.sizes_px >= least_px
    narrow = int(large.sum())
    if not narrow:
        return ()
    place = subject.place(found.mask(large), grid, *levels)
    text = f"{narrow} raised pieces are narrower than {limit:g} mm and may not hold"
    return (subject.finding(Severity.WARNING, "raised-thin", text, "use a larger scale or narrower joints", place),)


def _short(mask: Mask, least_px: float) -> Mask:
    """Pixels of runs along X that are shorter than a length."""
    row, start, end = runs(mask)
    short = end - start < least_px - 0.01
    flips = np.zeros((mask.shape[0], mask.shape[1] + 1), dtype=np.int8)
    flips[row[short], start[short]] += 1
    flips[row[short], end[short]] -= 1
    return np.asarray(np.cumsum(flips[:, :-1], axis=1, dtype=np.int8) > 0, dtype=np.bool_)


def check_lands(subject: Subject) -> tuple[Finding, ...]:
    """The edge of a mitre ends in a flat, not in a feather."""
    levels = relief_levels_mm(subject)
    if subject.resin is None or levels is None:
        return ()
    solid = subject.part.solid
    low, high = solid.bounds_mm
    at_left, at_right = 0.0, 0.0
    # Joints cut into a land, so it is measured where it is whole: at the thickest of several places.
    for share in (np.arange(_LAND_PROBES) + 0.5) / _LAND_PROBES:
        profile = section(solid, float(low[1] + (0.25 + 0.5 * share) * (high[1] - low[1])), axis=1)
        # What stands proud of the face may reach further out.
        x = profile[:, [1, 3]][profile[:, [0, 2]] <= levels[1] + _EXACT_MM]
        if len(x):
            at_left = max(at_left, _height_at(profile, float(x.min()) + LAND_PROBE_MM))
            at_right = max(at_right, _height_at(profile, float(x.max()) - LAND_PROBE_MM))
    least = min(at_left, at_right)
    if least >= LEAST_LAND_MM - _ROUNDING_MM:
        return ()
    text = f"an edge is {least:.2f} mm thick {LAND_PROBE_MM:g} mm from its tip and will chip"
    edge = np.array([low, high])
    edge[:, 0] = (low[0], low[0] + 1.0) if at_left <= at_right else (high[0] - 1.0, high[0])
    place = place_between(subject.part.number, edge)
    return (subject.finding(Severity.FAILURE, "land-thin", text, f"make the corner land {LEAST_LAND_MM:g} mm", place),)


def _height_at(profile: np.ndarray[tuple[int, ...], np.dtype[np.float64]], x: float) -> float:
    """Material on an upright line through a section square to Y, whose columns are Z and X."""
    z0, x0, z1, x1 = profile.T
    hit = (x0 > x) != (x1 > x)
    z = z0[hit] + (x - x0[hit]) / (x1[hit] - x0[hit]) * (z1[hit] - z0[hit])
    return float(np.sum(np.where(x1[hit] > x0[hit], z, -z)).item()) if hit.any() else 0.0
