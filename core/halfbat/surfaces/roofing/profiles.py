"""Shapes across the slope as straight facets, none narrower than a printer can show.

Depths are published or from memory, see the coverings; the shapes are drawn by eye after common tiles and sheets
(common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

FINE_TILE_PX = 60.0
_WAVE_FACETS = ((12.0, 4), (24.0, 6), (np.inf, 8))


@dataclass(frozen=True, slots=True, eq=False)
class Profile:
    """Corners of one repeat of a profile, from left to right.

    Parameters
    ----------
    along : ndarray (F + 1,)
        Places from 0 to 1.
    up : ndarray (F + 1,)
        Heights from 0 to 1, alike at both ends.
    """

    along: Array
    up: Array


# Place and height; coarse ones for tiles of few pixels.
_PANTILE = (
    (0.0, 0.12), (0.14, 0.0), (0.42, 0.0), (0.58, 0.30), (0.72, 0.95), (0.86, 0.95), (1.0, 0.12),
)  # fmt: skip
_PANTILE_FINE = (
    (0.0, 0.15), (0.10, 0.04), (0.24, 0.0), (0.38, 0.03), (0.50, 0.14), (0.60, 0.42), (0.68, 0.76), (0.75, 0.95),
    (0.81, 1.0), (0.87, 0.95), (0.94, 0.68), (1.0, 0.15),
)  # fmt: skip
_ROLLS = (
    (0.0, 0.0), (0.32, 0.0), (0.37, 1.0), (0.45, 1.0), (0.50, 0.0), (0.82, 0.0), (0.87, 1.0), (0.95, 1.0), (1.0, 0.0),
)  # fmt: skip
_ROLLS_FINE = (
    (0.0, 0.0), (0.33, 0.0), (0.350, 0.60), (0.385, 0.94), (0.435, 0.94), (0.470, 0.60), (0.49, 0.0),
    (0.83, 0.0), (0.850, 0.60), (0.885, 0.94), (0.935, 0.94), (0.970, 0.60), (1.0, 0.0),
)  # fmt: skip
_TILES = {"pantile": (_PANTILE, _PANTILE_FINE), "two rolls": (_ROLLS, _ROLLS_FINE)}


def profile_of(shape: str, width_px: float) -> Profile:
    """Return the facets of a shape.

    Parameters
    ----------
    shape : str
        ``"pantile"``, ``"two rolls"``, ``"wave"``, or empty for what is flat.
    width_px : float
        How many pixels one repeat is wide; decides how many facets there are.
    """
    if shape == "wave":
        return _wave(next(count for widest, count in _WAVE_FACETS if width_px < widest))
    if not shape:
        return Profile(np.array([0.0, 1.0]), np.array([0.0, 0.0]))
    coarse, fine = _TILES[shape]
    along, up = np.array(fine if width_px >= FINE_TILE_PX else coarse).T
    return Profile(along, up)


def _wave(facets: int) -> Profile:
    """A wave from trough to trough with level troughs and crests, its full depth kept."""
    along = (np.arange(facets) + 0.5) / facets
    up = (1 - np.cos(2 * np.pi * along)) / 2
    up = (up - up.min()) / (up.max() - up.min())
    return Profile(np.concatenate([[0.0], along, [1.0]]), np.concatenate([[0.0], up, [0.0]]))
