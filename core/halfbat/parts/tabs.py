"""Tabs that carry the number of a part too small for a mark, cut off after the part is glued in place."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.glyphs import LEAST_HEIGHT, text_size, text_strokes
from halfbat.settings import Settings

Array = NDArray[np.float64]
NECK_MM = 0.8
TAB_THICKNESS_MM = 1.0
TAB_MARGIN_MM = 0.8


@dataclass(frozen=True, slots=True, eq=False)
class Tab:
    """A tab below a place at the edge of a part, the edge running along x.

    Parameters
    ----------
    neck_mm, plate_mm : ndarray (4, 2)
        Rectangles; the neck reaches a little into the part.
    strokes_mm : tuple of ndarray (K, 2)
        The number, cut into the front.
    depth_mm : float
        How deep.
    """

    neck_mm: Array
    plate_mm: Array
    strokes_mm: tuple[Array, ...]
    depth_mm: float


def tab_below(number: str, x: float, y: float, settings: Settings) -> Tab:
    """Build a tab below ``(x, y)`` on the lower edge of a resin part.

    Parameters
    ----------
    number : str
        What it carries.
    x, y : float
        Where its neck meets the part, millimetres.
    settings : Settings
        Height of marks and resin process.
    """
    resin = settings.resin
    stroke = resin.min_stroke_mm
    size = max(settings.mark.resin_height_mm, LEAST_HEIGHT * stroke)
    wide, tall = text_size(number, size, stroke)
    neck = box(x - NECK_MM / 2, y - NECK_MM - 0.1, x + NECK_MM / 2, y + 0.2)
    top = y - NECK_MM
    half = wide / 2 + TAB_MARGIN_MM
    plate = box(x - half, top - tall - 2 * TAB_MARGIN_MM, x + half, top)
    corner = np.array([x - wide / 2, top - tall - TAB_MARGIN_MM])
    strokes = tuple(ring + corner for ring in text_strokes(number, size, stroke))
    layers = max(1, round(resin.min_mark_depth_mm / resin.part_layer_mm))
    return Tab(neck, plate, strokes, min(layers * resin.part_layer_mm, TAB_THICKNESS_MM / 2))


def box(x0: float, y0: float, x1: float, y1: float) -> Array:
    """Anticlockwise corners of an upright rectangle."""
    return np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])
