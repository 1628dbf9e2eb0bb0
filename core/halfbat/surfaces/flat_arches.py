"""Flat gauged arches: voussoirs cut to joints that meet in one point, between two skewbacks."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, hypot, pi, tan

from halfbat.errors import KitError
from halfbat.surfaces.lintels import head_top
from halfbat.surfaces.masonry import Masonry
from halfbat.surfaces.opening_specs import OpeningSpec
from halfbat.surfaces.opening_units import Head, Unit, line, ring
from halfbat.surfaces.voussoirs import fewer_finding, gauged_count, made_up
from halfbat.units import format_length

_FOOT_M, _INCH_M = 0.3048, 0.0254
#: Camber: 1/8 in to the foot of span (trade texts).
CAMBER = 1 / 96
#: Depth: 4 in and an inch to the foot of span, 8 in at least, usually three to five courses (masonry textbook, US).
_LEAST_DEPTH_M, _COURSES = 8 * _INCH_M, (3, 5)


def skew(depth: float, span_m: float, rule: str) -> float:
    """Return how far a skewback leans out over the depth of a flat arch, in the unit of the depth.

    Parameters
    ----------
    depth : float
        From soffit to extrados.
    span_m : float
        Width of the opening, full size, metres.
    rule : {"60 degrees", "one third", "by span"}
        Equilateral triangle (bricklaying glossary); a third of the depth (Nicholson 1823); or half an inch to the foot
        of span for each four inches of depth (BIA arch note, 1975).
    """
    if rule == "one third":
        return depth / 3
    if rule == "by span":
        return depth * span_m / _FOOT_M / 8
    return depth / tan(pi / 3)


def courses_deep(span_m: float, gauge_m: float, joint_m: float) -> int:
    """Return how many courses deep a flat arch of some span is: the fewest that the rule of thumb allows."""
    wanted = max(_LEAST_DEPTH_M, 4 * _INCH_M + _INCH_M * span_m / _FOOT_M)
    return min(max(ceil((wanted + joint_m) / gauge_m - 1e-9), _COURSES[0]), _COURSES[1])


@dataclass(frozen=True, slots=True)
class _Fan:
    """Joints that meet below the arch: the middle of its soffit, how far below they meet, and the half joint."""

    middle: float
    soffit: float
    below: float
    half_joint: float
    half_span: float
    camber: float

    def side(self, at_soffit: float, sign: int, v: float) -> tuple[float, float]:
        """Return the point at height v on one side of the joint that crosses the soffit at some offset."""
        lean = at_soffit / self.below
        shift = self.half_joint * hypot(1.0, lean)
        return self.middle + lean * (self.below + v - self.soffit) + sign * shift, v

    def foot(self, at_soffit: float, sign: int) -> tuple[float, float]:
        """Return the point where that side meets the cambered soffit."""
        point = self.side(at_soffit, sign, self.soffit)
        for _ in range(3):
            share = (point[0] - self.middle) / self.half_span
            point = self.side(at_soffit, sign, self.soffit + self.camber * max(0.0, 1 - share * share))
        return point


def flat_head(spec: OpeningSpec, masonry: Masonry) -> Head:
    """Turn a flat arch over an opening, whole courses deep, with an odd number of voussoirs.

    Parameters
    ----------
    spec : OpeningSpec
        The opening.
    masonry : Masonry
        The wall.

    Returns
    -------
    Head

    Raises
    ------
    KitError
        If the wall has no room for its height or its skewbacks.
    """
    span_m = spec.width_mm / masonry.scale.mm_per_m
    camber = spec.width_mm * CAMBER if spec.camber else 0.0
    soffit = masonry.near_bottom(spec.top_mm - camber)
    gauge_m = masonry.gauge_mm / masonry.scale.mm_per_m
    courses = courses_deep(span_m, gauge_m, masonry.bed_joint_m)
    top = head_top(spec, masonry, soffit + courses * masonry.gauge_mm - masonry.joint_v_mm)
    depth = top - soffit
    lean = skew(depth, span_m, spec.skewback)
    _check_ends(lean, spec, masonry)
    half = spec.width_mm / 2
    fan = _Fan(spec.left_mm + half, soffit, half * depth / lean, masonry.joint_mm / 2, half, camber)
    outer_mm = spec.width_mm + 2 * lean
    slant = hypot(1.0, half / fan.below)
    # Joints stand inside the skewbacks, so the ones at the ends are whole as well.
    end = masonry.joint_mm / 2 * slant * fan.below / (fan.below + depth / 2)
    count = gauged_count(outer_mm, (spec.width_mm - 2 * end) / slant, masonry)
    pitch = (spec.width_mm - 2 * end) / count
    lines = [half - end - pitch * index for index in range(count + 1)]
    units: list[Unit] = []
    inner = [(spec.right_mm, soffit)]
    for index in range(count):
        right, left = lines[index], lines[index + 1]
        kind = "key" if index == count // 2 else "voussoir"
        for low, high in made_up(depth, masonry, abs(index - count // 2)):
            feet = [fan.side(left, 1, soffit + low), fan.side(right, -1, soffit + low)]
            if low == 0.0:
                feet = [fan.foot(left, 1), fan.foot(right, -1)]
            heads = [fan.side(right, -1, soffit + high), fan.side(left, 1, soffit + high)]
            units.append(Unit(ring([*feet, *heads]), kind))
        inner += [fan.foot(right, -1), fan.foot(left, 1)]
    inner.append((spec.left_mm, soffit))
    over = min(top + masonry.joint_v_mm, masonry.laying.height_mm)
    out = lean * (over - soffit) / depth
    bed = ring([*inner[::-1], (spec.right_mm + out, over), (spec.left_mm - out, over)])
    findings = fewer_finding(count, outer_mm, masonry, spec)
    return Head(line(inner), (bed,), tuple(units), soffit, findings)


def _check_ends(lean: float, spec: OpeningSpec, masonry: Masonry) -> None:
    pier = min(spec.left_mm, masonry.laying.length_mm - spec.right_mm)
    if lean > pier - masonry.least_mm:
        leans, has = (format_length(mm / masonry.scale.mm_per_m) for mm in (lean, pier))
        raise KitError(
            f"the skewback of the flat arch leans {leans} into a pier of {has}",
            spec.where,
            "move the opening away from the end of its wall",
        )
