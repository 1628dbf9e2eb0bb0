"""Courses of a wall whose outline steps: each course is laid from the corner where it starts to where it ends."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from halfbat.surfaces.laying import CoursePattern, End, Laying
from halfbat.surfaces.pieces import Kind

_HAIR_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Stretch:
    """What a course is laid between.

    Parameters
    ----------
    left_mm, right_mm : float
        Along the wall, model millimetres.
    phases : tuple of {0, 1}
        At the left and the right, as for `halfbat.surfaces.lay_wall`.
    ends : tuple of End
        What stands there.
    """

    left_mm: float
    right_mm: float
    phases: tuple[int, int]
    ends: tuple[End, End]

    @property
    def length_mm(self) -> float:
        """From end to end."""
        return self.right_mm - self.left_mm

    @property
    def span_mm(self) -> tuple[float, float]:
        """Both ends along the wall."""
        return self.left_mm, self.right_mm


Course = tuple[Stretch, ...]


def whole_stretch(length_mm: float, phases: tuple[int, int], ends: tuple[End, End]) -> Course:
    """Return the only stretch of a course that runs from end to end of a wall."""
    return (Stretch(0.0, length_mm, phases, ends),)


def lay_stretches(length_mm: float, courses: Sequence[Course], lay: Callable[[Stretch], Laying]) -> Laying:
    """Lay a wall course by course.

    Parameters
    ----------
    length_mm : float
        Of the wall, model millimetres.
    courses : sequence of tuple of Stretch
        Stretches of each course from left to right, bottom course first.
    lay : callable
        Lays all courses of the wall over one stretch.

    Returns
    -------
    Laying
        With pieces of `Kind.VOID` where a course has no stretch. Its stretch of perpends is that of the longest.
    """
    by_stretch = {stretch: lay(stretch) for course in dict.fromkeys(courses) for stretch in course}
    longest = max(by_stretch, key=lambda stretch: stretch.length_mm)
    if len(by_stretch) == 1 and longest.left_mm == 0.0 and longest.right_mm == length_mm:
        return by_stretch[longest]
    patterns: list[CoursePattern] = []
    known: dict[tuple[Course, tuple[int, ...]], int] = {}
    order = []
    for number, course in enumerate(courses):
        rows = tuple(int(by_stretch[stretch].course_pattern[number]) for stretch in course)
        if (course, rows) not in known:
            known[course, rows] = len(patterns)
            parts = [by_stretch[stretch].patterns[row] for stretch, row in zip(course, rows, strict=True)]
            patterns.append(joined(length_mm, [stretch.span_mm for stretch in course], parts))
        order.append(known[course, rows])
    findings = tuple(dict.fromkeys(finding for own in by_stretch.values() for finding in own.findings))
    return replace(
        by_stretch[longest],
        patterns=tuple(patterns),
        course_pattern=np.array(order, dtype=np.intp),
        length_mm=length_mm,
        broken=any(own.broken for own in by_stretch.values()),
        findings=findings,
    )


def joined(length_mm: float, spans_mm: Sequence[tuple[float, float]], parts: Sequence[CoursePattern]) -> CoursePattern:
    """Put stretches of a course into one, with voids before, between and after them.

    Parameters
    ----------
    length_mm : float
        Of the wall.
    spans_mm : sequence of (float, float)
        Where each part begins and ends along the wall, from left to right.
    parts : sequence of CoursePattern
        Each counted from its own beginning.
    """
    if not parts:
        return CoursePattern(np.array([0.0, length_mm]), np.array([Kind.VOID], dtype=np.int8))
    bounds = [part.bounds_mm + start for (start, _), part in zip(spans_mm, parts, strict=True)]
    kinds: list[int] = [int(kind) for kind in parts[0].kinds]
    for part in parts[1:]:
        kinds += [Kind.VOID, *(int(kind) for kind in part.kinds)]
    if spans_mm[0][0] > _HAIR_MM:
        bounds, kinds = [np.zeros(1), *bounds], [Kind.VOID, *kinds]
    if spans_mm[-1][1] < length_mm - _HAIR_MM:
        bounds, kinds = [*bounds, np.array([length_mm])], [*kinds, Kind.VOID]
    return CoursePattern(np.concatenate(bounds), np.array(kinds, dtype=np.int8))
