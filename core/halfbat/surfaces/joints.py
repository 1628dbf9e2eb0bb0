"""Widths and depths of joints: usual ones for a scale, then what the printer makes of them.

The module and the gauge never change: a wider joint eats into the faces of the bricks.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import NamedTuple

from halfbat.findings import Finding, Severity
from halfbat.settings import ResinProcess
from halfbat.units import Scale

TRUE_JOINT_MM = 10.0
"""Full-size joint that the usual widths exaggerate."""
WIDEST_SHARE_OF_COURSE = 1 / 3
"""A bed joint wider than this share of its course reads as a grid (common practice, no source)."""
FEWEST_LAYERS = 2
_EXACT = 1e-9


class _Usual(NamedTuple):
    ratio: float
    width_mm: float
    depth_mm: float
    narrowest_mm: float
    widest_mm: float


# Common practice, no source: making notes, section 3, "Defaults to ship".
_USUAL = (
    _Usual(148.0, 0.15, 0.12, 0.12, 0.20),
    _Usual(87.0, 0.18, 0.15, 0.14, 0.25),
    _Usual(76.2, 0.20, 0.15, 0.16, 0.28),
    _Usual(304.8 / 7, 0.28, 0.20, 0.22, 0.36),
)


@dataclass(frozen=True, slots=True)
class Joints:
    """Joints as a printer makes them, on a skin lying flat with u along X and v along Y.

    Parameters
    ----------
    perpend_mm : float
        Width of upright joints, whole pixels along X, mm.
    bed_mm : float
        Height of bed joints, whole pixels along Y, mm.
    depth_mm : float
        Depth, whole layers, mm.
    perpend_px, bed_px, layers : int
        The same, counted.
    findings : tuple of Finding
        What was changed from what the maker asked for.
    """

    perpend_mm: float
    bed_mm: float
    depth_mm: float
    perpend_px: int
    bed_px: int
    layers: int
    findings: tuple[Finding, ...]


def usual_joint(scale: Scale) -> tuple[float, float]:
    """Return the usual width and depth of joints at a scale, model mm, before snapping.

    Straight lines in model size (one over the ratio) between the published scales; beyond them the same share of the
    true joint as at the nearest.
    """
    usual = _usual(float(scale.ratio))
    return usual.width_mm, usual.depth_mm


def part_steps_mm(process: ResinProcess) -> tuple[float, float, float]:
    """Return pixel in X, pixel in Y and layer as they lie in a part before the process's scale correction, mm.

    Whole numbers of these become whole pixels and layers once the corrected part is on the printer.
    """
    return (
        process.pixel_x_mm / process.scale_x,
        process.pixel_y_mm / process.scale_y,
        process.layer_mm / process.scale_z,
    )


def _usual(ratio: float) -> _Usual:
    first, last = _USUAL[0], _USUAL[-1]
    for end, outside in ((first, ratio >= first.ratio), (last, ratio <= last.ratio)):
        if outside:
            return _Usual(ratio, *(value * end.ratio / ratio for value in end[1:]))
    upper = next(index for index, row in enumerate(_USUAL) if row.ratio <= ratio)
    a, b = _USUAL[upper - 1], _USUAL[upper]
    share = (1 / ratio - 1 / a.ratio) / (1 / b.ratio - 1 / a.ratio)
    return _Usual(ratio, *(low + share * (high - low) for low, high in zip(a[1:], b[1:], strict=True)))


def _whole(wanted_mm: float, step_mm: float, least_mm: float, least_steps: int) -> int:
    """Return the nearest number of steps that is under neither limit."""
    return max(round(wanted_mm / step_mm), ceil(least_mm / step_mm - _EXACT), least_steps)


def snapped_joints(
    scale: Scale,
    process: ResinProcess,
    *,
    width_mm: float = 0.0,
    depth_mm: float = 0.0,
    course_mm: float | None = None,
) -> Joints:
    """Make joints that a printer can make.

    Parameters
    ----------
    scale : Scale
        Decides the usual joint.
    process : ResinProcess
        Its pixels, layer and smallest groove.
    width_mm, depth_mm : float
        What the maker asks for at model size; 0 takes the usual.
    course_mm : float, optional
        Height of a course at model size; with it a joint too wide for its course is reported.

    Returns
    -------
    Joints
        Each width the nearest whole number of pixels, never under the smallest groove in pixels or in millimetres;
        depth the nearest whole number of layers, never under two layers or the shallowest groove.
    """
    usual = _usual(float(scale.ratio))
    wanted_mm, wanted_depth_mm = width_mm or usual.width_mm, depth_mm or usual.depth_mm
    step_x, step_y, step_z = part_steps_mm(process)
    perpend_px = _whole(wanted_mm, step_x, process.min_groove_mm, process.min_groove_px)
    bed_px = _whole(wanted_mm, step_y, process.min_groove_mm, process.min_groove_px)
    layers = _whole(wanted_depth_mm, step_z, process.min_groove_depth_mm, FEWEST_LAYERS)
    perpend_mm, bed_mm, made_depth_mm = (
        round(count * step, 9) for count, step in ((perpend_px, step_x), (bed_px, step_y), (layers, step_z))
    )
    findings = (
        *_changes("upright joints", "joint-width", wanted_mm, perpend_mm, step_x, "pixels", width_mm),
        *_changes("bed joints", "joint-width", wanted_mm, bed_mm, step_y, "pixels", width_mm),
        *_changes("joint depth", "joint-depth", wanted_depth_mm, made_depth_mm, step_z, "layers", depth_mm),
        *_looks((perpend_mm, bed_mm), usual, course_mm),
        *_depth_looks((perpend_mm, bed_mm), made_depth_mm, step_z),
    )
    return Joints(perpend_mm, bed_mm, made_depth_mm, perpend_px, bed_px, layers, findings)


def _changes(
    what: str, code: str, wanted_mm: float, made_mm: float, step_mm: float, steps: str, asked_mm: float
) -> tuple[Finding, ...]:
    """Report a size raised to a limit, or asked for and rounded."""
    change = made_mm - wanted_mm
    raised = change > step_mm / 2 + _EXACT
    if not raised and (not asked_mm or abs(change) < _EXACT):
        return ()
    source = "asked for" if asked_mm else "usual for the scale"
    reason = f"the least this printer makes in whole {steps}" if raised else f"a whole number of {steps}"
    return (
        Finding(
            Severity.WARNING if raised and asked_mm else Severity.NOTE,
            code,
            "",
            f"{what} made {made_mm:.3f} mm instead of {wanted_mm:.3f} mm ({source}): {reason}",
        ),
    )


def _looks(widths_mm: tuple[float, float], usual: _Usual, course_mm: float | None) -> tuple[Finding, ...]:
    """Report joints too wide for their scale or for their course; widths are upright and bed."""
    bed_mm, widest_mm = widths_mm[1], max(widths_mm)
    texts = []
    if widest_mm > usual.widest_mm + _EXACT:
        texts.append(
            (
                "joint-coarse",
                f"joints of {widest_mm:.3f} mm look coarse at this scale, where {usual.narrowest_mm:.2f} to "
                f"{usual.widest_mm:.2f} mm is usual",
            )
        )
    if course_mm is not None and bed_mm > course_mm * WIDEST_SHARE_OF_COURSE + _EXACT:
        texts.append(
            (
                "joint-grid",
                f"bed joints of {bed_mm:.3f} mm take more than a third of a course of {course_mm:.3f} mm and read as "
                "a grid",
            )
        )
    remedy = "choose a printer with smaller pixels or a narrower joint"
    return tuple(Finding(Severity.WARNING, code, "", text, remedy) for code, text in texts)


def _depth_looks(widths_mm: tuple[float, float], depth_mm: float, layer_mm: float) -> tuple[Finding, ...]:
    """Report joints deeper than wide by more than rounding to layers explains."""
    narrowest_mm = min(widths_mm)
    if depth_mm <= narrowest_mm + layer_mm / 2 + _EXACT:
        return ()
    text = f"joints {depth_mm:.3f} mm deep and {narrowest_mm:.3f} mm wide hold paint as black lines"
    return (Finding(Severity.WARNING, "joint-deep", "", text, "make the joints no deeper than wide"),)
