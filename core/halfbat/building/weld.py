"""Points that belong together become one."""

from __future__ import annotations

import itertools

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]


def weld(points: Array, tolerance: float) -> tuple[Array, Ints]:
    """Join points nearer to each other than a tolerance.

    Parameters
    ----------
    points : ndarray, shape (N, D)
        Points in two or three dimensions.
    tolerance : float
        In the unit of the points.

    Returns
    -------
    welded : ndarray, shape (M, D)
        The first point of each group, in the order of the input.
    index : ndarray of int, shape (N,)
        Row of `welded` for each input point.
    """
    count = len(points)
    if count == 0:
        return points, np.zeros(0, dtype=np.int64)
    label = linked(count, *_near_pairs(points, tolerance))
    first, index = np.unique(label, return_inverse=True)
    return points[first], index.reshape(-1).astype(np.int64)


def _near_pairs(points: Array, tolerance: float) -> tuple[Ints, Ints]:
    """Return index pairs of points within the tolerance, found through a grid of cells."""
    cells = np.floor((points - points.min(axis=0)) / tolerance).astype(np.int64) + 1
    # 2 000 m in cells of 1 mm still fit: the product of three spans stays under 2**63.
    weights = np.cumprod(np.concatenate([[1], cells.max(axis=0)[:-1] + 2])).astype(np.int64)
    keys = cells @ weights
    order, crowd = _thinned(keys)
    left, right = [crowd[0]], [crowd[1]]
    unique, first = np.unique(keys[order], return_index=True)
    starts = np.append(first, len(order)).astype(np.int64)
    dimension = points.shape[1]
    for step in itertools.product((-1, 0, 1), repeat=dimension):
        if step < (0,) * dimension:
            continue
        wanted = unique + np.array(step) @ weights
        place = np.minimum(np.searchsorted(unique, wanted), len(unique) - 1)
        here = np.flatnonzero(unique[place] == wanted)
        a, b = cross_join(starts, here, place[here])
        a, b = order[a], order[b]
        near = (a != b) & (np.sum((points[a] - points[b]) ** 2, axis=1) <= tolerance * tolerance)
        left.append(a[near])
        right.append(b[near])
    return np.concatenate(left).astype(np.int64), np.concatenate(right).astype(np.int64)


def _thinned(keys: Ints, most: int = 32) -> tuple[Ints, tuple[Ints, Ints]]:
    """Sort points by cell and link the surplus of a crowded cell to its first point.

    A crowd in one cell is one point whichever way its members are paired, and pairing a thousand
    copies of a point with each other would make a million pairs.
    """
    order = np.argsort(keys, kind="stable")
    ordered = keys[order]
    first = np.searchsorted(ordered, ordered)
    surplus = np.arange(len(keys)) - first >= most
    return order[~surplus], (order[first[surplus]], order[surplus])


def cross_join(starts: Ints, first: Ints, second: Ints) -> tuple[Ints, Ints]:
    """Return every pairing of the members of group ``first[i]`` with those of ``second[i]``.

    Parameters
    ----------
    starts : ndarray of int, shape (G + 1,)
        Where each group's members start in a list sorted by group.
    first, second : ndarray of int, shape (P,)
        The groups to pair.

    Returns
    -------
    tuple of ndarray
        Places in the sorted list, pairwise.
    """
    size_a = starts[first + 1] - starts[first]
    size_b = starts[second + 1] - starts[second]
    sizes = size_a * size_b
    total = int(sizes.sum())
    pair = np.repeat(np.arange(len(first)), sizes)
    inner = np.arange(total) - np.repeat(np.cumsum(sizes) - sizes, sizes)
    a = starts[first][pair] + inner // size_b[pair]
    b = starts[second][pair] + inner % size_b[pair]
    return a, b


def linked(count: int, left: Ints, right: Ints) -> Ints:
    """Label each thing with the lowest index it is linked to, over any number of links.

    Parameters
    ----------
    count : int
        Number of things.
    left, right : ndarray of int, shape (P,)
        Links, pairwise.

    Returns
    -------
    ndarray of int, shape (count,)
    """
    label = np.arange(count, dtype=np.int64)
    while len(left):
        low = np.minimum(label[left], label[right])
        before = label.copy()
        np.minimum.at(label, left, low)
        np.minimum.at(label, right, low)
        np.minimum.at(label, before[left], low)
        np.minimum.at(label, before[right], low)
        label = label[label]
        if np.array_equal(label, before):
            break
    return label
