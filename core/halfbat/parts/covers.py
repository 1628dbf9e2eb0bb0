"""Cable runs that cover seams: a strip with sloping sides, saddles, and a tab that carries the number."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.glyphs import LEAST_HEIGHT, text_size, text_strokes
from halfbat.settings import ResinProcess, Settings
from halfbat.solids.figure import Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.relief import Relief
from halfbat.solids.solid import Solid
from halfbat.units import Scale

SADDLE_LENGTH_MM = 0.8
SADDLE_BEYOND_MM = 0.4
SADDLE_ABOVE_MM = 0.1
SIDE_SHARE = 0.4
LEAST_WIDTH_MM = 0.8
COVERS_MORE_THAN_GAP_MM = 0.4
NECK_MM = 0.8
TAB_THICKNESS_MM = 1.0
TAB_MARGIN_MM = 0.8
_STRIP, _LEFT, _RIGHT, _SADDLE, _NECK, _TAB, _MARK = range(7)


@dataclass(frozen=True, slots=True)
class CableRun:
    """A cover in its own frame: x up the wall from its foot, y to the left, z outward, millimetres."""

    solid: Solid
    saddles: int
    marked: bool


def least_cover_mm(gap_mm: float) -> float:
    """Width a cover needs to hide a seam."""
    return max(LEAST_WIDTH_MM, gap_mm + COVERS_MORE_THAN_GAP_MM)


def saddle_heights_mm(length_mm: float, scale: Scale, settings: Settings) -> NDArray[np.float64]:
    """Middles of the saddles along a run, evenly spread at about the spacing asked for."""
    spacing = max(scale.to_mm(settings.seam.saddle_spacing_m), 3 * SADDLE_LENGTH_MM)
    count = max(1, round(length_mm / spacing))
    return np.asarray((np.arange(count) + 0.5) * (length_mm / count), dtype=np.float64)


def build_cable_run(length_mm: float, scale: Scale, settings: Settings, number: str) -> CableRun:
    """Build a cable run of a length.

    Parameters
    ----------
    length_mm : float
        From the foot of the wall to its top, or one piece of that.
    scale, settings
        Spacing of saddles, size of the cover, resin process.
    number : str
        Engraved on a tab that is cut off after the run is glued on; the run itself is too narrow.
    """
    resin, width, height = settings.resin, settings.seam.cover_width_mm, settings.seam.cover_height_mm
    low = height * SIDE_SHARE
    half, flat = width / 2, width / 6
    slope = (height - low) / (half - flat)
    strip = _box(0.0, -half, length_mm, half)
    saddles = [
        _box(x - SADDLE_LENGTH_MM / 2, -half - SADDLE_BEYOND_MM, x + SADDLE_LENGTH_MM / 2, half + SADDLE_BEYOND_MM)
        for x in saddle_heights_mm(length_mm, scale, settings).tolist()
    ]
    outline = [strip, *saddles]
    sides = [_box(0.0, flat, length_mm, half), _box(0.0, -half, length_mm, -flat)]
    layers = [Layer.tiles(sides, [_LEFT, _RIGHT]), Layer.patches(saddles, _SADDLE)]
    depth = 0.0
    if settings.mark.make:
        neck, tab, strokes, depth = _tab(number, settings.mark.resin_height_mm, resin)
        outline += [neck, tab]
        layers += [Layer.patches([neck], _NECK), Layer.patches([tab], _TAB), Layer.patches(strokes, _MARK)]
    base = Layer.patches(outline, _STRIP)
    planes = np.zeros((7, 3))
    planes[:, 0] = [height, 0, 0, height + SADDLE_ABOVE_MM, low, TAB_THICKNESS_MM, 0]
    planes[_LEFT] = [height + flat * slope, 0, -slope]
    planes[_RIGHT] = [height + flat * slope, 0, slope]
    planes[_MARK, 0] = TAB_THICKNESS_MM - depth
    front = Relief(Figure((base, *layers)), planes)
    back = Relief.flat(Figure((base,)), [0.0])
    return CableRun(plate(front, back), len(saddles), settings.mark.make)


def _tab(
    number: str, height_mm: float, resin: ResinProcess
) -> tuple[NDArray[np.float64], NDArray[np.float64], list[NDArray[np.float64]], float]:
    """Neck, tab and number below the foot of a run; the number reads along the run from the front."""
    stroke = resin.min_stroke_mm
    size = max(height_mm, LEAST_HEIGHT * stroke)
    wide, tall = text_size(number, size, stroke)
    neck = _box(-NECK_MM - 0.2, -NECK_MM / 2, 0.2, NECK_MM / 2)
    end = -NECK_MM
    tab = _box(end - wide - 2 * TAB_MARGIN_MM, -tall / 2 - TAB_MARGIN_MM, end, tall / 2 + TAB_MARGIN_MM)
    corner = np.array([end - wide - TAB_MARGIN_MM, -tall / 2])
    strokes = [ring + corner for ring in text_strokes(number, size, stroke)]
    layers = max(1, round(resin.min_mark_depth_mm / resin.part_layer_mm))
    return neck, tab, strokes, min(layers * resin.part_layer_mm, TAB_THICKNESS_MM / 2)


def _box(x0: float, y0: float, x1: float, y1: float) -> NDArray[np.float64]:
    return np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])
