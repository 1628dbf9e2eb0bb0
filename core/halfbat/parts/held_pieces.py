"""What of a face a panel takes: where a cut would leave it a strip or a tip too thin to hold, it ends before that."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.cells import PanelCell
from halfbat.parts.clearing import area_of, rings_within
from halfbat.parts.parted_cells import between, opened
from halfbat.parts.sturdy import holds, sturdy

Array = NDArray[np.float64]
_ROUNDS = 6
_HAIR_MM = 1e-3
_EVERYWHERE = np.array([[-np.inf, -np.inf], [np.inf, np.inf]])
SQUARED_SHARE = 2.0
"""How much more than strips and tips themselves, in squares of the smallest wall, may go with them."""


def held_cells(cells: Sequence[PanelCell], outline_mm: Array, least_mm: float) -> tuple[tuple[PanelCell, ...], float]:
    """End the cells of a wall where what a cut leaves of the wall in them is too thin.

    Parameters
    ----------
    cells : sequence of PanelCell
        In each of which the wall hangs together.
    outline_mm : ndarray (N, 2)
        Face of the wall, anticlockwise.
    least_mm : float
        Smallest wall of the printer.

    Returns
    -------
    tuple of PanelCell, float
        In the same order, with the same numbers, without those in which nothing holds; and the area left out, mm2.
    """
    kept: list[PanelCell] = []
    lost_mm2 = 0.0
    for cell in cells:
        box, lost = (_EVERYWHERE, 0.0) if cell.is_whole else _held(rings_within(outline_mm, opened(cell)), least_mm)
        lost_mm2 += lost
        if box is not None:
            kept.append(_within(cell, box))
    return tuple(kept), lost_mm2


def held_boxes(boxes: Sequence[Array], outline_mm: Array, least_mm: float) -> tuple[list[Array], float]:
    """End the boxes of a slope's panels as `held_cells` does the cells of a wall."""
    kept: list[Array] = []
    lost_mm2 = 0.0
    for box in boxes:
        (x0, y0), (x1, y1) = box
        rings = rings_within(outline_mm, np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]]))
        held, lost = _held(rings, least_mm)
        lost_mm2 += lost
        if held is not None:
            kept.append(np.array([np.maximum(box[0], held[0]), np.minimum(box[1], held[1])]))
    return kept, lost_mm2


def _held(rings: Sequence[Array], least_mm: float) -> tuple[Array | None, float]:
    """Box of the only piece in a cell, all of it where there are more, None where there is none."""
    if len(rings) == 1:
        return held_box(rings[0], least_mm)
    return _EVERYWHERE if rings else None, 0.0


def _within(cell: PanelCell, box: Array) -> PanelCell:
    for axis in (0, 1):
        if np.isfinite(box[:, axis]).any():
            cell = between(cell, axis, *box[:, axis].tolist())
    return cell


def held_box(ring: Array, least_mm: float) -> tuple[Array | None, float]:
    """Find the box in which a piece of a face has no strip and no sharp tip at its sides.

    Parameters
    ----------
    ring : ndarray (N, 2)
        The piece, anticlockwise.
    least_mm : float
        Smallest wall of the printer.

    Returns
    -------
    ndarray (2, 2) or None, float
        Lowest and highest corner, infinite where the piece ends anyway, None where nothing of it holds; and the area
        that is left out, mm2.
    """
    box, whole = _EVERYWHERE.copy(), area_of(ring)
    for _ in range(_ROUNDS):
        held, _edges = sturdy(ring, least_mm)
        sides = np.array([held.min(axis=0), held.max(axis=0)])
        moved = np.abs(sides - [ring.min(axis=0), ring.max(axis=0)]) > _HAIR_MM
        if not moved.any():
            break
        (x0, y0), (x1, y1) = sides
        left = rings_within(ring, np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]]))
        if len(left) != 1 or area_of(left[0]) < area_of(held) - SQUARED_SHARE * least_mm**2:
            break
        box, ring = np.where(moved, sides, box), left[0]
    if not holds(ring, least_mm):
        return None, whole
    return box, whole - area_of(ring)
