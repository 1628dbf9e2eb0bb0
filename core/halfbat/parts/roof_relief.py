"""The front of a roof skin: a laid roof over its base."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from halfbat.solids.figure import Layer
from halfbat.solids.grid import to_grid
from halfbat.surfaces.roofing.laid_roof import LaidRoof, RoofLayer

Array = NDArray[np.float64]


def roof_layers(laid: LaidRoof, first_cell: int = 0) -> tuple[Layer, ...]:
    """Turn the rings of a laid roof into layers of a figure whose first layer is the skin's outline.

    Parameters
    ----------
    laid : LaidRoof
        In the frame of the figure.
    first_cell : int
        Cell of the outline in the figure's table of planes; those of the roof follow it.
    """
    return tuple(_layer(layer, first_cell) for layer in laid.layers)


def roof_planes(laid: LaidRoof, base_mm: float) -> Array:
    """Planes (C, 3) of a laid roof over a base of a thickness, the first that of the outline."""
    return np.asarray(laid.planes + np.array([base_mm, 0.0, 0.0]), dtype=np.float64)


def _layer(layer: RoofLayer, first_cell: int) -> Layer:
    count, corners = layer.rings_mm.shape[:2]
    starts = np.arange(count + 1, dtype=np.int64) * corners
    return Layer(to_grid(layer.rings_mm.reshape(-1, 2)), starts, layer.cells + first_cell)
