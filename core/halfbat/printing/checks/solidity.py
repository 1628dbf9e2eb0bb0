"""Whether a part is one closed body of a size that is meant in millimetres."""

from __future__ import annotations

from halfbat.findings import Finding, Severity
from halfbat.printing.checks.subject import Subject
from halfbat.printing.rasters import winding
from halfbat.solids.verify import faults

SMALLEST_MM = 1.0
LARGEST_MM = 1000.0
_SELF_CROSS_PX = 3


def check_body(subject: Subject) -> tuple[Finding, ...]:
    """Closed, one shell, facing outward, no triangle without area."""
    return tuple(
        subject.finding(Severity.FAILURE, "solid-fault", f"the part {fault}", "make the kit again from a tidier mesh")
        for fault in faults(subject.part.solid)
    )


def check_crossing(subject: Subject) -> tuple[Finding, ...]:
    """No surface passes through another: nothing is wound round twice, or backwards."""
    grid = subject.grid(max(0.1, max(subject.size_mm[:2]) / 500))
    for band in subject.bands:
        wound = winding(band.segments, grid)
        crossed = (wound < 0) | (wound > 1)
        wrong = int(crossed.sum())
        if wrong >= _SELF_CROSS_PX:
            text = (
                f"the part crosses itself over {wrong * grid.pixel_mm2:.2f} mm2, {band.low_mm:.2f} mm above its plate"
            )
            place = subject.place(crossed, grid, band.low_mm, band.high_mm)
            remedy = "make the kit again from a tidier mesh"
            return (subject.finding(Severity.FAILURE, "self-cross", text, remedy, place),)
    return ()


def check_size(subject: Subject) -> tuple[Finding, ...]:
    """A part of a model is neither under a millimetre long nor over a metre."""
    longest = max(subject.size_mm)
    if SMALLEST_MM <= longest <= LARGEST_MM:
        return ()
    text = f"is {longest:.4g} mm long, which no part of a model is"
    return (subject.finding(Severity.FAILURE, "size-implausible", text, "model the building in metres at full size"),)
