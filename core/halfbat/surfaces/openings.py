"""Openings with their heads, sills and jambs, ready to be let into a laid wall."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

import numpy as np

from halfbat.errors import KitError
from halfbat.findings import Finding, Place, Severity
from halfbat.surfaces.arches import arch_head
from halfbat.surfaces.flat_arches import flat_head
from halfbat.surfaces.laying import Array
from halfbat.surfaces.lintels import lintel_head, soldier_head
from halfbat.surfaces.masonry import Masonry
from halfbat.surfaces.opening_specs import ARCHES, OpeningSpec, check_openings, opening_spec
from halfbat.surfaces.opening_units import Head, OpeningUnits, Unit, ring
from halfbat.surfaces.sills import sill_units
from halfbat.units import format_length

_ROUNDING_MM = 1e-3


def opening_units(spec: OpeningSpec, masonry: Masonry) -> OpeningUnits:
    """Build one opening.

    Parameters
    ----------
    spec : OpeningSpec
        What it is to be.
    masonry : Masonry
        The wall it is in.

    Returns
    -------
    OpeningUnits
        Heights near the bed joint of a course are moved to it, so that heads and sills lie in line with the courses;
        the jambs stay exactly where they are asked for.

    Raises
    ------
    KitError
        The wall has no room for the opening, its head or its sill.
    """
    half = masonry.half_mm - masonry.mm(masonry.brick.joint_m)
    check_openings([spec], masonry.laying.length_mm, masonry.laying.height_mm, half, masonry.scale)
    head = _head(spec, masonry)
    if spec.head == "circular":
        return _gathered(head.soffit, head.beds, head.units, None, head)
    foot, beds, sill = sill_units(spec, masonry)
    outline = ring([(spec.left_mm, foot), (spec.right_mm, foot), *head.soffit])
    lowest = min([foot, *(float(bed[:, 1].min()) for bed in beds)])
    jambs = (spec.left_mm, spec.right_mm, lowest, head.straight_mm)
    head = replace(head, findings=(*head.findings, *_off_course(spec, foot, head, masonry)))
    return _gathered(outline, (*beds, *head.beds), (*sill, *head.units), jambs, head)


def openings_of(specs: Sequence[OpeningSpec], masonry: Masonry) -> tuple[OpeningUnits, ...]:
    """Build all openings of a wall.

    Raises
    ------
    KitError
        One does not fit its wall, or two stand in each other's way, with their heads and sills or without.
    """
    half = masonry.half_mm - masonry.mm(masonry.brick.joint_m)
    check_openings(specs, masonry.laying.length_mm, masonry.laying.height_mm, half, masonry.scale)
    built = [opening_units(spec, masonry) for spec in specs]
    for (spec, one), (other, two) in combinations(zip(specs, built, strict=True), 2):
        if _collide(one, two):
            raise KitError(
                "the head or sill of the opening runs into another opening's",
                f"{spec.where} and {other.where}" if spec.where != other.where else spec.where,
                "move them further apart",
            )
    return tuple(built)


def _head(spec: OpeningSpec, masonry: Masonry) -> Head:
    if spec.head in ARCHES:
        return arch_head(spec, masonry)
    makers = {"lintel": lintel_head, "soldier course": soldier_head, "flat arch": flat_head}
    return makers[spec.head](spec, masonry)


def _off_course(spec: OpeningSpec, foot: float, head: Head, masonry: Masonry) -> tuple[Finding, ...]:
    """Tell when a level head or a sill does not lie on a course, so that bricks are cut lengthwise beside it."""
    found = []
    bottoms, tops = masonry.courses
    gauge_m = masonry.gauge_mm / masonry.scale.mm_per_m
    springing = float(head.soffit[0, 1])
    level = spec.head in ("lintel", "soldier course")
    for what, v, lines, asked in (
        ("head", springing if level else None, bottoms, spec.top_mm),
        ("springing", springing if spec.head == "semicircular arch" else None, tops, springing),
        ("sill", foot if spec.sill != "none" else None, tops, spec.sill_mm),
    ):
        if v is None or np.abs(lines - v).min() < _ROUNDING_MM:
            continue
        height_m = asked / masonry.scale.mm_per_m
        text = f"its {what}, {format_length(height_m)} above the foot of the wall, is between two bed joints"
        remedy = f"put it at {format_length(round(height_m / gauge_m) * gauge_m)}, a whole number of courses"
        place = Place.on_wall(spec.where, head.soffit[:, 0].min(), v, head.soffit[:, 0].max(), v)
        found.append(Finding(Severity.NOTE, f"{what}-off-course", spec.where, text, remedy, place))
    return tuple(found)


def _gathered(
    outline: Array,
    beds: tuple[Array, ...],
    units: tuple[Unit, ...],
    jambs: tuple[float, float, float, float] | None,
    head: Head,
) -> OpeningUnits:
    points = np.concatenate([outline, *beds])
    (u0, v0), (u1, v1) = points.min(axis=0), points.max(axis=0)
    reach = float(u0), float(v0), float(u1), float(v1)
    return OpeningUnits(outline, beds, units, reach, jambs, head.findings)


def _collide(one: OpeningUnits, two: OpeningUnits) -> bool:
    """Tell whether the boxes of two openings' holes and units overlap."""
    boxes = [_boxes(opening) for opening in (one, two)]
    a, b = boxes[0][:, None], boxes[1][None]
    over = np.minimum(a[..., 2:], b[..., 2:]) - np.maximum(a[..., :2], b[..., :2])
    return bool((over.min(axis=-1) > 1e-6).any())


def _boxes(opening: OpeningUnits) -> Array:
    rings = [opening.outline, *(unit.ring for unit in opening.units)]
    return np.array([[*points.min(axis=0), *points.max(axis=0)] for points in rings])


__all__ = ["OpeningSpec", "OpeningUnits", "Unit", "check_openings", "opening_spec", "opening_units", "openings_of"]
