"""Running every check over a kit's parts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from time import perf_counter

from halfbat.findings import Finding, Severity
from halfbat.parts.kit_plan import Plan
from halfbat.parts.part import Part
from halfbat.printing.checks import (
    bent_seams,
    courses,
    first_layers,
    fits,
    grooves,
    lifting,
    marks,
    necks,
    overhangs,
    pockets,
    seams,
    sharing,
    solidity,
    walls,
    warp,
)
from halfbat.printing.checks.subject import PartCheck, Subject
from halfbat.printing.room import room_findings
from halfbat.settings import Settings

PART_CHECKS: tuple[PartCheck, ...] = (
    solidity.check_body,
    solidity.check_crossing,
    solidity.check_size,
    grooves.check_width,
    grooves.check_evenness,
    grooves.check_depth,
    necks.check_necks,
    necks.check_stretches,
    necks.check_raised,
    necks.check_lands,
    first_layers.check_fine_features,
    first_layers.check_lift,
    warp.check_length,
    warp.check_thickness,
    warp.check_slenderness,
    warp.check_relief,
    warp.check_section_change,
    pockets.check_pockets,
    pockets.check_cups,
    pockets.check_holes,
    overhangs.check_overhangs,
    overhangs.check_islands,
    walls.check_lines,
    marks.check_reading,
    marks.check_strokes,
    marks.check_place,
)
KitCheck = Callable[[Sequence[Part], Plan, Settings], tuple[Finding, ...]]
KIT_CHECKS: tuple[KitCheck, ...] = (
    fits.check_lip,
    fits.check_glue_gap,
    sharing.check_sharing,
    lifting.check_lifting,
    seams.check_covers,
    seams.check_open_seams,
    seams.check_backing,
    bent_seams.check_bent_seams,
    courses.check_datum,
    courses.check_phase,
)


@dataclass(frozen=True, slots=True)
class CheckReport:
    """What checks found.

    Parameters
    ----------
    findings : tuple of Finding
        In the order of the parts.
    count : int
        Checks made: each kind on each part counts as one, and each kind on the whole kit.
    seconds : float
        Time they took; not a part of the kit, which is the same whenever it is made.
    """

    findings: tuple[Finding, ...]
    count: int
    seconds: float


def check_part(part: Part, settings: Settings) -> CheckReport:
    """Check one part by itself; a bought part is not checked."""
    start = perf_counter()
    if part.process == "bought":
        return CheckReport((), 0, 0.0)
    subject = Subject.of(part, settings)
    findings = [finding for check in PART_CHECKS for finding in check(subject)]
    findings += room_findings(part, settings)
    return CheckReport(tuple(findings), len(PART_CHECKS) + 1, perf_counter() - start)


def check_together(parts: Sequence[Part], plan: Plan, settings: Settings) -> CheckReport:
    """Check how the parts of a kit go together."""
    start = perf_counter()
    findings = [finding for check in KIT_CHECKS for finding in check(parts, plan, settings)]
    findings += check_numbers(parts)
    return CheckReport(tuple(findings), len(KIT_CHECKS) + 1, perf_counter() - start)


def check_numbers(parts: Sequence[Part]) -> tuple[Finding, ...]:
    """Every number is given once."""
    given = Counter(part.number.casefold() for part in parts)
    return tuple(
        Finding(
            Severity.FAILURE, "number-not-unique", number.upper(), f"{count} parts have this number", "renumber them"
        )
        for number, count in given.items()
        if count > 1
    )


def check_kit(parts: Sequence[Part], plan: Plan, settings: Settings) -> CheckReport:
    """Run every check.

    Parameters
    ----------
    parts : sequence of Part
        All parts of the kit.
    plan : Plan
        How its walls were settled, for what concerns several parts.
    settings : Settings
        Both processes, and the sizes chosen.
    """
    return gathered([*(check_part(part, settings) for part in parts), check_together(parts, plan, settings)])


def gathered(reports: Sequence[CheckReport]) -> CheckReport:
    """Put reports together."""
    return CheckReport(
        tuple(finding for report in reports for finding in report.findings),
        sum(report.count for report in reports),
        sum(report.seconds for report in reports),
    )
