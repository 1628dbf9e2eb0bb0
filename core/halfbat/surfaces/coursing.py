"""One course datum and one gauge for the whole building."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor

import numpy as np
import numpy.typing as npt

from halfbat.errors import KitError
from halfbat.findings import Finding, Severity
from halfbat.surfaces.bonds import Bond
from halfbat.surfaces.formats import BrickFormat
from halfbat.units import Scale

Array = npt.NDArray[np.float64]
#: How far the gauge may be adjusted: common practice, no source.
GAUGE_LIMIT_M = 0.003
#: Differences of less than this, full size, are not worth a word.
_WORTH_TELLING_M = 0.0001
_WHOLE = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Coursing:
    """Where the courses lie, the same on every wall of the building.

    Parameters
    ----------
    bed_v_mm : ndarray, shape (C,)
        Centre of the bed joint under each course, model millimetres above the foot of the walls.
    gauge_mm : float
        One course with its bed joint, model millimetres.
    height_mm : float
        Top of the last course, model millimetres: the height of the walls.
    findings : tuple of Finding
        An adjusted gauge or a cut course.
    """

    bed_v_mm: Array
    gauge_mm: float
    height_mm: float
    findings: tuple[Finding, ...] = ()

    @property
    def courses(self) -> int:
        """Number of courses."""
        return len(self.bed_v_mm)


def set_courses(
    height_mm: float,
    bond: Bond,
    brick: BrickFormat,
    scale: Scale,
    top_course: str = "adjust gauge",
    gauge_limit_m: float = GAUGE_LIMIT_M,
) -> Coursing:
    """Divide the height of a building into courses.

    Parameters
    ----------
    height_mm : float
        Height of the walls, model millimetres.
    bond, brick, scale
        What is laid, and how small.
    top_course : {"adjust gauge", "cut course"}
        What to do when the height is not whole courses. The gauge is adjusted within `gauge_limit_m` only; beyond it
        the top course is cut. A top course that would be less than half high is shared with the one under it.
    gauge_limit_m : float
        Most the gauge may change, full size, metres.

    Returns
    -------
    Coursing

    Raises
    ------
    KitError
        If the walls are lower than one course.
    """
    gauge_m, bed_m = bond.gauge_m(brick), bond.bed_joint_m(brick)
    height_m = height_mm / scale.mm_per_m
    courses = height_m / gauge_m
    if not courses >= 1 - _WHOLE:
        raise KitError(
            f"walls {height_m * 1000:.0f} mm high are lower than one course of {gauge_m * 1000:.1f} mm",
            "building",
            "make the walls higher, or check the scale of the mesh",
        )
    nearest = max(1, round(courses))
    adjusted_m = height_m / nearest
    if abs(adjusted_m - gauge_m) <= _WHOLE * gauge_m or (
        top_course == "adjust gauge" and abs(adjusted_m - gauge_m) <= gauge_limit_m
    ):
        feet_m = adjusted_m * np.arange(nearest, dtype=np.float64)
        findings = _adjusted(gauge_m, adjusted_m, nearest)
        return _coursing(feet_m, bed_m, adjusted_m, height_mm, scale, findings)
    feet_m, top_m = _cut(height_m, gauge_m)
    finding = Finding(
        Severity.NOTE,
        "course-cut",
        "",
        f"walls {height_m * 1000:.0f} mm high are {courses:.2f} courses of {gauge_m * 1000:.1f} mm; "
        f"the top is cut to {top_m * 1000:.0f} mm",
        "make the walls a whole number of courses high",
    )
    return _coursing(feet_m, bed_m, gauge_m, height_mm, scale, (finding,))


def _cut(height_m: float, gauge_m: float) -> tuple[Array, float]:
    """Return the foot of each course, and the height of the cut ones at the top."""
    full = floor(height_m / gauge_m + _WHOLE)
    rest_m = height_m - full * gauge_m
    feet_m = gauge_m * np.arange(full + 1, dtype=np.float64)
    if rest_m >= gauge_m / 2:
        return feet_m, rest_m
    top_m = (gauge_m + rest_m) / 2
    feet_m[-1] = height_m - top_m
    return feet_m, top_m


def _adjusted(gauge_m: float, adjusted_m: float, courses: int) -> tuple[Finding, ...]:
    if abs(adjusted_m - gauge_m) < _WORTH_TELLING_M:
        return ()
    text = f"the gauge is {adjusted_m * 1000:.1f} mm instead of {gauge_m * 1000:.1f}, so that {courses} courses fill it"
    return (Finding(Severity.NOTE, "gauge-adjusted", "", text),)


def _coursing(
    feet_m: Array,
    bed_m: float,
    gauge_m: float,
    height_mm: float,
    scale: Scale,
    findings: tuple[Finding, ...],
) -> Coursing:
    return Coursing((feet_m + bed_m / 2) * scale.mm_per_m, scale.to_mm(gauge_m), height_mm, findings)
