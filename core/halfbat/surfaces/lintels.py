"""Lintels and soldier courses."""

from __future__ import annotations

from math import ceil

from halfbat.errors import KitError
from halfbat.surfaces.masonry import Masonry
from halfbat.surfaces.opening_specs import OpeningSpec
from halfbat.surfaces.opening_units import Head, Unit, box, line, spread
from halfbat.units import format_length

#: NHBC Standards 6.1.12, table 5 (simple lintels): bearing up to this span, and beyond it.
SHORT_SPAN_M, SHORT_BEARING_M, LONG_BEARING_M = 1.2, 0.100, 0.150
#: Height of a lintel as a part of its span, and in courses at least: common practice, no source.
_SHARE_OF_SPAN, _FEWEST_COURSES = 1 / 10, 2
#: A soldier course ends on a bed joint when one is within this share of a course.
_NEAR_A_COURSE = 0.3


def bearing_m(span_m: float) -> float:
    """Return the least bearing of a lintel at each end, full size, metres (NHBC Standards 6.1.12, table 5)."""
    return SHORT_BEARING_M if span_m <= SHORT_SPAN_M + 1e-9 else LONG_BEARING_M


def seat_m(span_m: float, half_m: float, joint_m: float) -> float:
    """Return how far a lintel runs into the wall so that bats of half a brick and more are left beside it.

    Parameters
    ----------
    span_m : float
        Width of the opening.
    half_m, joint_m : float
        Half a brick with its joint, and the joint.

    Returns
    -------
    float
        Whole half bricks, the fewest that are not under `bearing_m`; full size, metres.
    """
    needed = bearing_m(span_m)
    halves = ceil((needed + joint_m) / half_m - 1e-9)
    return halves * half_m - joint_m


def lintel_head(spec: OpeningSpec, masonry: Masonry) -> Head:
    """Lay a lintel over an opening, whole courses high where courses allow.

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
        If the wall has no room for its height or its bearing.
    """
    soffit = masonry.near_bottom(spec.top_mm)
    gauge = masonry.gauge_mm
    courses = max(_FEWEST_COURSES, ceil(spec.width_mm * _SHARE_OF_SPAN / gauge - 1e-9))
    top = head_top(spec, masonry, soffit + courses * gauge - masonry.joint_v_mm)
    span_m = spec.width_mm / masonry.scale.mm_per_m
    seat = masonry.mm(seat_m(span_m, masonry.brick.stretcher_module_m / 2, masonry.brick.joint_m))
    left = _end(spec.left_mm, seat, span_m, spec, masonry)
    right = _end(masonry.laying.length_mm - spec.right_mm, seat, span_m, spec, masonry)
    u0, u1 = spec.left_mm - left, spec.right_mm + right
    joint_u, joint_v = masonry.joint_u_mm, masonry.joint_v_mm
    bed = box(
        max(u0 - joint_u, 0.0), soffit - joint_v, min(u1 + joint_u, masonry.laying.length_mm), _over(top, masonry)
    )
    unit = Unit(box(u0, soffit, u1, top), f"{spec.lintel} lintel")
    return Head(line([(spec.right_mm, soffit), (spec.left_mm, soffit)]), (bed,), (unit,), top)


def soldier_head(spec: OpeningSpec, masonry: Masonry) -> Head:
    """Stand a soldier course over an opening, between the jambs; it needs a lintel behind it, which is not seen.

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
        If the wall has no room for its height.
    """
    soffit = masonry.near_bottom(spec.top_mm)
    full = soffit + masonry.mm(masonry.brick.length_m)
    course = masonry.top_towards(full)
    near = abs(course - full) <= _NEAR_A_COURSE * masonry.gauge_mm and course > soffit
    top = head_top(spec, masonry, course if near else full, exact=not near)
    joint = masonry.joint_u_mm
    count = pieces_between(spec.width_mm, masonry, joint)
    lattice = (masonry.lattice_u.origin_mm, masonry.lattice_u.pitch_mm)
    edges = spread(spec.left_mm, spec.right_mm, count, joint, lattice)
    units = tuple(Unit(box(u0, soffit, u1, top), "soldier") for u0, u1 in edges)
    bed = box(spec.left_mm, soffit, spec.right_mm, _over(top, masonry))
    return Head(line([(spec.right_mm, soffit), (spec.left_mm, soffit)]), (bed,), units, top)


def pieces_between(width_mm: float, masonry: Masonry, joint_mm: float) -> int:
    """Return how many bricks stand upright or on edge side by side between two jambs.

    Three to the length of a brick; fewer where they would be printed too thin.
    """
    brick = masonry.brick
    wanted = round((width_mm - masonry.mm(brick.joint_m)) / masonry.mm(brick.height_m + brick.joint_m))
    most = int((width_mm - joint_mm) / (joint_mm + masonry.least_mm) + 1e-9)
    return max(1, min(wanted, most))


def head_top(spec: OpeningSpec, masonry: Masonry, top_mm: float, *, exact: bool = False) -> float:
    """Return the top of a head: the course nearest to a height, or that height itself.

    Raises
    ------
    KitError
        If the wall is not that high.
    """
    height = masonry.laying.height_mm
    if top_mm > height + masonry.gauge_mm / 2:
        lacking = (top_mm - height) / masonry.scale.mm_per_m
        raise KitError(
            f"there is no room for the head of the opening: the wall is {format_length(lacking)} too low",
            spec.where,
            "make the opening lower or the wall higher",
        )
    return min(top_mm, height) if exact else masonry.top_towards(top_mm)


def _over(top_mm: float, masonry: Masonry) -> float:
    """Return the top of the bed joint over a head; at the top of the wall there is none."""
    return min(top_mm + masonry.joint_v_mm, masonry.laying.height_mm)


def _end(pier_mm: float, seat_mm: float, span_m: float, spec: OpeningSpec, masonry: Masonry) -> float:
    """Return how far a lintel runs into a pier at the end of the wall; if next to nothing is left, to the quoin."""
    needed = masonry.mm(bearing_m(span_m))
    if pier_mm < needed - 1e-6:
        span, least, pier = (format_length(m) for m in (span_m, bearing_m(span_m), pier_mm / masonry.scale.mm_per_m))
        raise KitError(
            f"a lintel of {span} span bears {least} at each end, and its pier is {pier}",
            spec.where,
            "move the opening away from the end of its wall",
        )
    return pier_mm if pier_mm - seat_mm < masonry.half_mm / 2 else seat_mm
