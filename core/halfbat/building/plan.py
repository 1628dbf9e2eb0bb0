"""Walls seen from above become one closed loop."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from halfbat.building.outline import WallFace
from halfbat.building.rings import inside_rings, ring_area
from halfbat.building.weld import weld
from halfbat.errors import KitError

Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]

#: Says in words which faces some of the walls are made of.
Place = Callable[[list[int]], str]

#: Wall ends nearer than this in plan are one corner, metres.
CORNER_M = 0.005


@dataclass(frozen=True, slots=True, eq=False)
class PlanLoop:
    """One counter-clockwise loop.

    Parameters
    ----------
    corners_m : ndarray, shape (N, 2)
        Corners in plan, metres.
    walls : tuple of int
        Place, in the list given, of the wall that starts at each corner.
    """

    corners_m: Array
    walls: tuple[int, ...]


def find_loop(walls: list[WallFace], place: Place) -> PlanLoop:
    """Join walls to one loop.

    Parameters
    ----------
    walls : list of WallFace
        Rectangles.
    place : callable
        Says in words which faces some of the walls are made of.

    Returns
    -------
    PlanLoop

    Raises
    ------
    KitError
        If the walls leave a gap, branch, cross, or make more than one loop.
    """
    ends = np.array([end for wall in walls for end in (wall.left_m, wall.right_m)])
    nodes, index = weld(ends, CORNER_M)
    pairs = index.reshape(-1, 2)
    degree = np.bincount(pairs.reshape(-1), minlength=len(nodes))
    _refuse_crossing(nodes, pairs, place)
    _refuse_ends(nodes, pairs, degree, place)
    loops = _walk(pairs)
    if len(loops) > 1:
        _refuse_many(nodes, loops, place)
    corners = np.array([node for node, _ in loops[0]])
    order = [wall for _, wall in loops[0]]
    if ring_area(nodes[corners]) < 0:
        corners = np.concatenate([corners[:1], corners[:0:-1]])
        order = order[::-1]
    return PlanLoop(nodes[corners], tuple(order))


def _walk(pairs: Ints) -> list[list[tuple[int, int]]]:
    """Follow walls from corner to corner, where two meet at every corner."""
    at: dict[int, list[int]] = {}
    for wall, (a, b) in enumerate(pairs.tolist()):
        at.setdefault(a, []).append(wall)
        at.setdefault(b, []).append(wall)
    free = set(range(len(pairs)))
    loops = []
    while free:
        wall = min(free)
        node = int(pairs[wall, 0])
        loop: list[tuple[int, int]] = []
        while wall in free:
            free.remove(wall)
            loop.append((node, wall))
            node = int(pairs[wall].sum()) - node
            wall = next((other for other in at[node] if other in free), wall)
        loops.append(loop)
    return loops


def _refuse_crossing(nodes: Array, pairs: Ints, place: Place) -> None:
    starts, ends = nodes[pairs[:, 0]], nodes[pairs[:, 1]]
    remedy = "move the corners until no wall crosses another, or join overlapping parts to one outline"
    for crossing, what in (
        (crossing_pairs(starts, ends, pairs, touching=False), "the walls cross each other in plan"),
        (
            crossing_pairs(starts, ends, pairs),
            "a wall touches another elsewhere than at its ends, as inner walls and parts side by side do",
        ),
    ):
        if len(crossing):
            a, b = crossing[0]
            raise KitError(what, place([int(a), int(b)]), remedy)


def _refuse_ends(nodes: Array, pairs: Ints, degree: Ints, place: Place) -> None:
    for wrong, what, remedy in (
        (degree == 1, "the walls do not close: a wall ends in the open", "close the gap, so that every wall meets two"),
        (
            degree > 2,
            "more than two walls meet at a corner",
            "delete inner walls and make parts that touch one single outline",
        ),
    ):
        if wrong.any():
            node = int(np.flatnonzero(wrong)[0])
            x, y = nodes[node]
            near = place(np.flatnonzero((pairs == node).any(axis=1)).tolist())
            raise KitError(what, f"{near}, at x {x:.2f} m, y {y:.2f} m", remedy)


def _refuse_many(nodes: Array, loops: list[list[tuple[int, int]]], place: Place) -> None:
    rings = [nodes[[node for node, _ in loop]] for loop in loops]
    sizes = [abs(ring_area(ring)) for ring in rings]
    largest = int(np.argmax(sizes))
    others = [i for i in range(len(loops)) if i != largest]
    where = place([loops[others[0]][0][1]])
    if all(bool(inside_rings([rings[largest]], rings[i].mean(axis=0, keepdims=True))[0]) for i in others):
        raise KitError(
            "the plan has a loop of walls inside another, as a courtyard or walls modelled with their thickness do, "
            "which cannot be made yet",
            where,
            "delete the inner loop, or split the building into parts without a courtyard",
        )
    raise KitError(
        f"the mesh has {len(loops)} separate loops of walls, and a kit is made of one building part",
        where,
        "make a kit of each part, or join the parts to one outline",
    )


def crossing_pairs(starts: Array, ends: Array, nodes: Ints | None = None, touching: bool = True) -> Ints:
    """Find segments that cross, touch or lie over each other elsewhere than at a shared end.

    Parameters
    ----------
    starts, ends : ndarray, shape (N, 2)
        Segments.
    nodes : ndarray of int, shape (N, 2), optional
        Names of their ends; by default those of a closed ring.
    touching : bool
        False finds only those that truly cross.

    Returns
    -------
    ndarray of int, shape (K, 2)
        Pairs, lower first.
    """
    count = len(starts)
    if nodes is None:
        nodes = np.stack([np.arange(count), (np.arange(count) + 1) % count], axis=1)
    i, j = np.triu_indices(count, 1)
    a, b, c, d = starts[i], ends[i], starts[j], ends[j]
    shared = (nodes[i][:, :, None] == nodes[j][:, None, :]).any(axis=(1, 2))
    ab_c, ab_d, cd_a, cd_b = _side(a, b, c), _side(a, b, d), _side(c, d, a), _side(c, d, b)
    proper = (ab_c * ab_d < 0) & (cd_a * cd_b < 0)
    touch = _on(ab_c, a, b, c) | _on(ab_d, a, b, d) | _on(cd_a, c, d, a) | _on(cd_b, c, d, b)
    if not touching:
        crossed = proper & ~shared
        return np.stack([i[crossed], j[crossed]], axis=1)
    bad = np.where(shared, _folded(a, b, c, d, nodes[i], nodes[j]), proper | touch)
    return np.stack([i[bad], j[bad]], axis=1)


def _side(a: Array, b: Array, p: Array) -> Array:
    """Distance of p to the left of the line from a to b, flat within a tenth of a millimetre."""
    step, to = b - a, p - a
    length = np.maximum(np.hypot(step[:, 0], step[:, 1]), 1e-12)
    off: Array = (step[:, 0] * to[:, 1] - step[:, 1] * to[:, 0]) / length
    return np.where(np.abs(off) < 1e-4, 0.0, off)


def _on(side: Array, a: Array, b: Array, p: Array) -> Flags:
    """Say whether p, on the line through a and b, lies between them."""
    step = b - a
    share = np.einsum("ij,ij->i", p - a, step) / np.maximum(np.einsum("ij,ij->i", step, step), 1e-24)
    on: Flags = (side == 0.0) & (share > 0.0) & (share < 1.0)
    return on


def _folded(a: Array, b: Array, c: Array, d: Array, first: Ints, second: Ints) -> Flags:
    """Say whether two segments with a shared end run back over each other."""
    both = np.sort(first, axis=1) == np.sort(second, axis=1)
    at_a = (first[:, 0] == second[:, 0]) | (first[:, 0] == second[:, 1])
    at_c = (second[:, 0] == first[:, 0]) | (second[:, 0] == first[:, 1])
    u = np.where(at_a[:, None], b - a, a - b)
    v = np.where(at_c[:, None], d - c, c - d)
    cross = np.abs(u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0])
    size = np.hypot(u[:, 0], u[:, 1]) * np.hypot(v[:, 0], v[:, 1])
    folded: Flags = both.all(axis=1) | ((cross <= 1e-6 * size) & (np.einsum("ij,ij->i", u, v) > 0.0))
    return folded
