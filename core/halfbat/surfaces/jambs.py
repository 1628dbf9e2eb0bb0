"""Courses beside openings: laid to the jambs in proper bond, and cut where heads and sills run into the wall."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import NamedTuple

import numpy as np

from halfbat.findings import Finding, Place, Severity
from halfbat.surfaces.bonds import Bond
from halfbat.surfaces.coursing import Coursing
from halfbat.surfaces.laying import PERPEND_LIMIT_M, CoursePattern, End, Laying, fits_unbroken, lay_wall
from halfbat.surfaces.masonry import Masonry
from halfbat.surfaces.opening_units import OpeningUnits
from halfbat.surfaces.pieces import Kind
from halfbat.surfaces.remnants import covered_span, middle_span
from halfbat.surfaces.stretches import Course, joined, whole_stretch

#: Courses looked at to see whether a pier keeps the perpends of its wall.
_HALVES_TRIED = 8
_COMPARED = 2
#: What perpends a quarter brick out of plumb with the wall's weigh, against one odd piece in a course.
_OUT_OF_PLUMB = 4.0
_Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class JambRules:
    """How the wall was laid, so that its piers can be laid the same way.

    Parameters
    ----------
    bond : Bond
        Its bond.
    start_phase, end_phase : {0, 1}
        As for `halfbat.surfaces.lay_wall`.
    ends : tuple of End
        What stands at its two ends.
    perpend_limit_m : float
        Most a perpend may be opened or tightened, full size, metres.
    where : str
        Name for findings.
    courses : tuple of tuple of Stretch
        Where the wall's outline steps, the stretches of each course; empty where all run from end to end.
    """

    bond: Bond
    start_phase: int = 0
    end_phase: int = 0
    ends: tuple[End, End] = (End.QUOIN, End.QUOIN)
    perpend_limit_m: float = PERPEND_LIMIT_M
    where: str = ""
    courses: tuple[Course, ...] = ()


def laying_with_openings(masonry: Masonry, openings: Sequence[OpeningUnits], rules: JambRules) -> Laying:
    """Lay the courses of a wall round its openings.

    Each pier is laid from its quoin to the jamb, or from jamb to jamb, with the closers and bats of the bond at both
    ends, and broken bond in its middle where whole bricks do not fill it. Over heads and under sills the wall's own
    bond goes on. Where a lintel, a sill or an arch runs into a course, its bricks are cut; a remnant under a quarter
    brick is made up with its neighbour.

    Parameters
    ----------
    masonry : Masonry
        The wall without openings.
    openings : sequence of OpeningUnits
        Its openings.
    rules : JambRules
        How it was laid.

    Returns
    -------
    Laying
        With pieces of `Kind.VOID` where an opening or its head or sill takes the whole height of a course. Bricks
        beside a void reach half a joint over its edge, to be cut by what stands there.
    """
    if not openings:
        return masonry.laying
    return _Layer(masonry, rules).lay(openings)


class _Pier(NamedTuple):
    """A stretch between jambs or corners: what stands at its ends, and the phases it may have there."""

    left: float
    right: float
    ends: tuple[End, End]
    phases: tuple[tuple[int, ...], tuple[int, ...]]


class _Layer:
    """Lays the courses of one wall; remembers its piers."""

    def __init__(self, masonry: Masonry, rules: JambRules) -> None:
        self._masonry = masonry
        self._rules = rules
        self._whole = masonry.laying
        self._joint = masonry.mm(masonry.brick.joint_m)
        # Heads and sills take a joint as printed, so a brick cut by no more than its widening is a whole one.
        self._slack = max(self._joint, masonry.joint_u_mm)
        self._piers: dict[_Pier, Laying] = {}

    def lay(self, openings: Sequence[OpeningUnits]) -> Laying:
        """Lay all courses."""
        bottoms, tops = self._masonry.courses
        patterns: list[CoursePattern] = []
        known: dict[tuple[bytes, bytes], int] = {}
        order: list[int] = []
        for course in range(self._whole.courses):
            pattern = self._course(course, float(bottoms[course]), float(tops[course]), openings)
            key = pattern.bounds_mm.tobytes(), pattern.kinds.tobytes()
            if key not in known:
                known[key] = len(patterns)
                patterns.append(pattern)
            order.append(known[key])
        findings = (*self._whole.findings, *self._findings())
        return replace(
            self._whole, patterns=tuple(patterns), course_pattern=np.array(order, dtype=np.intp), findings=findings
        )

    def _course(self, course: int, low: float, high: float, openings: Sequence[OpeningUnits]) -> CoursePattern:
        middle = (low + high) / 2
        jambs: list[_Span] = []
        cuts: list[tuple[_Span, _Span]] = []
        for opening in openings:
            if opening.reach[1] >= high or opening.reach[3] <= low:
                continue
            span = covered_span(opening.areas, low, high)
            if span is None:
                continue
            cuts.append((span, middle_span(opening.areas, middle)))
            if opening.jambs and opening.jambs[2] < middle < opening.jambs[3]:
                jambs.append(opening.jambs[:2])
        whole = self._whole.patterns[self._whole.course_pattern[course]]
        pattern = self._between_jambs(course, sorted(jambs)) if jambs else whole
        for span, seen in sorted(cuts):
            pattern = self._cut(pattern, span, seen)
        return pattern

    def _between_jambs(self, course: int, jambs: list[_Span]) -> CoursePattern:
        """Lay one course of piers, with voids between them."""
        spans: list[_Span] = []
        parts: list[CoursePattern] = []
        for stretch in self._stretches(course):
            inside = [jamb for jamb in jambs if stretch.left_mm < jamb[1] and jamb[0] < stretch.right_mm]
            ends = [stretch.left_mm, *(edge for jamb in inside for edge in jamb), stretch.right_mm]
            for left, right in zip(ends[::2], ends[1::2], strict=True):
                first, last = left <= stretch.left_mm, right >= stretch.right_mm
                pier = self._pier(
                    _Pier(
                        left,
                        right,
                        (stretch.ends[0] if first else End.JAMB, stretch.ends[1] if last else End.JAMB),
                        ((stretch.phases[0],) if first else (0, 1), (stretch.phases[1],) if last else (0, 1)),
                    )
                )
                spans.append((left, right))
                parts.append(pier.patterns[pier.course_pattern[course]])
        return joined(self._whole.length_mm, spans, parts)

    def _stretches(self, course: int) -> Course:
        """What a course is laid between, openings apart."""
        rules = self._rules
        if rules.courses:
            return rules.courses[course]
        return whole_stretch(self._whole.length_mm, (rules.start_phase, rules.end_phase), rules.ends)

    def _pier(self, pier: _Pier) -> Laying:
        """Lay a pier so that it is least broken and its perpends stand nearest to those of the whole wall."""
        if pier not in self._piers:
            rules, whole = self._rules, self._whole
            masonry, length, phases = self._masonry, pier.right - pier.left, list(product(*pier.phases))
            coursing = Coursing(whole.bed_v_mm, whole.gauge_mm, whole.height_mm)
            size = rules.bond, masonry.brick, masonry.scale
            chosen = [pair for pair in phases if self._fits(length, pier.ends, pair)] or phases
            laid = [
                lay_wall(
                    length,
                    coursing,
                    *size,
                    pair[0],
                    end_phase=pair[1],
                    perpend_limit_m=rules.perpend_limit_m,
                    ends=pier.ends,
                )
                for pair in chosen
            ]
            self._piers[pier] = min(laid, key=lambda made: self._faults(made, pier.left))
        return self._piers[pier]

    def _fits(self, length: float, ends: tuple[End, End], phases: tuple[int, int]) -> bool:
        """Tell whether a pier of this length is whole bricks of the bond."""
        size, limit = (self._rules.bond, self._masonry.brick, self._masonry.scale), self._rules.perpend_limit_m
        return fits_unbroken(length, *size, phases, perpend_limit_m=limit, ends=ends) is not None

    def _faults(self, pier: Laying, left: float) -> float:
        """Weigh odd pieces of a pier, and how far its perpends stand from those of the whole wall."""
        quarter = self._masonry.half_mm / 2
        faults = 0.0
        for course in range(min(_COMPARED, pier.courses)):
            own = pier.patterns[pier.course_pattern[course]]
            wall = self._whole.patterns[self._whole.course_pattern[course]].bounds_mm
            perpends = own.bounds_mm[1:-1] + left
            if len(perpends):
                off = np.abs(perpends[:, None] - wall[None]).min(axis=1)
                faults += _OUT_OF_PLUMB * float(np.minimum(off / quarter, 1.0).mean())
            faults += int(np.isin(own.kinds, (Kind.CUT_BAT, Kind.THREE_QUARTER_BAT)).sum())
        return faults

    def _cut(self, pattern: CoursePattern, span: _Span, seen: _Span) -> CoursePattern:
        """Make room in a course for what stands in a span; bricks are judged by what is seen at half their height."""
        edges = span[0] + self._joint / 2, span[1] - self._joint / 2
        if edges[1] <= edges[0]:
            # No more than a corner reaches into the course: the brick there is cut by the opening itself.
            return pattern
        bounds, kinds = pattern.bounds_mm, [Kind(kind) for kind in pattern.kinds]
        left = self._shortened([float(u) for u in bounds], kinds, edges[0], span[0] - seen[0])
        right = self._shortened([-float(u) for u in bounds[::-1]], kinds[::-1], -edges[1], seen[1] - span[1])
        right_bounds, right_kinds = [-u for u in right[0]][::-1], right[1][::-1]
        # A head that runs to the quoin leaves no brick beside it.
        if not left[1]:
            left = [float(bounds[0])], []
        if not right_kinds:
            right_bounds = [float(bounds[-1])]
        made = [*left[0], *right_bounds]
        return CoursePattern(np.array(made), np.array([*left[1], Kind.VOID, *right_kinds], dtype=np.int8))

    def _shortened(
        self, bounds: list[float], kinds: list[Kind], edge: float, lost: float
    ) -> tuple[list[float], list[Kind]]:
        """Return the pieces up to an edge, the last one cut to it; none thinner than a quarter brick if possible.

        `lost` is what a slanting cut takes off the last piece at half its height.
        """
        whole, slack = 2 * self._masonry.half_mm, self._slack
        index = next((place for place, end in enumerate(bounds[1:]) if end >= edge - slack), len(kinds) - 1)
        if edge - bounds[0] < slack:
            return [], []
        kept, names = [*bounds[: index + 1], edge], kinds[: index + 1]
        if abs(bounds[index + 1] - edge) + lost <= slack or names[-1] is Kind.VOID:
            return kept, names
        size = edge - lost - bounds[index]
        if size < whole / 4 - self._joint / 2 and index > 0 and kinds[index - 1] is not Kind.VOID:
            both = edge - lost - bounds[index - 1]
            if both <= whole + slack:
                return [*bounds[:index], edge], [*kinds[: index - 1], self._named(both)]
            kept[-2] = bounds[index - 1] + whole * 3 / 4
            return kept, [*kinds[: index - 1], Kind.THREE_QUARTER_BAT, self._named(edge - lost - kept[-2])]
        return kept, [*names[:-1], self._named(size)]

    def _named(self, size: float) -> Kind:
        """Name of a cut piece by its length with a joint."""
        whole, slack = 2 * self._masonry.half_mm, self._slack
        for kind, part in ((Kind.STRETCHER, 1.0), (Kind.THREE_QUARTER_BAT, 0.75), (Kind.HALF_BAT, 0.5)):
            if abs(size - part * whole) <= slack:
                return kind
        return Kind.CUT_BAT

    def _findings(self) -> list[Finding]:
        """Tell which piers are of broken bond."""
        module = 2 * self._masonry.half_mm
        broken = [pier for pier, made in self._piers.items() if made.broken]
        return [
            Finding(
                Severity.NOTE,
                "broken-pier",
                self._rules.where,
                f"the pier from {pier.left / module:.2f} to {pier.right / module:.2f} bricks along is broken in its "
                "middle",
                self._unbroken(pier),
                Place.on_wall(self._rules.where, pier.left, 0.0, pier.right, self._masonry.laying.height_mm),
            )
            for pier in sorted({(pier.left, pier.right): pier for pier in broken}.values(), key=lambda one: one[:2])
        ]

    def _unbroken(self, pier: _Pier) -> str:
        """Say which lengths next to that of a pier need no broken bond."""
        half, length, ends = self._masonry.half_mm, pier.right - pier.left, pier.ends
        phases = list(product(*pier.phases))
        now = (length + self._joint) / half
        near = range(max(1, round(now) - _HALVES_TRIED), round(now) + _HALVES_TRIED + 1)
        good = [n for n in near if any(self._fits(n * half - self._joint, ends, pair) for pair in phases)]
        if not good:
            return "move the openings"
        around = [max((n for n in good if n <= now), default=None), min((n for n in good if n > now), default=None)]
        sizes = " or ".join(self._size(n) for n in around if n is not None)
        return f"move the openings so that it is {sizes} long"

    def _size(self, halves: int) -> str:
        full_m = (halves * self._masonry.half_mm - self._joint) / self._masonry.scale.mm_per_m
        return f"{full_m:.3f} m ({halves / 2:g} bricks less a joint)"
