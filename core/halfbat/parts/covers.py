"""Cable runs that cover seams: a strip with sloping sides, saddles, and a tab that carries the number."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.tabs import TAB_THICKNESS_MM, box, number_tab
from halfbat.settings import Settings
from halfbat.solids.figure import Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.relief import Relief
from halfbat.solids.solid import Solid
from halfbat.units import Scale

SADDLE_LENGTH_MM = 0.8
SADDLE_BEYOND_MM = 0.4
SADDLE_ABOVE_MM = 0.1
SIDE_SHARE = 0.4
_STRIP, _LEFT, _RIGHT, _SADDLE, _NECK, _TAB, _MARK = range(7)


@dataclass(frozen=True, slots=True)
class CableRun:
    """A cover in its own frame: x up the wall from its foot, y to the left, z outward, millimetres."""

    solid: Solid
    saddles: int
    marked: bool


def saddle_heights_mm(length_mm: float, scale: Scale, settings: Settings) -> NDArray[np.float64]:
    """Middles of the saddles along a run, evenly spread at about the spacing asked for."""
    spacing = max(scale.to_mm(settings.seam.saddle_spacing_m), 3 * SADDLE_LENGTH_MM)
    count = max(1, round(length_mm / spacing))
    return np.asarray((np.arange(count) + 0.5) * (length_mm / count), dtype=np.float64)


def build_cable_run(
    length_mm: float, scale: Scale, settings: Settings, number: str, *, tab_beside: bool = False
) -> CableRun:
    """Build a cable run of a length.

    Parameters
    ----------
    length_mm : float
        From the foot of the wall to its top, or one piece of that.
    scale, settings
        Spacing of saddles, size of the cover, resin process.
    number : str
        Engraved on a tab that is cut off after the run is glued on; the run itself is too narrow.
    tab_beside : bool
        The tab reaches to the right instead of below, where another piece is.
    """
    width, height = settings.seam.cover_width_mm, settings.seam.cover_height_mm
    low = height * SIDE_SHARE
    half, flat = width / 2, width / 6
    slope = (height - low) / (half - flat)
    saddles = [
        box(x - SADDLE_LENGTH_MM / 2, -half - SADDLE_BEYOND_MM, x + SADDLE_LENGTH_MM / 2, half + SADDLE_BEYOND_MM)
        for x in saddle_heights_mm(length_mm, scale, settings).tolist()
    ]
    outline = [box(0.0, -half, length_mm, half), *saddles]
    sides = [box(0.0, y, length_mm, y + half - flat) for y in (-half, flat)]
    layers = [
        Layer.tiles([box(0.0, -flat, length_mm, flat), *sides], [_STRIP, _RIGHT, _LEFT]),
        Layer.patches(saddles, _SADDLE),
    ]
    depth = 0.0
    if settings.mark.make:
        tab = number_tab(number, settings.mark.resin_height_mm, settings.resin)
        if tab_beside:
            tab = tab.placed(1, (min(np.ptp(tab.plate[:, 1]), length_mm) / 2, -half))
        depth = tab.depth_mm
        outline += [tab.neck, tab.plate]
        layers = [Layer.patches([tab.neck], _NECK), *layers, Layer.patches([tab.plate], _TAB)]
        layers.append(Layer.patches(tab.strokes, _MARK))
    base = Layer.patches(outline, _STRIP)
    planes = np.zeros((7, 3))
    planes[:, 0] = [height, 0, 0, height + SADDLE_ABOVE_MM, low, TAB_THICKNESS_MM, TAB_THICKNESS_MM - depth]
    planes[_LEFT] = [height + flat * slope, 0, -slope]
    planes[_RIGHT] = [height + flat * slope, 0, slope]
    front = Relief(Figure((base, *layers)), planes)
    back = Relief.flat(Figure((base,)), [0.0])
    return CableRun(plate(front, back), len(saddles), settings.mark.make)
