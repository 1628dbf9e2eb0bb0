"""The first layers, which squash, bulge or over-cure: nothing fine there, and no large sharp-cornered start."""

from __future__ import annotations

from halfbat.findings import Finding, Severity
from halfbat.parts.marks import PLATE_STROKES_WIDE
from halfbat.printing.checks.subject import COARSE_ACROSS_PX, Subject, coarse_pitch_mm
from halfbat.printing.rasters import ACROSS_PX, dilated, fine_pitch_mm, opened, pieces, raster, thin_places
from halfbat.printing.sections import section, section_area_mm2

LIFTS_OVER_MM2 = 20_000.0
ROUND_ENOUGH_MM = 8.0
_FEWEST_PX = ACROSS_PX * ACROSS_PX // 4


def check_fine_features(subject: Subject) -> tuple[Finding, ...]:
    """No narrow groove, stroke or hole is cut into the first layers."""
    zone = subject.process.first_zone_mm
    if zone <= 0 or zone >= subject.size_mm[2]:
        return ()
    # Near the plate a stroke must be wider than elsewhere: 0.6 mm in resin (design, section 10).
    limit = PLATE_STROKES_WIDE * subject.process.min_stroke_mm
    grid = subject.grid(fine_pitch_mm(limit))
    low = float(subject.part.solid.bounds_mm[0, 2])
    outline = subject.footprint(grid)
    at_plate = raster(section(subject.part.solid, low + min(zone, subject.process.min_mark_depth_mm) / 2), grid)
    cut = outline & ~at_plate
    fine = thin_places(cut)
    # Along the rim a leaning end face recedes; that is no groove.
    fine &= ~dilated(~outline, ACROSS_PX)
    found = pieces(fine)
    if not found.count or found.sizes_px.max() < _FEWEST_PX:
        return ()
    text = f"something finer than {limit:g} mm is cut into the first {zone:g} mm on the plate, which print blurred"
    remedy = "give marks more room, or print the part on supports"
    return (
        subject.finding(
            Severity.WARNING, "first-layers-fine", text, remedy, subject.place(fine, grid, low, low + zone)
        ),
    )


def check_lift(subject: Subject) -> tuple[Finding, ...]:
    """A large first layer with sharp corners lifts from the plate of a filament printer."""
    if subject.filament is None or section_area_mm2(subject.foot) <= LIFTS_OVER_MM2:
        return ()
    pitch = coarse_pitch_mm(2 * ROUND_ENOUGH_MM)
    grid = subject.grid(pitch)
    foot = raster(subject.foot, grid)
    corners = foot & ~dilated(opened(foot, COARSE_ACROSS_PX), 1.0)
    if not corners.any():
        return ()
    area = section_area_mm2(subject.foot)
    text = f"a first layer of {area:.0f} mm2 with sharp corners lifts from the plate as it cools"
    place = subject.place(corners, grid)
    return (subject.finding(Severity.WARNING, "lift", text, "print it with a brim or discs at the corners", place),)
