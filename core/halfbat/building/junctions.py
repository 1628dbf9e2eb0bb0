"""Points that lie on an edge of another face: T-junctions."""

from __future__ import annotations

import itertools

import numpy as np
import numpy.typing as npt

from halfbat.building.polygons import Edges, Polygons
from halfbat.building.weld import linked

Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]


def find_junctions(points: Array, polygons: Polygons, edges: Edges, tolerance: float) -> tuple[Ints, Ints, Array]:
    """Find the points that lie on an edge without being one of its ends.

    Edges are taken in classes of length, each with a grid of its own as coarse as the edges are
    long, so that the work grows with the number of edges and not with its square. Edges between
    two faces of a mesh that hangs together are not looked at: nothing else can end on them.

    Parameters
    ----------
    points : ndarray, shape (N, 3)
        Metres.
    polygons : Polygons
        Over the points.
    edges : Edges
        Their edges.
    tolerance : float
        How far a point may be off the edge, metres.

    Returns
    -------
    edge : ndarray of int, shape (J,)
        The edges, sorted.
    point : ndarray of int, shape (J,)
        The points on them, in order along the edge.
    share : ndarray, shape (J,)
        How far along, from 0 at the lower end to 1.
    """
    lengths = np.linalg.norm(points[edges.ends[:, 1]] - points[edges.ends[:, 0]], axis=1)
    used = np.unique(edges.ends)
    suspects = (lengths > 2 * tolerance) & ((edges.uses != 2) | (face_parts(polygons, edges) > 1))
    found = [
        _on_edges(points, used, edges.ends, members, lengths, tolerance)
        for members in _length_classes(lengths, np.flatnonzero(suspects))
    ]
    if not found:
        return np.zeros(0, np.int64), np.zeros(0, np.int64), np.zeros(0)
    edge, point, share = (np.concatenate([row[i] for row in found]) for i in range(3))
    order = np.lexsort([share, edge])
    return edge[order].astype(np.int64), point[order].astype(np.int64), share[order]


def face_parts(polygons: Polygons, edges: Edges) -> int:
    """Count the parts of a mesh that hang together over edges of exactly two faces."""
    order = np.argsort(edges.of_corner, kind="stable")
    paired = edges.uses[edges.of_corner[order]] == 2
    faces = polygons.face_of[order][paired].reshape(-1, 2)
    return len(np.unique(linked(polygons.count, faces[:, 0], faces[:, 1])))


def _length_classes(lengths: Array, usable: Ints) -> list[Ints]:
    """Return the usable edges in groups whose lengths differ by less than a factor of two."""
    grade = np.floor(np.log2(lengths[usable]))
    return [usable[grade == value] for value in np.unique(grade)]


def _on_edges(
    points: Array, used: Ints, ends: Ints, members: Ints, lengths: Array, tolerance: float
) -> tuple[Ints, Ints, Array]:
    """Find the points on edges of about one length."""
    # No edge is longer than a cell, so the box round it touches two cells at most each way.
    cell = float(lengths[members].max()) + 4.0 * tolerance
    a, b = points[ends[members, 0]], points[ends[members, 1]]
    low, high = np.minimum(a, b) - tolerance, np.maximum(a, b) + tolerance
    origin = points[used].min(axis=0) - cell
    span = np.floor((points[used].max(axis=0) - origin) / cell).astype(np.int64) + 3
    keys = _keys(points[used], origin, cell, span)
    order = np.argsort(keys, kind="stable")
    cells, first = np.unique(keys[order], return_index=True)
    starts = np.append(first, len(order)).astype(np.int64)
    wanted = [
        np.stack([members, _keys(np.where(np.array(corner), high, low), origin, cell, span)], axis=1)
        for corner in itertools.product((False, True), repeat=3)
    ]
    pairs = np.unique(np.concatenate(wanted), axis=0)
    place = np.minimum(np.searchsorted(cells, pairs[:, 1]), len(cells) - 1)
    hit = cells[place] == pairs[:, 1]
    return _checked(points, used[order], starts, place[hit], ends, pairs[hit, 0], tolerance)


def _keys(spots: Array, origin: Array, cell: float, span: Ints) -> Ints:
    """Return one number for the grid cell of each spot."""
    cells = np.clip(np.floor((spots - origin) / cell).astype(np.int64), 0, span - 1)
    keys: Ints = (cells[:, 0] * span[1] + cells[:, 1]) * span[2] + cells[:, 2]
    return keys


def _checked(
    points: Array, members: Ints, starts: Ints, cells: Ints, ends: Ints, edges: Ints, tolerance: float
) -> tuple[Ints, Ints, Array]:
    """Keep the points of the cells that do lie on their edge, between its ends."""
    out: list[tuple[Ints, Ints, Array]] = []
    # In blocks, so that a crowd of points in one cell does not fill the memory.
    load = np.cumsum(starts[cells + 1] - starts[cells]) // 2_000_000
    for block in np.unique(load):
        rows = np.flatnonzero(load == block)
        spot, row = _spread(starts, cells[rows], rows)
        edge, point = edges[row], members[spot]
        a = points[ends[edge, 0]]
        d = points[ends[edge, 1]] - a
        p = points[point] - a
        square = np.einsum("ij,ij->i", d, d)
        share = np.einsum("ij,ij->i", p, d) / square
        off = np.linalg.norm(p - share[:, None] * d, axis=1)
        margin = tolerance / np.sqrt(square)
        on = (off <= tolerance) & (share > margin) & (share < 1.0 - margin)
        on &= (point != ends[edge, 0]) & (point != ends[edge, 1])
        out.append((edge[on], point[on], share[on]))
    if not out:
        return np.zeros(0, np.int64), np.zeros(0, np.int64), np.zeros(0)
    edge, point, share = (np.concatenate([row[i] for row in out]) for i in range(3))
    return edge, point, share


def _spread(starts: Ints, cells: Ints, rows: Ints) -> tuple[Ints, Ints]:
    """Return every member of each cell beside the row that asked for it."""
    sizes = starts[cells + 1] - starts[cells]
    inner = np.arange(int(sizes.sum())) - np.repeat(np.cumsum(sizes) - sizes, sizes)
    return np.repeat(starts[cells], sizes) + inner, np.repeat(rows, sizes)


def split_at_junctions(polygons: Polygons, edges: Edges, edge: Ints, point: Ints) -> Polygons:
    """Put the points found on edges into the polygons that walk those edges.

    Parameters
    ----------
    polygons : Polygons
        The polygons whose edges they are.
    edges : Edges
        Their edges.
    edge, point : ndarray of int, shape (J,)
        As returned by `find_junctions`.

    Returns
    -------
    Polygons
    """
    if len(edge) == 0:
        return polygons
    bounds = np.searchsorted(edge, np.arange(len(edges.ends) + 1))
    where: list[int] = []
    what: list[int] = []
    struck = np.flatnonzero(np.diff(bounds)[edges.of_corner] > 0)
    for corner in struck.tolist():
        e = int(edges.of_corner[corner])
        along = point[bounds[e] : bounds[e + 1]]
        inserted = along if edges.way[corner] > 0 else along[::-1]
        where.extend([corner + 1] * len(inserted))
        what.extend(inserted.tolist())
    places = np.array(where, dtype=np.int64)
    added = np.bincount(polygons.face_of[places - 1], minlength=polygons.count)
    sizes = polygons.sizes + added
    return Polygons(np.insert(polygons.corners, places, what), np.concatenate([[0], np.cumsum(sizes)]))
