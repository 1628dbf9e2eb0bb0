"""Bricks laid on one wall, or on one stretch of it between two ends."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import lcm

import numpy as np
import numpy.typing as npt

from halfbat.errors import KitError
from halfbat.findings import Finding, Place, Severity
from halfbat.surfaces.bonds import Aspect, Bond, Pieces
from halfbat.surfaces.coursing import Coursing
from halfbat.surfaces.fitting import Fit, RowPlan, fit_rows, nearest_unbroken, unbroken_total
from halfbat.surfaces.formats import BrickFormat
from halfbat.surfaces.pieces import Kind, Modules
from halfbat.units import Scale

Array = npt.NDArray[np.float64]
PERPEND_LIMIT_M = 0.003


class End(StrEnum):
    """What a stretch of wall ends at: an outer corner, its own end, an opening, or an inner corner."""

    QUOIN = "quoin"
    STOPPED = "stopped"
    JAMB = "jamb"
    RETURN = "return"


@dataclass(frozen=True, slots=True, eq=False)
class CoursePattern:
    """The pieces of one course.

    Parameters
    ----------
    bounds_mm : ndarray, shape (n + 1,)
        Centres of the perpends, model millimetres from the left end. The outer two are centres too: half a joint
        outside the wall, or half a joint inside it where the course butts in an inner corner.
    kinds : ndarray of int8, shape (n,)
        Values of `Kind`.
    """

    bounds_mm: Array
    kinds: npt.NDArray[np.int8]


@dataclass(frozen=True, slots=True, eq=False)
class Laying:
    """Bricks laid on a wall.

    Parameters
    ----------
    patterns : tuple of CoursePattern
        The different courses.
    course_pattern : ndarray of intp, shape (C,)
        Pattern of each course, bottom first.
    bed_v_mm : ndarray, shape (C,)
        Centre of the bed joint under each course, model millimetres.
    gauge_mm, length_mm, height_mm : float
        One course with its bed joint, and the size of the wall, model millimetres.
    perpend_change_m : float
        By how much the perpend between two stretchers is wider than the format's, full size, metres.
    broken : bool
        True where the bond is broken in mid wall.
    findings : tuple of Finding
        Broken bond and cut bats.
    """

    patterns: tuple[CoursePattern, ...]
    course_pattern: npt.NDArray[np.intp]
    bed_v_mm: Array
    gauge_mm: float
    length_mm: float
    height_mm: float
    perpend_change_m: float
    broken: bool
    findings: tuple[Finding, ...] = ()

    @property
    def courses(self) -> int:
        """Number of courses."""
        return len(self.course_pattern)


def lay_wall(
    length_mm: float,
    coursing: Coursing,
    bond: Bond,
    brick: BrickFormat,
    scale: Scale,
    phase: int = 0,
    *,
    end_phase: int | None = None,
    perpend_limit_m: float = PERPEND_LIMIT_M,
    ends: tuple[End, End] = (End.QUOIN, End.QUOIN),
    where: str = "",
) -> Laying:
    """Lay a wall in a bond.

    All courses share one natural length and one stretch of all perpend centres, so that every course of one pattern
    stands plumb over the others. Where the limit does not allow that, the bond is broken in mid wall.

    Parameters
    ----------
    length_mm : float
        Length of the wall, model millimetres.
    coursing : Coursing
        Courses of the building.
    bond, brick, scale
        What is laid, and how small.
    phase : {0, 1}
        0 where the left quoin shows a stretcher face in course 0, 1 where it shows a header face.
    end_phase : {0, 1}, optional
        The same for the right quoin; by default as the left, so that the wall is its own mirror image.
    perpend_limit_m : float
        Most a perpend between two stretchers may be opened or tightened, full size, metres.
    ends : tuple of End
        What stands at the left and right. At a `RETURN` (an inner corner) a course either butts with a joint or runs
        through behind the other wall.
    where : str
        Name of the wall for findings, such as ``"wall A"``.

    Returns
    -------
    Laying

    Raises
    ------
    KitError
        If the wall has no length, or the bond does not suit the brick.
    """
    if not length_mm > 0:
        raise KitError(f"a wall cannot be {length_mm:g} mm long", where, "give it a length above zero")
    modules = bond.modules(brick)
    phases = (phase, phase if end_phase is None else end_phase)
    plans, order, through = _row_plans(bond, modules, phases, ends)
    joint_mm = scale.to_mm(brick.joint_m)
    outer_mm = [joint_mm / 2 * (-1 if end is End.RETURN else 1) for end in ends]
    span_mm = length_mm + sum(outer_mm)
    unit_mm = scale.to_mm(modules.unit_m)
    stretch = perpend_limit_m / brick.stretcher_module_m
    fit = fit_rows(plans, order, span_mm / unit_mm, stretch, modules)
    patterns = tuple(
        CoursePattern(
            _bounds(row.perpends, -outer_mm[0], length_mm + outer_mm[1], length_mm, joint_mm, runs),
            np.array(row.kinds, dtype=np.int8),
        )
        for row, runs in zip(fit.rows, through, strict=True)
    )
    change_m = (span_mm / unit_mm / fit.total - 1) * brick.stretcher_module_m
    return Laying(
        patterns,
        np.resize(np.array(order, dtype=np.intp), coursing.courses),
        coursing.bed_v_mm,
        coursing.gauge_mm,
        length_mm,
        coursing.height_mm,
        change_m,
        fit.broken,
        _fit_findings(fit, plans, modules, sum(outer_mm) / scale.mm_per_m, _middle(length_mm, coursing, where), where),
    )


def fits_unbroken(
    length_mm: float,
    bond: Bond,
    brick: BrickFormat,
    scale: Scale,
    phases: tuple[int, int],
    *,
    perpend_limit_m: float = PERPEND_LIMIT_M,
    ends: tuple[End, End] = (End.QUOIN, End.QUOIN),
) -> float | None:
    """Return the change of the perpends that lets a wall stand in unbroken bond, or None if no change allowed does.

    Parameters
    ----------
    length_mm, bond, brick, scale, perpend_limit_m, ends
        As for `lay_wall`.
    phases : tuple of int
        Phase at the left and right end.

    Returns
    -------
    float or None
        Full size, metres, positive where perpends are opened.
    """
    modules = bond.modules(brick)
    plans, _, _ = _row_plans(bond, modules, phases, ends)
    joint_m = sum(brick.joint_m / 2 * (-1 if end is End.RETURN else 1) for end in ends)
    length = (length_mm / scale.mm_per_m + joint_m) / modules.unit_m
    total = unbroken_total(plans, length, perpend_limit_m / brick.stretcher_module_m, modules)
    return None if total is None else (length / total - 1) * brick.stretcher_module_m


def _row_plans(
    bond: Bond, modules: Modules, phases: tuple[int, int], ends: tuple[End, End]
) -> tuple[list[RowPlan], list[int], list[tuple[bool, bool]]]:
    """Return the different rows of a wall, which of them each course of one cycle is, and which ends run through.

    At an inner corner the row that shows a header face is the one that runs through behind the other wall.
    """
    found: list[tuple[RowPlan, tuple[bool, bool]]] = []
    order: list[int] = []
    rows = bond.courses
    for course in range(lcm(len(rows), 2)):
        row = rows[course % len(rows)]
        step = course if bond.alternates else 0
        left, right = ((step + phase) % 2 for phase in phases)
        face: Aspect = row.header_face if left else row.stretcher_face
        far = face.start if left == right else face.swapped
        bat = Kind.HALF_BAT if bond.half_brick else Kind.HEADER
        plan = RowPlan(
            _at_end(face.start, ends[0], bond, modules),
            face.core,
            face.period,
            _at_end(far, ends[1], bond, modules),
            bat,
        )
        through = (left == 1 and ends[0] is End.RETURN, right == 1 and ends[1] is End.RETURN)
        if (plan, through) not in found:
            found.append((plan, through))
        order.append(found.index((plan, through)))
    return [plan for plan, _ in found], order, [through for _, through in found]


def _at_end(pieces: Pieces, end: End, bond: Bond, modules: Modules) -> Pieces:
    """Name the pieces at an end.

    Without a wall round the corner, a half-brick wall has half bats for headers. On edge, what brings a header over
    the middle of a stretcher is often another whole header face, and no closer.
    """
    names = {kind: kind for kind in Kind}
    if bond.half_brick and end in (End.STOPPED, End.JAMB):
        names[Kind.HEADER] = Kind.HALF_BAT
    if bond.on_edge and modules.units(Kind.QUEEN_CLOSER) == modules.units(Kind.HEADER):
        names[Kind.QUEEN_CLOSER] = Kind.HEADER
    return tuple(names[kind] for kind in pieces)


def _bounds(
    perpends: tuple[float, ...],
    first_mm: float,
    last_mm: float,
    length_mm: float,
    joint_mm: float,
    through: tuple[bool, bool],
) -> Array:
    """Spread perpends evenly from the first centre to the last; where a row runs through, no joint shows."""
    bounds = first_mm + np.array(perpends) * ((last_mm - first_mm) / perpends[-1])
    bounds[-1] = last_mm
    if through[0]:
        bounds[0] = -joint_mm / 2
    if through[1]:
        bounds[-1] = length_mm + joint_mm / 2
    return bounds


def _middle(length_mm: float, coursing: Coursing, where: str) -> Place | None:
    """Return the middle of a wall, three courses wide, over its whole height."""
    half, beside = length_mm / 2, 1.5 * coursing.gauge_mm
    return Place.on_wall(where, half - beside, 0.0, half + beside, coursing.height_mm)


def _fit_findings(
    fit: Fit, plans: list[RowPlan], modules: Modules, outer_m: float, place: Place | None, where: str
) -> tuple[Finding, ...]:
    """Tell that the bond is broken, and at which length (outside, full size) it would not be."""
    if not fit.broken:
        return ()
    bricks = fit.total / (2 * modules.ratio)
    text = f"{bricks:.2f} bricks long: the bond is broken in mid wall" + (" with cut bats" if fit.cut else "")
    whole = nearest_unbroken(plans, fit.total, modules)
    remedy = ""
    if whole is not None and whole * modules.unit_m > outer_m:
        remedy = f"make the wall {(whole * modules.unit_m - outer_m) * 1000:.1f} mm long for unbroken bond"
    return (Finding(Severity.NOTE, "broken-bond", where, text, remedy, place),)
