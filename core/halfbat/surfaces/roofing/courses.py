"""Lap and gauge of roof courses, trued up so that they come out whole from the eaves to the ridge."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

import numpy as np
from numpy.typing import NDArray

from halfbat.errors import KitError
from halfbat.findings import Finding, Severity
from halfbat.surfaces.rectangles import Lattice
from halfbat.surfaces.roofing.coverings import Covering, Family
from halfbat.units import Scale

Array = NDArray[np.float64]
Ints = NDArray[np.int64]
_EXACT = 1e-6
SLIVER = 0.25
"""A piece smaller than this share of a whole one is joined to its neighbour."""


@dataclass(frozen=True, slots=True)
class Courses:
    """Course lines of one roof, the same on all slopes that share its eaves.

    Parameters
    ----------
    datum_mm : float
        Where the tails of the first course lie, model millimetres up the slope.
    gauge_mm : float
        Distance of the course lines.
    lap_m : float
        Head lap the gauge leaves, full size.
    count : int
        Courses up to the ridge.
    findings : tuple of Finding
        What was changed and what breaks a rule.
    """

    datum_mm: float
    gauge_mm: float
    lap_m: float
    count: int
    findings: tuple[Finding, ...]

    def lines(self, low_mm: float, high_mm: float, lattice: Lattice) -> Array:
        """Return the course lines over a stretch of slope, its ends included, on the lattice between them.

        A course that would show less than a quarter of its gauge at either end is joined to its neighbour.
        """
        first = ceil((low_mm - self.datum_mm) / self.gauge_mm - SLIVER)
        last = ceil((high_mm - self.datum_mm) / self.gauge_mm - SLIVER)
        inner: Array = self.datum_mm + self.gauge_mm * np.arange(first, last + 1, dtype=np.float64)
        sliver = SLIVER * self.gauge_mm
        inner = inner[(inner > low_mm + sliver - _EXACT) & (inner < high_mm - sliver + _EXACT)]
        return np.concatenate([[low_mm], lattice.round(inner), [high_mm]])

    def numbers(self, lines_mm: Array) -> Ints:
        """Count of the course between each line and the next, 0 at the eaves."""
        middle = (lines_mm[:-1] + lines_mm[1:]) / 2
        return np.floor((middle - self.datum_mm) / self.gauge_mm + _EXACT).astype(np.int64)

    def tails_and_heads(self, lines_mm: Array) -> tuple[Array, Array]:
        """Return where the pieces seen between each line and the next have their tail and end of exposure.

        The same as the lines, but for the first and last, where a course is cut.
        """
        number = self.numbers(lines_mm)
        tails, heads = lines_mm[:-1].copy(), lines_mm[1:].copy()
        tails[0] = min(tails[0], self.datum_mm + number[0] * self.gauge_mm)
        heads[-1] = max(heads[-1], self.datum_mm + (number[-1] + 1) * self.gauge_mm)
        return tails, heads


def head_lap_m(covering: Covering, pitch_deg: float) -> float:
    """Return the head lap a covering asks for at a pitch, full size, metres."""
    pitches, laps = zip(*covering.laps, strict=True)
    return float(np.interp(pitch_deg, pitches, laps))


def largest_gauge_m(covering: Covering, lap_m: float) -> float:
    """Return the largest gauge at a lap: half of what the lap leaves of the length where every tile is lapped twice."""
    kept = covering.length_m - lap_m
    return kept / 2 if covering.family == Family.DOUBLE_LAP else kept


def count_per_m2(covering: Covering, lap_m: float) -> float:
    """Return how many pieces cover a square metre of slope at the largest gauge."""
    return 1.0 / (covering.cover_m * largest_gauge_m(covering, lap_m))


def set_roof_courses(
    covering: Covering,
    scale: Scale,
    *,
    pitch_deg: float,
    eaves_v_mm: float,
    top_v_mm: float,
    lap_m: float = 0.0,
    where: str = "roof",
) -> Courses:
    """Set out the courses of a roof from its eaves to its ridge.

    Parameters
    ----------
    covering : Covering
        What is laid.
    scale : Scale
        How small.
    pitch_deg : float
        Pitch of the slope.
    eaves_v_mm, top_v_mm : float
        Where the first course begins and where courses should come out whole, model millimetres up the slope.
    lap_m : float
        Head lap asked for, full size; 0 takes what the covering asks for at the pitch.
    where : str
        Name of the roof for findings.

    Returns
    -------
    Courses
        Never over the largest gauge. Where closing the gauge up to come out whole would go too far, the gauge is the
        largest and the top course is cut.

    Raises
    ------
    KitError
        The slope has no length, or the lap leaves nothing to be seen of a piece.
    """
    rise_mm = top_v_mm - eaves_v_mm
    if not rise_mm > 0:
        raise KitError(f"a slope cannot be {rise_mm:g} mm long", where, "give it a length above zero")
    asked_m = head_lap_m(covering, pitch_deg)
    lap = lap_m or asked_m
    largest_m = largest_gauge_m(covering, lap)
    if largest_m < covering.length_m / 20:
        raise KitError(
            f"a lap of {lap * 1000:.0f} mm leaves nothing to be seen of a {covering.unit} "
            f"{covering.length_m * 1000:.0f} mm long",
            where,
            "choose a smaller lap",
        )
    largest_mm = scale.to_mm(largest_m)
    count = max(1, ceil(rise_mm / largest_mm - _EXACT))
    gauge_mm = rise_mm / count
    findings = _rules(covering, pitch_deg, lap, asked_m, where)
    left_mm = rise_mm - (count - 1) * largest_mm
    if gauge_mm < covering.least_gauge * largest_mm and left_mm >= SLIVER * largest_mm and count > 1:
        gauge_mm = largest_mm
        findings += (
            Finding(
                Severity.NOTE,
                "roof-top-course",
                where,
                f"the top course is cut to {left_mm / largest_mm:.0%} of the gauge: {count} whole courses would close "
                "the gauge up too far",
            ),
        )
    made_lap_m = lap
    if not covering.lengths_m:  # sheets are bought shorter instead
        kept_m = gauge_mm / scale.to_mm(1.0) * (2 if covering.family == Family.DOUBLE_LAP else 1)
        made_lap_m = covering.length_m - kept_m
    return Courses(eaves_v_mm, gauge_mm, made_lap_m, count, findings)


def _rules(covering: Covering, pitch_deg: float, lap_m: float, asked_m: float, where: str) -> tuple[Finding, ...]:
    """Report a pitch or a lap under what the covering is laid to."""
    findings = []
    if pitch_deg < covering.least_pitch_deg - 0.05:
        findings.append(
            Finding(
                Severity.WARNING,
                "roof-pitch",
                where,
                f"{covering.name.lower()} is laid at {covering.least_pitch_deg:g} degrees and steeper, here at "
                f"{pitch_deg:.1f}",
                "choose a covering for low pitches",
            )
        )
    if lap_m < asked_m - _EXACT:
        findings.append(
            Finding(
                Severity.WARNING,
                "roof-lap",
                where,
                f"a head lap of {lap_m * 1000:.0f} mm is less than the {asked_m * 1000:.0f} mm usual at "
                f"{pitch_deg:.1f} degrees",
                "choose a larger lap",
            )
        )
    return tuple(findings)
