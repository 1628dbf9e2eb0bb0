"""Segmental, semicircular and circular arches: rings of headers, or voussoirs cut to shape."""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, asin, ceil, cos, pi, sin, sqrt

import numpy as np

from halfbat.errors import KitError
from halfbat.findings import Finding
from halfbat.surfaces.laying import Array
from halfbat.surfaces.masonry import Masonry
from halfbat.surfaces.opening_specs import OpeningSpec
from halfbat.surfaces.opening_units import Head, Unit, line, ring
from halfbat.surfaces.voussoirs import fewer_finding, gauged_count, header_count, made_up
from halfbat.units import format_length

#: An arc is drawn in chords that are nowhere further from it than this, model millimetres.
SAGITTA_MM = 0.01


def segmental_radius(span: float, rise: float) -> float:
    """Return the radius of a segmental arch, ``(s^2/4 + r^2) / (2 r)``, in the unit of its span and rise."""
    return (span * span / 4 + rise * rise) / (2 * rise)


@dataclass(frozen=True, slots=True)
class Arc:
    """The intrados of an arch.

    Parameters
    ----------
    centre : tuple of float
        Where its joints meet.
    radius_mm : float
        Its radius.
    start, end : float
        Angles of the right and left springing, radians, anticlockwise from level.
    """

    centre: tuple[float, float]
    radius_mm: float
    start: float
    end: float

    @property
    def sweep(self) -> float:
        """Angle between the springings."""
        return self.end - self.start

    @property
    def closed(self) -> bool:
        """True for a whole circle."""
        return self.sweep > 2 * pi - 1e-9

    def at(self, angle: float, radius_mm: float) -> tuple[float, float]:
        """Return a point of the same centre."""
        return self.centre[0] + radius_mm * cos(angle), self.centre[1] + radius_mm * sin(angle)

    def chords(self, start: float, end: float, radius_mm: float) -> list[tuple[float, float]]:
        """Return points of an arc with the same centre, both ends included, close enough to draw it."""
        step = 2 * acos(1 - min(SAGITTA_MM / radius_mm, 1.0))
        count = max(1, ceil(abs(end - start) / step - 1e-9))
        return [self.at(start + (end - start) * k / count, radius_mm) for k in range(count + 1)]


def springing_arc(spec: OpeningSpec, masonry: Masonry) -> Arc:
    """Return the intrados of an opening's arch.

    Where the bed joint of a course is near, a semicircular arch springs from it; a segmental one is cut into the wall
    at its skewbacks and springs wherever it must.
    """
    middle = spec.left_mm + spec.width_mm / 2
    if spec.head == "circular":
        radius = spec.width_mm / 2
        return Arc((middle, spec.sill_mm + radius), radius, -pi / 2, 3 * pi / 2)
    springing = spec.top_mm - spec.rise_mm
    radius = segmental_radius(spec.width_mm, spec.rise_mm)
    half = asin(min(1.0, spec.width_mm / 2 / radius))
    if half > pi / 2 - 1e-6:
        springing = masonry.near_top(springing) if springing > 0 else springing
    return Arc((middle, springing + spec.rise_mm - radius), radius, pi / 2 - half, pi / 2 + half)


def arch_head(spec: OpeningSpec, masonry: Masonry) -> Head:
    """Turn an arch over an opening.

    Parameters
    ----------
    spec : OpeningSpec
        An opening with a segmental, semicircular or circular head. Rough work has one ring of whole headers for each
        half brick of depth, with parallel sides and wedge-shaped joints; gauged work one ring of voussoirs cut to
        shape, an odd number with a key, or in a circle four keys.
    masonry : Masonry
        The wall.

    Returns
    -------
    Head
        For a circle the soffit is the whole outline.

    Raises
    ------
    KitError
        If the wall has no room for it.
    """
    arc = springing_arc(spec, masonry)
    half = masonry.mm(masonry.brick.width_m + masonry.brick.joint_m)
    depth = spec.rings * half - masonry.mm(masonry.brick.joint_m)
    units: list[Unit] = []
    inner: list[tuple[float, float]] = []
    findings: tuple[Finding, ...] = ()
    if spec.work == "gauged":
        units, inner, findings = _gauged(arc, depth, spec, masonry)
    else:
        for index in range(spec.rings):
            last = index == spec.rings - 1
            thick = masonry.mm(masonry.brick.width_m) if last else half - masonry.joint_mm
            bricks, points = _headers(arc, arc.radius_mm + index * half, thick, masonry)
            units += bricks
            inner = inner or points
    outer = arc.radius_mm + depth
    _check_room(arc, outer, spec, masonry)
    reach = outer + masonry.joint_mm
    bed = ring(arc.chords(arc.start, arc.end, reach) + ([] if arc.closed else inner[::-1]))
    springing = arc.at(arc.start, arc.radius_mm)[1]
    soffit = ring(inner) if arc.closed else line(inner)
    return Head(soffit, (bed,), tuple(units), springing, findings)


def _gauged(
    arc: Arc, depth: float, spec: OpeningSpec, masonry: Masonry
) -> tuple[list[Unit], list[tuple[float, float]], tuple[Finding, ...]]:
    """Cut voussoirs; also return the points of the intrados from right to left."""
    joint, radius = masonry.joint_mm, arc.radius_mm
    # Joints stand inside the springings, so the ones at the ends are whole as well.
    ends = 0.0 if arc.closed else joint / (radius + depth / 2)
    outer_mm, inner_mm = arc.sweep * (radius + depth), (arc.sweep - ends) * radius
    count = gauged_count(outer_mm, inner_mm, masonry, *((4, 4) if arc.closed else (2, 1)))
    pitch = (arc.sweep - ends) / count
    first = pi / 2 - pitch / 2 if arc.closed else arc.start + ends / 2
    units: list[Unit] = []
    inner: list[tuple[float, float]] = [] if arc.closed else [arc.at(arc.start, radius)]
    for index in range(count):
        right, left = first + index * pitch, first + (index + 1) * pitch
        key = index % (count // 4) == 0 if arc.closed else index == count // 2
        turn = index if arc.closed else abs(index - count // 2)
        for low, high in made_up(depth, masonry, turn):
            points: list[tuple[float, float]] = []
            for r, a, b in ((radius + low, left, right), (radius + high, right, left)):
                half = asin(min(1.0, joint / 2 / r)) * (1 if a < b else -1)
                points += arc.chords(a + half, b - half, r)
            units.append(Unit(_anticlockwise(points), "key" if key else "voussoir"))
        half = asin(min(1.0, joint / 2 / radius))
        inner += arc.chords(right + half, left - half, radius)
    if not arc.closed:
        inner.append(arc.at(arc.end, radius))
    return units, inner, fewer_finding(count, outer_mm, masonry, spec)


def _headers(arc: Arc, radius: float, depth: float, masonry: Masonry) -> tuple[list[Unit], list[tuple[float, float]]]:
    """Lay one ring of whole headers; also return the points of its intrados from right to left."""
    joint = masonry.joint_mm
    count = header_count(arc.sweep * radius, masonry, closed=arc.closed)
    pitch = arc.sweep / count if arc.closed else (arc.sweep - joint / radius) / count
    first = pi / 2 - pitch / 2 if arc.closed else arc.start + joint / radius / 2
    half = pitch / 2 - asin(min(1.0, joint / 2 / radius))
    width = radius * sin(half)
    units: list[Unit] = []
    inner: list[tuple[float, float]] = [] if arc.closed else [arc.at(arc.start, radius)]
    top = sqrt((radius + depth) ** 2 - width**2)
    for index in range(count):
        axis = first + (index + 0.5) * pitch
        along, across = np.array([cos(axis), sin(axis)]), np.array([-sin(axis), cos(axis)])
        lower = arc.chords(axis - half, axis + half, radius)
        inner += lower
        upper = [np.array(arc.centre) + along * top + across * sign * width for sign in (-1, 1)]
        corners = [*lower[::-1], *((float(point[0]), float(point[1])) for point in upper)]
        units.append(Unit(_anticlockwise(corners), "arch header"))
    if not arc.closed:
        inner.append(arc.at(arc.end, radius))
    return units, inner


def _anticlockwise(points: list[tuple[float, float]]) -> Array:
    made = ring(points)
    after = np.roll(made, -1, axis=0)
    area = float((made[:, 0] * after[:, 1] - made[:, 1] * after[:, 0]).sum())
    return made if area > 0 else made[::-1]


def _check_room(arc: Arc, outer: float, spec: OpeningSpec, masonry: Masonry) -> None:
    """Refuse an arch that reaches over the top, the foot or an end of its wall."""
    length, height = masonry.laying.length_mm, masonry.laying.height_mm
    wide = outer * cos(max(arc.start, 0.0))
    lacking = {
        "high": arc.centre[1] + outer - height,
        "long": max(wide - arc.centre[0], arc.centre[0] + wide - length),
        "deep": outer - arc.centre[1] if arc.closed else 0.0,
    }
    for what, short in lacking.items():
        if short > 1e-6:
            told = format_length(short / masonry.scale.mm_per_m)
            remedy = {"high": "lower the opening", "long": "move it along the wall", "deep": "raise the opening"}[what]
            raise KitError(
                f"the arch of the opening reaches {told} beyond its wall", spec.where, f"{remedy} or make it smaller"
            )
