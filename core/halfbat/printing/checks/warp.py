"""What makes thin resin parts bend: their length, their slenderness, and uneven thickness."""

from __future__ import annotations

import numpy as np

from halfbat.findings import Finding, Severity
from halfbat.parts.bases import RELIEF_SHARE
from halfbat.printing.checks.grooves import relief_levels_mm
from halfbat.printing.checks.subject import Subject
from halfbat.printing.rasters import eroded, step_px

LENGTH_TO_THICKNESS = 100.0
WARN_LENGTH_MM = 120.0
SPLIT_LENGTH_MM = 150.0
LENGTH_TO_WIDTH = 10.0
STRIPS = frozenset({"cover", "fascia", "barge board", "ridge", "gutter"})
"""Kinds of parts that are strips by nature, and are glued down over all their length."""
CHANGE_RATIO = 2.0
CHANGE_WITHIN_MM = 0.3
CHANGE_LEAST_MM = 0.5
_CHANGE_SHARE = 0.25
_ROUNDING = 1e-3
_LEVEL_ROUNDING = 2e-3


def check_length(subject: Subject) -> tuple[Finding, ...]:
    """A flat panel over 120 mm may bow; one over 150 mm is to be split."""
    longest = max(subject.size_mm[:2])
    if subject.resin is None or longest <= WARN_LENGTH_MM + _ROUNDING:
        return ()
    split = longest > SPLIT_LENGTH_MM + _ROUNDING
    text = f"is {longest:.1f} mm long; flat resin parts over {WARN_LENGTH_MM:g} mm bow" + (
        f", over {SPLIT_LENGTH_MM:g} mm hardly any stays flat" if split else ""
    )
    severity, code = (Severity.FAILURE, "panel-split") if split else (Severity.WARNING, "panel-long")
    return (subject.finding(severity, code, text, "choose a smaller panel limit, so that the wall is split"),)


def check_thickness(subject: Subject) -> tuple[Finding, ...]:
    """A panel is not longer than a hundred times its thickness; a strip is glued straight along a wall or roof."""
    if subject.resin is None or subject.part.kind in STRIPS:
        return ()
    thickness = subject.thickness_mm
    usual = float(np.median(thickness[thickness > 0])) if (thickness > 0).any() else 0.0
    longest = max(subject.size_mm[:2])
    if not usual or longest / usual <= LENGTH_TO_THICKNESS + _ROUNDING:
        return ()
    text = f"is {longest:.1f} mm long and {usual:.2f} mm thick, over {LENGTH_TO_THICKNESS:g} to one"
    return (subject.finding(Severity.WARNING, "panel-thin", text, "make the base thicker or the panels shorter"),)


def check_slenderness(subject: Subject) -> tuple[Finding, ...]:
    """A part is not longer than ten times its width; strips are, and are pressed straight when glued."""
    if subject.resin is None:
        return ()
    width, length = sorted(subject.size_mm[:2])
    if length / width <= LENGTH_TO_WIDTH + _ROUNDING:
        return ()
    text = f"is {length:.1f} mm long and {width:.1f} mm wide, over {LENGTH_TO_WIDTH:g} to one, and may bend"
    severity = Severity.NOTE if subject.part.kind in STRIPS else Severity.WARNING
    return (subject.finding(severity, "slender", text, "hold it straight against a rule when gluing it"),)


def check_relief(subject: Subject) -> tuple[Finding, ...]:
    """Relief on one face is a small share of the base behind it."""
    levels = relief_levels_mm(subject)
    if levels is None:
        return ()
    base = levels[0] - float(subject.part.solid.bounds_mm[0, 2])
    relief = levels[1] - levels[0]
    if relief <= (RELIEF_SHARE + _LEVEL_ROUNDING) * base:
        return ()
    share = relief / max(base, relief)
    text = f"joints take {100 * share:.0f} % of the base of {base:.2f} mm, over {100 * RELIEF_SHARE:g} %: it may bend"
    return (subject.finding(Severity.WARNING, "relief-share", text, "make the base thicker or the joints shallower"),)


def check_section_change(subject: Subject) -> tuple[Finding, ...]:
    """Thickness does not change by more than two to one from one place to the next, along much of a part."""
    if subject.resin is None:
        return ()
    thickness, pitch = subject.thickness_mm, subject.slice_grid.pitch_mm[0]
    step = step_px(CHANGE_WITHIN_MM, pitch)
    # Near its outline a part may taper to an edge.
    thickness = np.where(eroded(thickness > 0, subject.size_mm[2] / pitch), thickness, 0.0)
    length, where = 0.0, np.zeros(thickness.shape, dtype=np.bool_)
    for a, b in ((thickness[:, step:], thickness[:, :-step]), (thickness[step:], thickness[:-step])):
        low, high = np.minimum(a, b), np.maximum(a, b)
        abrupt = (low > 0) & (high > CHANGE_RATIO * low) & (high - low > CHANGE_LEAST_MM)
        length += float(abrupt.sum()) * pitch / step
        where[: abrupt.shape[0], : abrupt.shape[1]] |= abrupt
    if length <= _CHANGE_SHARE * max(subject.size_mm[:2]):
        return ()
    text = f"thickness more than doubles at once along {length:.0f} mm, where it may bend or crack"
    place = subject.place(where, subject.slice_grid)
    return (subject.finding(Severity.WARNING, "section-change", text, "even out the thickness with a slope", place),)
