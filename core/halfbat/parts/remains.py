"""What remains of figures that lie over one another, as outlines; and without crumbs of it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from halfbat.building.overlay import overlay
from halfbat.building.rings import ring_area, trace_rings
from halfbat.parts.clearing import SAME_MM
from halfbat.parts.outlines import Outline
from halfbat.parts.sturdy import holds

Rings = Sequence[Outline]


def without_crumbs(rings: Rings, hollow: Rings, least_mm: float) -> list[Outline]:
    """Leave out pieces of a figure that are nowhere as wide as a wall.

    Parameters
    ----------
    rings : sequence of ndarray (K, 2)
        Outlines anticlockwise, what is taken out of them clockwise.
    hollow : sequence of ndarray (K, 2)
        What is cut out of all of it afterwards, in the same way.
    least_mm : float
        Smallest wall of the printer.
    """
    pieces = [ring for ring in outlines_of([rings], [hollow]) if ring_area(ring) > 0]
    return [*rings, *(ring[::-1] for ring in pieces if len(pieces) > 1 and not holds(ring, least_mm))]


def outlines_of(solid: Sequence[Rings], hollow: Sequence[Rings] = ()) -> list[Outline]:
    """Outlines of what is in any of some figures and in none of others, keeping the area on their left.

    Parameters
    ----------
    solid, hollow : sequence of sequences of ndarray (K, 2)
        Figures: outlines anticlockwise, what is taken out of them clockwise.
    """
    rings = [ring for figure in (*solid, *hollow) for ring in figure]
    cut = overlay(np.concatenate(rings), np.concatenate([np.roll(ring, -1, axis=0) for ring in rings]), SAME_MM)
    spots = cut.spots[1:]
    inside, out = (
        np.any([np.zeros(len(spots), dtype=bool), *(lies_in(figure, spots) for figure in some)], axis=0)
        for some in (solid, hollow)
    )
    kept = np.concatenate([[False], inside & ~out])
    left, right = kept[cut.beside].T
    edges = [*cut.ends[left & ~right].tolist(), *cut.ends[right & ~left][:, ::-1].tolist()]
    return [cut.nodes[ring] for ring in trace_rings([(a, b) for a, b in edges], cut.nodes)]


def lies_in(rings: Rings, spots: Outline) -> NDArray[np.bool_]:
    """Tell which places (N, 2) a figure of outlines and clockwise holes winds round, more often to the left."""
    turns = np.zeros(len(spots), dtype=np.int64)
    x, y = spots[:, 0:1], spots[:, 1:2]
    for ring in rings:
        (x0, y0), (x1, y1) = ring.T, np.roll(ring, -1, axis=0).T
        rise = np.where(y1 == y0, 1.0, y1 - y0)
        right = x < x0 + (y - y0) / rise * (x1 - x0)
        turns += np.count_nonzero((y0 <= y) & (y < y1) & right, axis=1)
        turns -= np.count_nonzero((y1 <= y) & (y < y0) & right, axis=1)
    return turns > 0
