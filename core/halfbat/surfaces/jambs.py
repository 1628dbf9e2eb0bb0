"""Courses beside openings: laid to the jambs in proper bond, and cut where heads and sills run into the wall."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from halfbat.findings import Finding, Severity
from halfbat.surfaces.bonds import Bond
from halfbat.surfaces.coursing import Coursing
from halfbat.surfaces.laying import PERPEND_LIMIT_M, Array, CoursePattern, End, Laying, fits_unbroken, lay_wall
from halfbat.surfaces.masonry import Masonry
from halfbat.surfaces.opening_units import OpeningUnits
from halfbat.surfaces.pieces import Kind
from halfbat.surfaces.remnants import covered_span, middle_span

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
    """

    bond: Bond
    start_phase: int = 0
    end_phase: int = 0
    ends: tuple[End, End] = (End.QUOIN, End.QUOIN)
    perpend_limit_m: float = PERPEND_LIMIT_M
    where: str = ""


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


class _Layer:
    """Lays the courses of one wall; remembers its piers."""

    def __init__(self, masonry: Masonry, rules: JambRules) -> None:
        self._masonry = masonry
        self._rules = rules
        self._whole = masonry.laying
        self._joint = masonry.mm(masonry.brick.joint_m)
        # Heads and sills take a joint as printed, so a brick cut by no more than its widening is a whole one.
        self._slack = max(self._joint, masonry.joint_u_mm)
        self._piers: dict[tuple[float, float], Laying] = {}

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
        ends = [0.0, *(edge for jamb in jambs for edge in jamb), self._whole.length_mm]
        bounds: list[Array] = []
        kinds: list[int] = []
        for left, right in zip(ends[::2], ends[1::2], strict=True):
            pier = self._pier(left, right)
            pattern = pier.patterns[pier.course_pattern[course]]
            bounds.append(pattern.bounds_mm + left)
            kinds += [Kind.VOID] * bool(kinds) + [int(kind) for kind in pattern.kinds]
        return CoursePattern(np.concatenate(bounds), np.array(kinds, dtype=np.int8))

    def _pier(self, left: float, right: float) -> Laying:
        """Lay a pier so that it is least broken and its perpends stand nearest to those of the whole wall."""
        if (left, right) not in self._piers:
            rules, whole = self._rules, self._whole
            ends, phases = self._ends(left, right)
            masonry, length = self._masonry, right - left
            coursing = Coursing(whole.bed_v_mm, whole.gauge_mm, whole.height_mm)
            size = rules.bond, masonry.brick, masonry.scale
            chosen = [pair for pair in phases if self._fits(length, ends, pair)] or phases
            laid = [
                lay_wall(
                    length,
                    coursing,
                    *size,
                    pair[0],
                    end_phase=pair[1],
                    perpend_limit_m=rules.perpend_limit_m,
                    ends=ends,
                )
                for pair in chosen
            ]
            self._piers[left, right] = min(laid, key=lambda pier: self._faults(pier, left))
        return self._piers[left, right]

    def _ends(self, left: float, right: float) -> tuple[tuple[End, End], list[tuple[int, int]]]:
        """How a pier ends, and in which phases it may be laid."""
        rules = self._rules
        first, last = left <= 0.0, right >= self._whole.length_mm
        ends = rules.ends[0] if first else End.JAMB, rules.ends[1] if last else End.JAMB
        return ends, list(product((rules.start_phase,) if first else (0, 1), (rules.end_phase,) if last else (0, 1)))

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
        broken = sorted((left, right) for (left, right), pier in self._piers.items() if pier.broken)
        return [
            Finding(
                Severity.NOTE,
                "broken-pier",
                self._rules.where,
                f"the pier from {left / module:.2f} to {right / module:.2f} bricks along is broken in its middle",
                self._unbroken(left, right),
            )
            for left, right in broken
        ]

    def _unbroken(self, left: float, right: float) -> str:
        """Say which lengths next to that of a pier need no broken bond."""
        half, length = self._masonry.half_mm, right - left
        ends, phases = self._ends(left, right)
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
