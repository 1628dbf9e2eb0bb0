"""Plan edges too short to be a part of their own are dissolved."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from halfbat.building.plan import crossing_pairs
from halfbat.building.rings import ring_area
from halfbat.errors import KitError

Array = npt.NDArray[np.float64]

#: Neighbours of a jog within this angle are brought onto one line.
_PARALLEL_DEG = 20.0
#: A corner this much of the smallest face off a straight line vanishes at model scale.
_STRAIGHT_SHARE = 0.05


@dataclass(frozen=True, slots=True, eq=False)
class Dissolved:
    """A plan edge that is no more.

    Parameters
    ----------
    length_m : float
        How long it was.
    at_m : ndarray, shape (2,)
        Its middle.
    """

    length_m: float
    at_m: Array


@dataclass(frozen=True, slots=True, eq=False)
class SimplePlan:
    """A plan without short edges.

    Parameters
    ----------
    corners_m : ndarray, shape (N, 2)
        Counter-clockwise, metres.
    dissolved : tuple of Dissolved
        The edges taken out, in the order taken.
    straightened : int
        Corners dropped because they lay on a straight line.
    straight_m : float
        How far off that line they may have been, metres.
    deviation_m : float
        Largest distance between the old outline and the new one, metres.
    """

    corners_m: Array
    dissolved: tuple[Dissolved, ...]
    straightened: int
    straight_m: float
    deviation_m: float


def simplify_plan(corners_m: Array, smallest_m: float) -> SimplePlan:
    """Dissolve the edges of a plan shorter than a length, shortest first.

    A jog between near-parallel neighbours brings both onto one common line, placed so that the
    longer one moves less and the area stays; elsewhere the neighbours are lengthened to where
    their lines meet.

    Parameters
    ----------
    corners_m : ndarray, shape (N, 2)
        Simple and counter-clockwise, metres.
    smallest_m : float
        Shortest edge to be left, metres.

    Returns
    -------
    SimplePlan

    Raises
    ------
    KitError
        If nothing is left of the plan, or part of it is too narrow to be made.
    """
    straight = max(0.001, _STRAIGHT_SHARE * smallest_m)
    plan, straightened = _without_straight(corners_m, straight)
    dissolved: list[Dissolved] = []
    while True:
        lengths = _lengths(plan)
        short = int(np.argmin(lengths))
        if lengths[short] >= smallest_m:
            break
        middle = (plan[short] + plan[(short + 1) % len(plan)]) / 2.0
        dissolved.append(Dissolved(float(lengths[short]), middle))
        plan = _without_edge(np.roll(plan, 1 - short, axis=0), smallest_m)
        plan, more = _without_straight(plan, straight)
        straightened += more
    deviation = max(_farthest(corners_m, plan), _farthest(plan, corners_m))
    if dissolved and deviation > 2.0 * smallest_m:
        worst = dissolved[-1].at_m
        raise KitError(
            f"part of the plan is narrower than the smallest face of {smallest_m:.2f} m, "
            f"and leaving it out would move the outline by {deviation:.2f} m",
            f"near x {worst[0]:.2f} m, y {worst[1]:.2f} m",
            "choose a larger scale, or take the narrow part out of the mesh",
        )
    return SimplePlan(plan, tuple(dissolved), straightened, straight, deviation)


def _lengths(plan: Array) -> Array:
    steps = np.roll(plan, -1, axis=0) - plan
    lengths: Array = np.hypot(steps[:, 0], steps[:, 1])
    return lengths


def _without_straight(plan: Array, tolerance: float) -> tuple[Array, int]:
    """Drop corners that lie on the line between their neighbours, one at a time."""
    dropped = 0
    while len(plan) > 3:
        before, after = np.roll(plan, 1, axis=0), np.roll(plan, -1, axis=0)
        chord = after - before
        size = np.maximum(np.hypot(chord[:, 0], chord[:, 1]), 1e-12)
        off = np.abs(chord[:, 0] * (plan - before)[:, 1] - chord[:, 1] * (plan - before)[:, 0]) / size
        ahead = np.einsum("ij,ij->i", plan - before, after - plan) > 0.0
        off = np.where(ahead, off, np.inf)
        flat = int(np.argmin(off))
        if off[flat] > tolerance:
            break
        plan = np.delete(plan, flat, axis=0)
        dropped += 1
    return plan, dropped


def _without_edge(plan: Array, smallest_m: float) -> Array:
    """Dissolve the edge from the second corner to the third."""
    if len(plan) > 3:
        for way in (_without_fin, _on_common_line, _at_meeting, _at_middle):
            candidate = _without_doubles(way(plan, smallest_m))
            if candidate is not None and len(candidate) >= 3 and _is_simple(candidate):
                return candidate
    x, y = (plan[1] + plan[2]) / 2.0
    raise KitError(
        f"nothing is left of the plan without the edges shorter than {smallest_m:.2f} m, which cannot be made",
        f"near x {x:.2f} m, y {y:.2f} m",
        "choose a larger scale or model the building larger",
    )


def _without_doubles(plan: Array | None) -> Array | None:
    """Drop corners that came to lie on the next one."""
    return None if plan is None else plan[_lengths(plan) > 1e-6]


def _is_simple(plan: Array) -> bool:
    return ring_area(plan) > 0.0 and len(crossing_pairs(plan, np.roll(plan, -1, axis=0))) == 0


def _without_fin(plan: Array, smallest_m: float) -> Array | None:
    """Cut a fin or slot back to the shorter of its sides, or return None where it is none."""
    a, b, c, d = plan[0], plan[1], plan[2], plan[3]
    first, second = b - a, d - c
    size = math.hypot(*first), math.hypot(*second)
    if float(first @ second) > -math.cos(math.radians(_PARALLEL_DEG)) * size[0] * size[1] or len(plan) < 5:
        return None
    if min(size) > 2.0 * smallest_m:
        raise KitError(
            f"a projection or slot {math.hypot(*(c - b)):.2f} m wide is narrower than the smallest face of "
            f"{smallest_m:.2f} m",
            f"near x {b[0]:.2f} m, y {b[1]:.2f} m",
            "choose a larger scale, or take it out of the mesh",
        )
    if size[0] <= size[1]:
        return np.vstack([a, c + second * float((a - c) @ second) / size[1] ** 2, plan[3:]])
    return np.vstack([a, a + first * float((d - a) @ first) / size[0] ** 2, plan[3:]])


def _on_common_line(plan: Array, _smallest_m: float) -> Array | None:
    """Bring both neighbours of a jog onto one line, or return None where it is no jog."""
    a, b, c, d = plan[0], plan[1], plan[2], plan[3]
    first, second, jog = b - a, d - c, c - b
    size = math.hypot(*first), math.hypot(*second)
    cosine = float(first @ second) / (size[0] * size[1])
    opposite = _cross(first, jog) * _cross(jog, second) < 0.0
    if cosine < math.cos(math.radians(_PARALLEL_DEG)) or not opposite or len(plan) < 5:
        return None
    heading = (first + second) / math.hypot(*(first + second))
    left = np.array([-heading[1], heading[0]])
    # Weighted by length, so that what one side gains the other loses.
    through = (size[0] * (a + b) + size[1] * (c + d)) / (2.0 * (size[0] + size[1]))
    start = _meet(through, heading, a, plan[-1] - a)
    end = _meet(through, heading, d, plan[4 % len(plan)] - d)
    if start is None:
        start = a + float((through - a) @ left) * left
    if end is None:
        end = d + float((through - d) @ left) * left
    if float((end - start) @ heading) <= 0.0:
        return None
    return np.vstack([start, end, plan[4:]])


def _at_meeting(plan: Array, smallest_m: float) -> Array | None:
    """Lengthen both neighbours to where their lines meet, or return None where that is too far."""
    a, b, c, d = plan[0], plan[1], plan[2], plan[3]
    corner = _meet(b, b - a, c, d - c)
    if corner is None or math.hypot(*(corner - (b + c) / 2.0)) > smallest_m:
        return None
    if float((corner - a) @ (b - a)) <= 0.0 or float((d - corner) @ (d - c)) <= 0.0:
        return None
    return np.vstack([a, corner, plan[3:]])


def _at_middle(plan: Array, _smallest_m: float) -> Array | None:
    """Let both ends of the edge fall together in its middle; not at the tip of a fin, which would become a thorn."""
    if float((plan[1] - plan[0]) @ (plan[3] - plan[2])) < 0.0 and len(plan) > 4:
        return None
    return np.vstack([plan[0], (plan[1] + plan[2]) / 2.0, plan[3:]])


def _cross(a: Array, b: Array) -> float:
    return float(a[0] * b[1] - a[1] * b[0])


def _meet(p: Array, along: Array, q: Array, other: Array) -> Array | None:
    """Return where two lines meet, or None where they meet at under 20 degrees."""
    turn = _cross(along, other)
    size = math.hypot(*along) * math.hypot(*other)
    if size == 0.0 or abs(turn) < math.sin(math.radians(_PARALLEL_DEG)) * size:
        return None
    spot: Array = p + along * (_cross(q - p, other) / turn)
    return spot


def _farthest(spots: Array, plan: Array) -> float:
    """Return the largest distance from spots to the outline of a plan."""
    step = np.roll(plan, -1, axis=0) - plan
    to = spots[:, None, :] - plan[None, :, :]
    share = np.clip(np.einsum("ijk,jk->ij", to, step) / np.einsum("jk,jk->j", step, step), 0.0, 1.0)
    gap = np.linalg.norm(to - share[:, :, None] * step, axis=2)
    return float(gap.min(axis=1).max())
