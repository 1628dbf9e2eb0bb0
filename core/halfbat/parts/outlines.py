"""Plan outlines set back by a distance of their own for each wall."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from halfbat.errors import KitError
from halfbat.solids.figure import Figure, Layer
from halfbat.solids.trapezoids import decompose

Outline = NDArray[np.float64]
Line = tuple[Outline, Outline, Outline]


LEAST_ROOM_MM2 = 1.0
"""An outline set back that holds less has vanished."""
SHARP_DEG = 40.0
LEAST_STEP_MM = 0.01
SAME_MM = 1e-3
NEARLY_STRAIGHT = 0.02
"""Sine of the angle under which two sides are taken as one line."""


def set_back(plan_mm: Outline, distances_mm: ArrayLike) -> Outline:
    """Move every side of an anticlockwise outline inward.

    Parameters
    ----------
    plan_mm : ndarray (N, 2)
        Corners; side i runs from corner i to corner i + 1.
    distances_mm : array_like (N,) or float
        How far each side moves inward, model millimetres.

    Returns
    -------
    ndarray (N, 2)
        Corners where the moved sides meet. A side that is too short and turns over is left out and its neighbours meet
        instead. Where nothing plain is left, the ring goes back to each old corner, so that as a ring of a union layer
        it covers what is left of the area and nothing else.
    """
    distance = np.broadcast_to(np.asarray(distances_mm, dtype=np.float64), (len(plan_mm),))
    if not distance.any():
        return plan_mm
    moved = plan_mm + corner_moves(plan_mm, distance)
    if keeps_sides(plan_mm, moved, 0.0):
        return moved
    along, inward = directions(plan_mm)
    start = plan_mm + np.roll(inward * distance[:, None], 1, axis=0)
    before = np.roll(along, 1, axis=0)
    rest = _without_turned(plan_mm, along, inward, distance)
    if rest is not None:
        ring = np.array([end for end, _ in rest[1]])
        if np.ptp(distance) > 0 or _keeps_off(ring, plan_mm, along, float(distance[0])):
            return ring
    convex = before[:, 0] * along[:, 1] - before[:, 1] * along[:, 0] > 0
    after = plan_mm + inward * distance[:, None]
    corners = [
        ring if turned else ring[:1]
        for ring, turned in zip(
            np.where(convex[:, None, None], np.stack([start, plan_mm, after], axis=1), moved[:, None]),
            convex,
            strict=True,
        )
    ]
    return np.concatenate(corners)


def _keeps_off(ring: Outline, plan_mm: Outline, along: Outline, distance_mm: float) -> bool:
    """Whether no corner of a ring comes nearer to a side of an outline than a distance."""
    to = ring[:, None] - plan_mm[None]
    lengths = np.linalg.norm(np.roll(plan_mm, -1, axis=0) - plan_mm, axis=1)
    share = np.clip(np.einsum("ijk,jk->ij", to, along), 0.0, lengths)
    away = np.linalg.norm(to - share[..., None] * along[None], axis=2)
    return bool(away.min() > distance_mm - SAME_MM)


def corner_moves(plan_mm: Outline, distances_mm: ArrayLike) -> Outline:
    """How far each corner (N, 2) moves when sides move inward by distances (N,), however short a side becomes."""
    distance = np.broadcast_to(np.asarray(distances_mm, dtype=np.float64), (len(plan_mm),))
    along, inward = directions(plan_mm)
    before, before_in, before_by = np.roll(along, 1, axis=0), np.roll(inward, 1, axis=0), np.roll(distance, 1)
    # Corner + before * s: on the moved side before it, and at the right distance from the side after it.
    start = before_in * before_by[:, None]
    lack = distance - np.einsum("ij,ij->i", start, inward)
    rate = np.einsum("ij,ij->i", before, inward)
    straight = np.abs(rate) < NEARLY_STRAIGHT
    step = np.where(straight, 0.0, lack / np.where(straight, 1.0, rate))
    return np.asarray(start + before * step[:, None], dtype=np.float64)


def directions(plan_mm: Outline) -> tuple[Outline, Outline]:
    """Direction of each side and the way inward from it; none of a side without length."""
    along = np.roll(plan_mm, -1, axis=0) - plan_mm
    along /= np.maximum(np.linalg.norm(along, axis=1), 1e-12)[:, None]
    return along, np.stack([-along[:, 1], along[:, 0]], axis=1)


def sides_left(plan_mm: Outline, distances_mm: ArrayLike) -> list[int]:
    """Name the sides of an outline that do not turn over when moved inward; all where nothing plain is left."""
    distance = np.broadcast_to(np.asarray(distances_mm, dtype=np.float64), (len(plan_mm),))
    rest = _without_turned(plan_mm, *directions(plan_mm), distance)
    return list(range(len(plan_mm))) if rest is None else rest[0]


def joined_sides(plan_mm: Outline, sides: list[int]) -> Outline:
    """Outline of some sides of an outline, each drawn out until it meets the next."""
    along = np.roll(plan_mm, -1, axis=0) - plan_mm
    joins = [
        _join(plan_mm[j], (plan_mm[i], along[i] / np.hypot(*along[i])), (plan_mm[j], along[j] / np.hypot(*along[j])))
        for i, j in zip([sides[-1], *sides], sides, strict=False)
    ]
    return np.array([plan_mm[side] if join is None else join[0] for side, join in zip(sides, joins, strict=True)])


def _without_turned(
    plan_mm: Outline, along: Outline, inward: Outline, distance: Outline
) -> tuple[list[int], list[tuple[Outline, Outline]]] | None:
    """Leave out moved sides that turn over, as `_met`."""
    return _met([(plan_mm[k], plan_mm[k] + inward[k] * distance[k], along[k]) for k in range(len(plan_mm))])


def _met(lines: list[Line]) -> tuple[list[int], list[tuple[Outline, Outline]]] | None:
    """Join moved sides to a ring and leave out those that turn over, the worst first.

    Parameters
    ----------
    lines : list of (ndarray (2,), ndarray (2,), ndarray (2,))
        For each side the corner it starts at, a place on the moved side and its direction.

    Returns
    -------
    list of int, list of (ndarray (2,), ndarray (2,)), or None
        The sides left, and for each where the side before it ends and where it starts: two places at a step. None where
        sides that face each other have met.
    """
    kept = list(range(len(lines)))
    while len(kept) >= 3:
        joins = [_join(lines[j][0], lines[i][1:], lines[j][1:]) for i, j in zip([kept[-1], *kept], kept, strict=False)]
        if any(join is None for join in joins):
            return None
        sound = [join for join in joins if join is not None]
        lengths = [
            float((sound[(place + 1) % len(kept)][0] - sound[place][1]) @ lines[side][2])
            for place, side in enumerate(kept)
        ]
        worst = int(np.argmin(lengths))
        if lengths[worst] > 0:
            return kept, sound
        del kept[worst]
    return None


def _join(
    corner: Outline, before: tuple[Outline, Outline], after: tuple[Outline, Outline]
) -> tuple[Outline, Outline] | None:
    """Where two moved sides meet, each given by a place and a direction; at a step both places beside a corner."""
    (p, along), (q, on) = before, after
    rate = float(along[0] * on[1] - along[1] * on[0])
    if abs(rate) < NEARLY_STRAIGHT:
        if along @ on < 0:
            return None
        return p + along * float((corner - p) @ along), q + on * float((corner - q) @ on)
    gap = q - p
    meet = p + along * (float(gap[0] * on[1] - gap[1] * on[0]) / rate)
    return meet, meet


def _distinct(ring: Outline) -> Outline:
    """Leave out corners that fall on the one before them."""
    return np.asarray(ring[np.linalg.norm(ring - np.roll(ring, 1, axis=0), axis=1) > 1e-6], dtype=np.float64)


def stepped_back(plan_mm: Outline, distances_mm: ArrayLike) -> tuple[Outline, NDArray[np.int64]]:
    """Move every side inward, with a step where two sides that meet nearly straight move by different distances.

    Parameters
    ----------
    plan_mm, distances_mm
        As for `set_back`.

    Returns
    -------
    ndarray (M, 2), ndarray (M,) of int64
        Corners, and the corner of the outline each comes from; a step has two.
    """
    distance = np.broadcast_to(np.asarray(distances_mm, dtype=np.float64), (len(plan_mm),))
    along, inward = directions(plan_mm)
    before, before_by = np.roll(inward, 1, axis=0), np.roll(distance, 1)
    lines: list[Line] = []
    corner: list[int] = []
    for i in range(len(plan_mm)):
        ends = plan_mm[i] + before[i] * before_by[i], plan_mm[i] + inward[i] * distance[i]
        if _steps(along[i - 1], along[i], inward[i], ends):
            lines.append((plan_mm[i], ends[0], (ends[1] - ends[0]) / np.linalg.norm(ends[1] - ends[0])))
            corner.append(i)
        lines.append((plan_mm[i], ends[1], along[i]))
        corner.append(i)
    rest = _met(lines)
    if rest is None:
        moved = set_back(plan_mm, distance)
        return moved, np.zeros(len(moved), dtype=np.int64)
    sides, joins = rest
    ring = _distinct(np.array([place for ends in joins for place in ends]))
    if len(sides) < len(lines):
        return ring, np.zeros(len(ring), dtype=np.int64)
    places = [(corner[k], end) for k, ends in zip(sides, joins, strict=True) for end in ends]
    fresh = [np.linalg.norm(end - places[k - 1][1]) > 1e-6 for k, (_, end) in enumerate(places)]
    return ring, np.array([own for (own, _), new in zip(places, fresh, strict=True) if new], dtype=np.int64)


def _steps(past: Outline, along: Outline, inward: Outline, ends: tuple[Outline, Outline]) -> bool:
    """Whether at an inner corner one side, moved much less than the other, would run on within the other's distance."""
    rate = float(past @ inward)
    if rate < NEARLY_STRAIGHT:
        return False
    meet = float((ends[1] - ends[0]) @ inward) / rate
    return meet < -LEAST_STEP_MM or float((ends[0] + past * meet - ends[1]) @ along) > LEAST_STEP_MM


def chamfered(outline_mm: Outline, size_mm: float, corners: ArrayLike = True, sharp_mm: float = 0.0) -> Outline:
    """Take the tip off every convex corner whose two sides are long enough.

    Parameters
    ----------
    outline_mm : ndarray (N, 2)
        Anticlockwise corners.
    size_mm : float
        How much of each side is taken off.
    corners : array_like (N,) of bool
        Which corners.
    sharp_mm : float
        How wide a corner under `SHARP_DEG` is where its tip is off, at the least.
    """
    if size_mm <= 0:
        return outline_mm
    chosen = np.broadcast_to(np.asarray(corners, dtype=bool), (len(outline_mm),))
    kept: list[Outline] = []
    count = len(outline_mm)
    for i, corner in enumerate(outline_mm):
        to_before, to_after = outline_mm[i - 1] - corner, outline_mm[(i + 1) % count] - corner
        lengths = float(np.hypot(*to_before)), float(np.hypot(*to_after))
        convex = to_after[0] * to_before[1] - to_after[1] * to_before[0] > 0
        size = size_mm
        half = np.arccos(np.clip(to_before @ to_after / max(lengths[0] * lengths[1], SAME_MM), -1.0, 1.0)) / 2
        if half < np.radians(SHARP_DEG) / 2:
            size = max(size_mm, sharp_mm / (2 * max(float(np.sin(half)), NEARLY_STRAIGHT)))
        if chosen[i] and convex and min(lengths) > 3 * size:
            kept += [corner + to_before * (size / lengths[0]), corner + to_after * (size / lengths[1])]
        else:
            kept.append(corner)
    return np.array(kept)


def keeps_sides(outline_mm: Outline, moved_mm: Outline, least_mm: float) -> bool:
    """Say whether every side kept its direction and more than a given length after moving."""
    if len(outline_mm) != len(moved_mm):
        return False
    along = np.roll(outline_mm, -1, axis=0) - outline_mm
    moved = np.roll(moved_mm, -1, axis=0) - moved_mm
    kept = np.einsum("ij,ij->i", along, moved) / np.maximum(np.linalg.norm(along, axis=1), 1e-12)
    return bool((kept > least_mm).all())


def area_mm2(*rings_mm: Outline) -> float:
    """Area of a union of rings, holes running clockwise, in square millimetres."""
    # A building may stand far from the origin. Moved by whole millimetres its corners are the same on the grid.
    begins = np.floor(np.concatenate([np.asarray(ring) for ring in rings_mm]).min(axis=0))
    figure = Figure((Layer.union([np.asarray(ring) - begins for ring in rings_mm], 0),))
    return float(decompose(figure).twice_area.sum()) / 2 / 1e8


def require_room(ring_mm: Outline, of_mm: Outline, what: str, remedy: str) -> None:
    """Raise a `KitError` where an outline has vanished by being set back from another."""
    if area_mm2(ring_mm) < LEAST_ROOM_MM2:
        wide, deep = sorted(np.ptp(of_mm, axis=0).tolist())
        text = f"the building, or a part of it of {wide:.1f} x {deep:.1f} mm, is too small for {what} at this scale"
        raise KitError(text, "building", f"{remedy}, or leave the part out of the mesh")
