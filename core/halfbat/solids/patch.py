"""Plane patches with holes, cut into triangles between the corners they have.

The trapezoids of `sheet` add points on an outline; a patch that must fit the corners of its neighbours may not. This is
the simpler and dearer way for small patches: holes are joined to the outline by bridges, then ears are cut off.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from halfbat.solids.grid import Ints

Point = tuple[int, int]
SHAPES = (0.2, 0.02, 0.0005, 0.0)
"""Twice an ear's area over the square of its longest side: what is taken first, and what in need."""


def triangulate(points: Ints, outline: Sequence[int], holes: Sequence[Sequence[int]]) -> Ints:
    """Cut a polygon with holes into triangles without adding a point.

    Parameters
    ----------
    points : ndarray (N, 2) of int64
        Places in grid units.
    outline : sequence of int
        Corners anticlockwise; corners on straight stretches are kept.
    holes : sequence of sequence of int
        Corners clockwise.

    Returns
    -------
    ndarray (M, 3) of int64
        Anticlockwise triangles.

    Raises
    ------
    ValueError
        The rings cross or touch.
    """
    place = [(int(x), int(y)) for x, y in points.tolist()]
    ring = list(outline)
    for hole in sorted(holes, key=lambda own: max(place[i] for i in own), reverse=True):
        ring = _bridged(place, ring, list(hole))
    return _clipped(place, ring)


def _turn(a: Point, b: Point, c: Point) -> int:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _bridged(place: list[Point], ring: list[int], hole: list[int]) -> list[int]:
    """Join a hole to the ring by the shortest line that meets nothing else."""
    start = max(range(len(hole)), key=lambda i: place[hole[i]])
    tip = place[hole[start]]
    order = sorted(range(len(ring)), key=lambda i: (_distance(tip, place[ring[i]]), i))
    own = list(zip(hole, [*hole[1:], hole[0]], strict=True))
    others = [*zip(ring, [*ring[1:], ring[0]], strict=True), *own]
    for at in order:
        corner = place[ring[at]]
        if not _opens_to(place, ring, at, tip):
            continue
        if not any(_meets(tip, corner, place[a], place[b]) for a, b in others):
            return [*ring[: at + 1], *hole[start:], *hole[: start + 1], *ring[at:]]
    raise ValueError("a hole touches or crosses the outline of its patch")


def _distance(a: Point, b: Point) -> int:
    return (a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2


def _opens_to(place: list[Point], ring: list[int], at: int, target: Point) -> bool:
    """Whether a line from a corner to a place starts inside the ring."""
    before, here, after = place[ring[at - 1]], place[ring[at]], place[ring[(at + 1) % len(ring)]]
    if _turn(before, here, after) > 0:
        return _turn(here, target, before) > 0 and _turn(here, after, target) > 0
    return not (_turn(here, target, after) >= 0 and _turn(here, before, target) >= 0)


def _meets(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether two segments share a place other than a common end."""
    if c in (a, b) or d in (a, b):
        far, near = (d, c) if c in (a, b) else (c, d)
        if far in (a, b):
            return True
        return _turn(a, b, far) == 0 and _on(a, b, far) and near != far
    p, q, r, s = _turn(a, b, c), _turn(a, b, d), _turn(c, d, a), _turn(c, d, b)
    if (p > 0) != (q > 0) and (r > 0) != (s > 0) and p and q and r and s:
        return True
    return (
        (p == 0 and _on(a, b, c)) or (q == 0 and _on(a, b, d)) or (r == 0 and _on(c, d, a)) or (s == 0 and _on(c, d, b))
    )


def _on(a: Point, b: Point, p: Point) -> bool:
    return min(a[0], b[0]) <= p[0] <= max(a[0], b[0]) and min(a[1], b[1]) <= p[1] <= max(a[1], b[1])


def _clipped(place: list[Point], ring: list[int]) -> Ints:
    """Cut off ears, well-shaped ones first, so that corners on straight stretches are not left to the end."""
    triangles: list[tuple[int, int, int]] = []
    at = stuck = shape = 0
    while len(ring) > 3:
        count = len(ring)
        a, b, c = ring[at % count - 1], ring[at % count], ring[(at + 1) % count]
        if _is_ear(place, ring, a, b, c, SHAPES[shape]):
            triangles.append((a, b, c))
            del ring[at % count]
            at, stuck, shape = at % count, 0, 0
            continue
        at += 1
        stuck += 1
        if stuck > count:
            stuck, shape = 0, shape + 1
            if shape == len(SHAPES):
                raise ValueError("the rings of a patch cross or touch")
    if _turn(*(place[i] for i in ring)) <= 0:
        raise ValueError("the rings of a patch cross or touch")
    triangles.append((ring[0], ring[1], ring[2]))
    return np.array(triangles, dtype=np.int64)


def _is_ear(place: list[Point], ring: list[int], a: int, b: int, c: int, shape: float) -> bool:
    p, q, r = place[a], place[b], place[c]
    turn = _turn(p, q, r)
    if turn <= shape * max(_distance(p, q), _distance(q, r), _distance(r, p)):
        return False
    low = min(p[0], q[0], r[0]), min(p[1], q[1], r[1])
    high = max(p[0], q[0], r[0]), max(p[1], q[1], r[1])
    for other in ring:
        s = place[other]
        if s in (p, q, r) or not (low[0] <= s[0] <= high[0] and low[1] <= s[1] <= high[1]):
            continue
        if _turn(p, q, s) >= 0 and _turn(q, r, s) >= 0 and _turn(r, p, s) >= 0:
            return False
    return True
