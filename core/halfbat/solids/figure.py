"""Plane figures: layers of polygons, later ones lying over earlier ones.

A layer holds either *tiles* (rings that do not overlap each other, each with a cell of its own) or a *union* (rings
that may overlap or be holes, all of one cell). The first layer is the outline: what it does not cover lies outside.
A cell is an index into a table kept by the caller; the cell `OUTSIDE` makes a hole.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from halfbat.solids.grid import CORNER_STEP, Ints, to_grid

OUTSIDE = -1


@dataclass(frozen=True, slots=True)
class Layer:
    """Rings of points on the grid.

    Parameters
    ----------
    points : ndarray (N, 2) of int64
        Corners of all rings one after another, in grid units.
    starts : ndarray (R + 1,) of int64
        Where each ring starts, and the number of points at the end.
    cells : ndarray (R,) of int64
        The cell of each ring; in a union all the same.
    united : bool
        Rings form a union: filled where they wind anticlockwise more often than clockwise, so holes run clockwise
        and a stretch that offsetting has turned over counts for nothing.
    """

    points: Ints
    starts: Ints
    cells: Ints
    united: bool = False
    within: bool = False

    @staticmethod
    def rectangles(rects_mm: ArrayLike, cells: ArrayLike) -> Layer:
        """Upright rectangles ``(x0, y0, x1, y1)`` in millimetres, one cell each."""
        r = to_grid(rects_mm).reshape(-1, 4)
        corners = r[:, [0, 1, 2, 1, 2, 3, 0, 3]].reshape(-1, 2)
        starts = np.arange(len(r) + 1, dtype=np.int64) * 4
        return Layer(corners, starts, np.broadcast_to(np.asarray(cells, dtype=np.int64), (len(r),)))

    @staticmethod
    def tiles(rings_mm: Sequence[ArrayLike], cells: ArrayLike) -> Layer:
        """Rings (K, 2) in millimetres that do not overlap; turned anticlockwise where need be."""
        rings = [to_grid(ring).reshape(-1, 2) for ring in rings_mm]
        turned = [ring if _twice_area(ring) >= 0 else ring[::-1] for ring in rings]
        return Layer._stack(turned, cells, united=False)

    @staticmethod
    def equal_rings(rings_mm: ArrayLike, cells: ArrayLike) -> Layer:
        """Tiles that all have the same number of corners, (N, K, 2) in millimetres, anticlockwise."""
        rings = to_grid(rings_mm)
        count, corners = rings.shape[:2]
        starts = np.arange(count + 1, dtype=np.int64) * corners
        return Layer(rings.reshape(-1, 2), starts, np.broadcast_to(np.asarray(cells, dtype=np.int64), (count,)))

    @staticmethod
    def union(rings_mm: Sequence[ArrayLike], cell: int) -> Layer:
        """Rings (K, 2) in millimetres of one cell; clockwise rings are holes."""
        rings = [to_grid(ring).reshape(-1, 2) for ring in rings_mm]
        return Layer._stack(rings, cell, united=True)

    @staticmethod
    def patches(rings_mm: Sequence[ArrayLike], cell: int) -> Layer:
        """Rings (K, 2) in millimetres of one cell that may overlap, all counted as filled."""
        rings = [to_grid(ring).reshape(-1, 2) for ring in rings_mm]
        turned = [ring if _twice_area(ring) >= 0 else ring[::-1] for ring in rings]
        return Layer._stack(turned, cell, united=True)

    def moved(self, by_mm: ArrayLike) -> Layer:
        """Return the layer at another place."""
        return Layer(self.points + to_grid(by_mm), self.starts, self.cells, self.united)

    @staticmethod
    def _stack(rings: Sequence[Ints], cells: ArrayLike, *, united: bool) -> Layer:
        sizes = np.array([0, *(len(ring) for ring in rings)], dtype=np.int64)
        points = np.concatenate(rings) if rings else np.zeros((0, 2), dtype=np.int64)
        of_ring = np.broadcast_to(np.asarray(cells, dtype=np.int64), (len(rings),))
        return Layer(points, np.cumsum(sizes), of_ring, united)


@dataclass(frozen=True, slots=True)
class Figure:
    """Layers from the lowest to the topmost.

    Parameters
    ----------
    layers : tuple of Layer
        The first is the outline.
    """

    layers: tuple[Layer, ...]

    def with_squares(self, points: Ints, half: int, cell: int) -> Figure:
        """Return the figure with a square of a cell laid over each of some points (K, 2), no opening filled."""
        corners = np.array([[-half, -half], [half, -half], [half, half], [-half, half]], dtype=np.int64)
        middle = np.rint(points / CORNER_STEP).astype(np.int64) * CORNER_STEP
        rings = (middle[:, None, :] + corners).reshape(-1, 2)
        starts = np.arange(len(points) + 1, dtype=np.int64) * 4
        layer = Layer(rings, starts, np.full(len(points), cell, dtype=np.int64), united=True, within=True)
        return Figure((*self.layers, layer))


def _twice_area(ring: Ints) -> int:
    nxt = np.roll(ring, -1, axis=0)
    return int((ring[:, 0] * nxt[:, 1] - ring[:, 1] * nxt[:, 0]).sum())
