"""Corrugated and box-profile sheets: facets that slope across the sheet, lapped at their ends."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor

import numpy as np

from halfbat.findings import Finding, Severity
from halfbat.settings import FinishRequest
from halfbat.surfaces.dressing import Dressing, ground
from halfbat.surfaces.features.site import FeatureSite
from halfbat.surfaces.finishes.band import band_of, level_of
from halfbat.surfaces.laying import Array
from halfbat.surfaces.opening_units import Unit, box
from halfbat.surfaces.roofing.profiles import Profile, profile_of

#: Longest sheet, width of corner flashings, full size: common practice, no source.
LONGEST_M, CORNER_M = 3.0, 0.100
_EXACT = 1e-9


@dataclass(frozen=True, slots=True)
class SheetProfile:
    """A profile of sheets, full size in metres: distance of its ribs, depth, cover, and name of the shape."""

    pitch_m: float
    depth_m: float
    cover_m: float
    shape: str


SHEETS = {
    # British "3 inch" corrugation, BS 3083, from memory; eight to the cover of a sheet.
    "corrugated sheet": SheetProfile(0.0762, 0.019, 8 * 0.0762, "wave"),
    # Wall cladding of 32 mm depth, five ribs to a metre: as sold, from memory.
    "box-profile sheet": SheetProfile(0.200, 0.032, 1.0, "box"),
}
_BOX = ((0.0, 0.0), (0.58, 0.0), (0.70, 1.0), (0.88, 1.0), (1.0, 0.0))


def sheet(request: FinishRequest, site: FeatureSite, where: str) -> Dressing:
    """Cover a band with profiled sheets between flat corner flashings.

    Parameters
    ----------
    request : FinishRequest
        Band, kind, and pitch of the profile.
    site : FeatureSite
        The wall.
    where : str
        Name for refusals.

    Returns
    -------
    Dressing
        Sheets longer than 3 m are lapped in their height; the upper one stands over the lower by a step. Ribs too close
        for the printer are set further apart, with a finding.
    """
    masonry = site.masonry
    band = band_of(request, site, where)
    level = level_of(request, site, band, 0.0, where)
    made = SHEETS[request.kind]
    corner = max(masonry.mm(CORNER_M), masonry.joint_u_mm * 2)
    left = 0.0 if site.inner[0] else corner
    right = band.length_mm - (0.0 if site.inner[1] else corner)
    pitch, findings = _pitch(site.mm(request.size, made.pitch_m, where), right - left, site, where)
    depth = site.raised(masonry.mm(made.depth_m))
    tail = site.raised(0.0)
    profile = _profile(made, pitch / max(masonry.lattice_u.pitch_mm, 1e-6))
    rows = max(1, ceil((band.high_mm - band.low_mm) / masonry.mm(LONGEST_M) - _EXACT))
    lines = np.linspace(band.low_mm, band.high_mm, rows + 1)
    lines[1:-1] = masonry.lattice_v.round(lines[1:-1])
    facets: list[Unit] = []
    for row, (low, high) in enumerate(zip(lines[:-1].tolist(), lines[1:].tolist(), strict=True)):
        facets += _facets((left, low, right, high), pitch, profile, (level, depth, tail if row else 0.0))
    count = ceil((right - left) / masonry.mm(made.cover_m) - _EXACT) * rows
    top = level + depth + tail + masonry.layer_mm
    flashings = [
        Unit(box(a, band.low_mm, b, band.high_mm), "corner flashing", top)
        for a, b, inner in ((-corner, left, site.inner[0]), (right, right + 2 * corner, site.inner[1]))
        if not inner
    ]
    # One ring is counted for every sheet; it lies under the facets, which are no pieces of their own.
    sheets = _whole_sheets((left, right), lines, count // rows, request.kind, level)
    base = (ground(0.0, band.low_mm, band.length_mm, band.high_mm, level),)
    return Dressing(
        request.kind, where, (), (base, sheets, (*facets, *flashings)), (band.void,), clear_mm=level, findings=findings
    )


def _pitch(pitch: float, length: float, site: FeatureSite, where: str) -> tuple[float, tuple[Finding, ...]]:
    """Fit whole ribs into a length, none closer than the printer shows."""
    least = 2 * site.masonry.joint_u_mm
    count = max(1, min(round(length / pitch), floor(length / least + _EXACT)))
    if length / count <= pitch * 1.1:
        return length / count, ()
    text = f"ribs made {length / count:.3f} mm apart instead of {pitch:.3f} mm, the least this printer shows"
    return length / count, (Finding(Severity.WARNING, "corrugation-coarse", where, text, "choose a finer printer"),)


def _profile(made: SheetProfile, width_px: float) -> Profile:
    if made.shape == "box":
        along, up = np.array(_BOX).T
        return Profile(along, up)
    return profile_of(made.shape, width_px)


def _facets(
    reach: tuple[float, float, float, float], pitch: float, profile: Profile, levels: tuple[float, float, float]
) -> list[Unit]:
    """Cut a row of sheets into facets, each with its plane."""
    left, low, right, high = reach
    level, depth, tail = levels
    count = round((right - left) / pitch)
    ends = left + pitch * np.arange(count)[:, None]
    u = np.round((ends + pitch * profile.along[None, :-1]).ravel(), 3)
    u = np.append(u, round(right, 3))
    z: Array = np.append(np.tile(profile.up[:-1], count), profile.up[-1]) * depth + level
    rate = -tail / (high - low)
    found = []
    for a, b, p, q in zip(u[:-1].tolist(), u[1:].tolist(), z[:-1].tolist(), z[1:].tolist(), strict=True):
        across = (q - p) / (b - a)
        plane = (p + tail - across * a - rate * low, across, rate)
        found.append(Unit(box(a, low, b, high), "", level, plane))
    return found


def _whole_sheets(
    stretch: tuple[float, float], lines: Array, columns: int, kind: str, level: float
) -> tuple[Unit, ...]:
    edges = np.linspace(*stretch, max(columns, 1) + 1)
    return tuple(
        Unit(box(a, low, b, high), kind, level)
        for low, high in zip(lines[:-1].tolist(), lines[1:].tolist(), strict=True)
        for a, b in zip(edges[:-1].tolist(), edges[1:].tolist(), strict=True)
    )
