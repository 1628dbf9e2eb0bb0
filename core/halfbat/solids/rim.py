"""The rim of a plate: plane strips between the edge of its upper side and that of its lower side."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import accumulate, pairwise
from math import hypot

import numpy as np

from halfbat.solids.grid import CORNER_STEP, Ints
from halfbat.solids.relief import Raised

Vertex = tuple[int, int, int, int]
"""A place, the height over it, and the number of the vertex there."""
Triangle = tuple[int, int, int]
Corner = tuple[int, int, int]
"""How far along its strip a vertex stands, its height, and its number."""
STRAIGHT = 3
"""By how many grid units rounding may carry a point off the straight edge it lies on."""
PARTED = 500
"""By how many grid units rounding may part the corners of front and back: it moves acute ones furthest."""
DIFFER = "the outlines of front and back differ"


def rim_between(upper: Raised, lower: Raised) -> Ints:
    """Close a plate between its two sides.

    Parameters
    ----------
    upper, lower : Raised
        Over one outline. Vertices of the lower side are numbered after all those of the upper one.

    Returns
    -------
    ndarray (M, 3) of int64

    Raises
    ------
    ValueError
        The outlines differ.
    """
    shift = len(upper.vertices)
    top_of, bottom_of = _vertex_at(upper, 0), _vertex_at(lower, shift)
    after = dict(zip(_places(lower, lower.rim_from), _places(lower, lower.rim_to), strict=True))
    triangles: list[Triangle] = []
    met = 0
    for loop in _loops(upper):
        common = [k for k, place in enumerate(loop) if place in after]
        if not common:
            raise ValueError(DIFFER)
        around = loop + loop
        for start, end in zip(common, [*common[1:], common[0] + len(loop)], strict=True):
            top = around[start : end + 1]
            bottom = [top[0], after[top[0]]]
            while bottom[-1] != top[-1]:
                if len(bottom) > len(after):
                    raise ValueError(DIFFER)
                bottom.append(after[bottom[-1]])
            met += len(bottom) - 1
            chains = [(*place, *top_of[place]) for place in top], [(*place, *bottom_of[place]) for place in bottom]
            for upper_chain, lower_chain in _straight(*chains):
                triangles += _strip(upper_chain, lower_chain)
    if met != len(after):
        raise ValueError(DIFFER)
    return np.array(triangles, dtype=np.int64)


def _places(raised: Raised, points: Ints) -> list[tuple[int, int]]:
    return [(x, y) for x, y in raised.sheet.points[points].tolist()]


def _vertex_at(raised: Raised, shift: int) -> dict[tuple[int, int], tuple[int, int]]:
    """Height and number of the rim's vertex at each place."""
    heights = raised.vertices[raised.rim_vertex_from, 2].tolist()
    numbers = (raised.rim_vertex_from + shift).tolist()
    return dict(zip(_places(raised, raised.rim_from), zip(heights, numbers, strict=True), strict=True))


def _loops(raised: Raised) -> list[list[tuple[int, int]]]:
    after = dict(zip(_places(raised, raised.rim_from), _places(raised, raised.rim_to), strict=True))
    loops = []
    while after:
        first, here = after.popitem()
        loop = [first]
        while here != first:
            loop.append(here)
            here = after.pop(here)
        loops.append(loop)
    return loops


def _straight(top: list[Vertex], bottom: list[Vertex]) -> Iterator[tuple[list[Vertex], list[Vertex]]]:
    """Divide two chains that run beside each other where they bend, though rounding may part the bends a little."""
    waiting = [(top, bottom)]
    while waiting:
        pair = waiting.pop()
        offs = [_offsets(chain) for chain in pair]
        if max(map(max, offs)) <= STRAIGHT:
            yield pair
            continue
        which = 0 if max(offs[0]) >= max(offs[1]) else 1
        place = offs[which].index(max(offs[which]))
        bend, other = pair[which][place], pair[1 - which]
        near = min(range(len(other)), key=lambda k: abs(other[k][0] - bend[0]) + abs(other[k][1] - bend[1]))
        if hypot(other[near][0] - bend[0], other[near][1] - bend[1]) > PARTED:
            # One side alone may have a corner there, rounded off the straight edge.
            if max(map(max, offs)) <= CORNER_STEP:
                yield pair
                continue
            # Rounding carries a bend that is hardly one far along its edge, but not off it.
            if min(_away(bend, one, two) for one, two in pairwise(other)) > STRAIGHT:
                raise ValueError(DIFFER)
        cuts = (place, near) if which == 0 else (near, place)
        waiting += [
            (pair[0][cuts[0] :], pair[1][cuts[1] :]),
            (pair[0][: cuts[0] + 1], pair[1][: cuts[1] + 1]),
        ]


def _away(vertex: Vertex, one: Vertex, two: Vertex) -> float:
    """How far a vertex lies from the line between two others, in plan."""
    (x, y), (dx, dy) = (vertex[0] - one[0], vertex[1] - one[1]), (two[0] - one[0], two[1] - one[1])
    length2 = dx * dx + dy * dy
    share = min(max((x * dx + y * dy) / length2, 0.0), 1.0) if length2 else 0.0
    return hypot(x - share * dx, y - share * dy)


def _offsets(chain: list[Vertex]) -> list[float]:
    """How far each vertex of a chain lies off the line between its ends, to the side or beyond them."""
    if len(chain) <= 2:
        return [0.0]
    (x0, y0), (x1, y1) = chain[0][:2], chain[-1][:2]
    length = hypot(x1 - x0, y1 - y0)
    if not length:
        return [hypot(vertex[0] - x0, vertex[1] - y0) for vertex in chain]
    along, across = (x1 - x0) / length, (y1 - y0) / length
    offsets = []
    for x, y, _, _ in chain:
        far = (x - x0) * along + (y - y0) * across
        offsets.append(max(abs((x - x0) * across - (y - y0) * along), -far, far - length))
    return offsets


def _strip(top: list[Vertex], bottom: list[Vertex]) -> list[Triangle]:
    """Triangles between two chains of (x, y, height, number) that run beside each other, in their own plane.

    The strip is a polygon that runs one way along its edge, so one sweep with a stack of corners not yet done
    divides it, however the two chains rise and fall.
    """
    level = all(vertex[2] == top[0][2] for vertex in top)
    if len(top) == 1 or len(bottom) == 1 or (len(bottom) == 2 and level):
        fan = [(two[3], one[3], bottom[0][3]) for one, two in pairwise(top)]
        return fan + [(one[3], two[3], top[-1][3]) for one, two in pairwise(bottom)]
    along = [_along(top), _along(bottom)]
    along[0][-1] = along[1][-1] = max(along[0][-1], along[1][-1])
    chains = [
        [((far, vertex[2], vertex[3]), which) for far, vertex in zip(along[which], vertices, strict=True)]
        for which, vertices in enumerate((top, bottom))
    ]
    inner = sorted(chains[0][1:-1] + chains[1][1:-1], key=lambda one: one[0][0])
    triangles: list[Triangle] = []
    stack, side = [chains[0][0][0], chains[1][0][0]], 1
    for corner, which in (*inner, chains[0][-1], chains[1][-1]):
        if which == side:
            while len(stack) > 1 and _bulges(stack[-2], stack[-1], corner, side):
                triangles.append(_facing(stack[-2][2], stack[-1][2], corner[2], side))
                stack.pop()
        else:
            triangles += [_facing(one[2], two[2], corner[2], side) for one, two in pairwise(stack)]
            stack = [stack[-1]]
        stack.append(corner)
        side = which
    return triangles


def _along(chain: list[Vertex]) -> list[int]:
    """How far along its edge each vertex stands; one carried back a grid unit by rounding is level with the last."""
    x, y = chain[0][:2]
    return list(accumulate((abs(vertex[0] - x) + abs(vertex[1] - y) for vertex in chain), max))


def _bulges(one: Corner, two: Corner, three: Corner, chain: int) -> bool:
    """Whether the strip lies inside the corner that three vertices of one chain make."""
    turn = (two[0] - one[0]) * (three[1] - one[1]) - (two[1] - one[1]) * (three[0] - one[0])
    return turn < 0 if chain == 0 else turn > 0


def _facing(one: int, two: int, three: int, chain: int) -> Triangle:
    """Turn a triangle, two of whose corners follow one another on a chain, to face outward."""
    return (two, one, three) if chain == 0 else (one, two, three)
