"""Where findings are, marked on the elevations by the numbers that the booklet gives them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from math import hypot

import numpy as np

from halfbat.drawings.contents import DrawnKit
from halfbat.drawings.drawing import Item, Label, Shape, rectangle
from halfbat.findings import Finding, Severity
from halfbat.parts.seats import on_wall

_LEAST_MM = 1.6
_RADIUS_MM, _TEXT_MM = 1.9, 2.2
_CORNERS = 24
_WHOLE_SHARE, _FOOT_MM = 0.9, 3.0
"""A place over so much of a wall's height is a stretch along it, and marked at its foot: lines would fill the wall."""


def numbered_findings(kit: DrawnKit) -> dict[Finding, int]:
    """Number the findings whose places show on an elevation, worst first, from 1."""
    parts = {part.number: part for part in kit.parts}
    worst_first = sorted(kit.findings, key=lambda finding: -list(Severity).index(finding.severity))
    placed = [finding for finding in worst_first if finding.place and on_wall(finding.place, parts, kit.plan)]
    return {finding: number for number, finding in enumerate(placed, start=1)}


def finding_marks(kit: DrawnKit, letter: str, size: Fraction, numbers: Mapping[Finding, int]) -> tuple[Item, ...]:
    """Draw a box round each place on a wall, at its foot where it is as high as the wall, with its number in a ring.

    Parameters
    ----------
    kit : DrawnKit
        The kit.
    letter : str
        Of the wall.
    size : Fraction
        Millimetres on paper for one on the model.
    numbers : mapping of Finding to int
        Of `numbered_findings`.
    """
    parts = {part.number: part for part in kit.parts}
    tops = {wall.wall.letter: float(wall.facing.face.outline_mm[:, 1].max()) for wall in kit.plan.walls}
    whole = _WHOLE_SHARE * tops.get(letter, np.inf) * float(size)
    boxes, rings = list[Item](), dict[int, tuple[float, float]]()
    for finding, number in numbers.items():
        found = on_wall(finding.place, parts, kit.plan) if finding.place else None
        if found is None or found[0] != letter:
            continue
        low, high = found[1] * float(size)
        more = np.maximum(_LEAST_MM - (high - low), 0.0) / 2
        (x0, y0), (x1, y1) = (low - more).tolist(), (high + more).tolist()
        if y1 - y0 >= whole:
            y1 = y0 + _FOOT_MM
        boxes.append(Shape((rectangle(x0, y0, x1, y1),), "finding"))
        rings[number] = _free(x1, y1, rings.values())
    return (*boxes, *(item for number, at in rings.items() for item in _ring(number, at)))


def _free(x: float, y: float, taken: Iterable[tuple[float, float]]) -> tuple[float, float]:
    """Return the first place downward from a point where a ring covers no other."""
    while any(hypot(x - a, y - b) < 2 * _RADIUS_MM for a, b in taken):
        y -= _RADIUS_MM
    return x, y


def _ring(number: int, at: tuple[float, float]) -> tuple[Item, Item]:
    turn = np.linspace(0.0, 2 * np.pi, _CORNERS, endpoint=False)
    circle = _RADIUS_MM * np.stack([np.cos(turn), np.sin(turn)], axis=1) + at
    return Shape((circle,), "finding", fill="#ffffff"), Label(at, str(number), _TEXT_MM, style="number")
