"""On which part the place of a finding is, and where on it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import product

import numpy as np
from numpy.typing import NDArray

from halfbat.findings import DECIMALS, WALL, Finding, Place
from halfbat.parts.kit_plan import Plan
from halfbat.parts.part import Part

Array = NDArray[np.float64]


def box_of(points: Array) -> Array:
    """Return lowest and highest corner (2, 3) of some points (N, 3)."""
    return np.stack([points.min(axis=0), points.max(axis=0)])


def place_between(of: str, corners_mm: Array) -> Place:
    """Return a place from its two corners (2, 3)."""
    low, high = (tuple(row) for row in (np.round(corners_mm, DECIMALS) + 0.0).tolist())
    return Place(of, low, high)


def _corners(low: Sequence[float], high: Sequence[float]) -> Array:
    return np.array(list(product(*zip(low, high, strict=True))))


def seat_of(place: Place, parts: Mapping[str, Part], plan: Plan) -> Place | None:
    """Return a place as it is on one part, in that part's print frame.

    Parameters
    ----------
    place : Place
        On a part or on a wall.
    parts : mapping of str to Part
        By number.
    plan : Plan
        The kit's walls.

    Returns
    -------
    Place or None
        On a wall it is on the skin nearest to its middle; None where the wall has none.
    """
    if place.of in parts:
        return place
    letter = place.of.removeprefix(WALL)
    facing = next((own.facing for own in plan.walls if own.wall.letter == letter), None)
    if facing is None:
        return None
    frame = np.array([[*facing.along, 0.0], [0.0, 0.0, 1.0], [*facing.outward, 0.0]])
    there = _corners(place.low_mm, place.high_mm) @ frame + facing.foot_mm
    skins = [part for part in parts.values() if part.wall == letter and part.kind == "skin"]
    if not skins:
        return None
    skin = min(skins, key=lambda part: _away_mm(_printed(part, there.mean(axis=0)[None])[0], part))
    return place_between(skin.number, box_of(_printed(skin, there)))


def on_wall(place: Place, parts: Mapping[str, Part], plan: Plan) -> tuple[str, Array] | None:
    """Return on which wall a place is, and lowest and highest corner (2, 2) of it along and up that wall.

    Parameters
    ----------
    place, parts, plan
        As for `seat_of`.

    Returns
    -------
    (str, ndarray) or None
        None where it is on nothing that faces a wall.
    """
    part = parts.get(place.of)
    if part is None:
        box = np.array([place.low_mm[:2], place.high_mm[:2]])
        letter = place.of.removeprefix(WALL)
        return (letter, box) if any(own.wall.letter == letter for own in plan.walls) else None
    facing = next((own.facing for own in plan.walls if own.wall.letter == part.wall), None)
    if facing is None or part.kind != "skin":
        return None
    there = _corners(place.low_mm, place.high_mm) @ part.place[:3, :3].T + part.place[:3, 3] - facing.foot_mm
    return part.wall or "", box_of(np.stack([there[:, :2] @ facing.along, there[:, 2]], axis=1))


def _printed(part: Part, points_mm: Array) -> Array:
    """Return points (N, 3) of the building's frame in a part's print frame."""
    return np.asarray((points_mm - part.place[:3, 3]) @ part.place[:3, :3], dtype=np.float64)


def _away_mm(point: Array, part: Part) -> float:
    low, high = part.solid.bounds_mm
    return float(np.linalg.norm(point - np.clip(point, low, high)))


def moved_along(finding: Finding, before: Part, now: Part) -> Finding:
    """Return a finding about a part that came to lie otherwise in its print frame, its place moved along."""
    place = finding.place
    if place is None or place.of != before.number:
        return finding
    there = _corners(place.low_mm, place.high_mm) @ before.place[:3, :3].T + before.place[:3, 3]
    return replace(finding, place=place_between(place.of, box_of(_printed(now, there))))


def place_words(place: Place, parts: Mapping[str, Part]) -> str:
    """Return where a place is, to be read: from the left end of a wall, or from the lower left corner of a part.

    Parameters
    ----------
    place : Place
        On a part or a wall.
    parts : mapping of str to Part
        By number.
    """
    low, high = place.low_mm, place.high_mm
    if place.of not in parts:
        along, up = (_span(low[axis], high[axis]) for axis in (0, 1))
        return f"{along} mm from the left end of {place.of} seen from outside, {up} mm up"
    floor = parts[place.of].solid.bounds_mm[0].tolist()
    along, up = (_span(low[axis] - floor[axis], high[axis] - floor[axis]) for axis in (0, 1))
    heights = _span(low[2] - floor[2], high[2] - floor[2])
    lying = "as it lies on its plate"
    return f"on {place.of} {along} mm from the left and {up} mm from the front, {heights} mm over the plate, {lying}"


def _span(low: float, high: float) -> str:
    """Return a stretch in tenths, as one figure where it is short."""
    one, other = (f"{abs(value) if abs(value) < 0.05 else value:.1f}" for value in (low, high))
    return one if one == other else f"{one} to {other}"
