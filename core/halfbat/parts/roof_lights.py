"""Roof lights as parts: a frame with its glazing bars that lies on a ledge in the roof skin, or stands on a lid.

It is put in from outside. Open panes go on through the skin and the former or lid, so that glazing can be laid behind
the bars and lamps shine through.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.joinery import Sizes, glass_cells
from halfbat.parts.marks import RIM_MM, Mark, fitted_mark
from halfbat.parts.placing import Matrix, as_printed, frame
from halfbat.parts.roof_light_sites import RoofLight, least_bar_mm
from halfbat.parts.rooms import largest_room
from halfbat.parts.tabs import TAB_THICKNESS_MM, box, cut_off_mm, number_tab
from halfbat.settings import Settings
from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.relief import Relief
from halfbat.solids.solid import Solid
from halfbat.units import Scale

Array = NDArray[np.float64]
# Full sizes in metres, common practice without a source.
STANDS_M = {"cast iron": 0.03, "patent glazing": 0.04, "modern": 0.05}
"""How far each style stands above the tiles."""
PATENT_BAR_M = 0.045
KERB_M = 0.15
"""Height of a kerb on a flat roof: upstands are at least 150 mm (common practice, no source)."""
MOST_UPSTAND_MM = 2.5
CUP_MM = 1.9
"""Deeper panes get a vent: a hollow of more than 2 mm that is walled all round pulls at the film."""
VENT_MM = 0.9
CUT_TAB_OFF_FIRST = "Cut the tab off before it goes into the roof."
_FRAME, _LOW, _BARS, _TAB, _NUMBER, _GLASS = range(6)


@dataclass(frozen=True, slots=True, eq=False)
class BuiltLight:
    """A roof light in its print frame."""

    solid: Solid
    place: Matrix
    tabbed: bool
    cut_off_mm: Array | None = None


def build_roof_light(light: RoofLight, depth_mm: float, settings: Settings, scale: Scale, number: str) -> BuiltLight:
    """Build a roof light, lying on its back.

    Parameters
    ----------
    light : RoofLight
        Where it stands and how it is made.
    depth_mm : float
        How deep under the face of the skin the ledge lies that carries it; 0 on a lid.
    settings : Settings
        Resin process and marks.
    scale : Scale
        How small.
    number : str
        Engraved on a tab.
    """
    centre = (light.low_mm + light.high_mm) / 2
    rim = light.ring() - centre
    sizes = Sizes.at(scale, settings.resin)
    sizes = replace(sizes, bar_mm=max(sizes.bar_mm, least_bar_mm(settings.resin)))
    layer = settings.resin.part_layer_mm
    stands = scale.to_mm(KERB_M if light.flat else STANDS_M[light.style])
    high = depth_mm + max(min(stands, MOST_UPSTAND_MM), 2 * sizes.step_mm)
    top = float(np.ceil(high / layer - 1e-6) * layer)
    mark = _engraved(number, rim, top - 3 * sizes.step_mm, settings) if light.solid else None
    tab = None
    if settings.mark.make and mark is None:
        tab = number_tab(number, settings.mark.resin_height_mm, settings.resin).placed(1, (0.0, float(rim[0, 1])))
    outline = [rim, *([tab.neck, tab.plate] if tab else [])]
    shown, panes = _drawn(light, rim, sizes, scale)
    holes = [Layer.patches([ring], _GLASS if light.solid else OUTSIDE) for ring in panes]
    layers = [Layer.patches(outline, _TAB), Layer.patches([rim], _FRAME), *shown, *holes]
    planes = np.zeros((6, 3))
    planes[:, 0] = [top, top - 2 * sizes.step_mm, top - sizes.step_mm, TAB_THICKNESS_MM, TAB_THICKNESS_MM, 0.0]
    planes[_GLASS, 0] = top - 3 * sizes.step_mm
    if tab is not None:
        layers.append(Layer.patches(tab.strokes, _NUMBER))
        planes[_NUMBER, 0] -= tab.depth_mm
    front = Relief(Figure(tuple(layers)), planes)
    back = _back(outline, rim, panes if not light.solid else [], top, mark, settings)
    slope = light.slope
    origin = slope.origin_m * scale.mm_per_m + slope.along * centre[0] + slope.up * centre[1] - slope.normal * depth_mm
    drawn, there = plate(front, back), frame(slope.along, slope.up, slope.normal, origin)
    solid, place = as_printed(drawn, there)
    return BuiltLight(solid, place, tab is not None, None if tab is None else cut_off_mm(tab, drawn, there))


def _drawn(light: RoofLight, rim: Array, sizes: Sizes, scale: Scale) -> tuple[list[Layer], list[Array]]:
    """What lies lower than the top of the frame, and the panes."""
    low, high = rim[0] + light.frame_mm, rim[2] - light.frame_mm
    bar = max(scale.to_mm(PATENT_BAR_M), sizes.bar_mm) if light.style == "patent glazing" else sizes.bar_mm
    if light.style == "modern":
        # A capping on the frame, and the sash lower down within it.
        sash = min(max(light.frame_mm / 2, sizes.bar_mm), float((high - low).min()) / 6)
        panes = _panes(low + sash, high - sash, light.panes, bar)
        lower = [Layer.patches([rim], _LOW), _ring(rim, light.frame_mm / 4, light.frame_mm, _FRAME)]
        return [*lower, Layer.patches([box(*low, *high)], _BARS)], panes
    panes = _panes(low, high, light.panes, bar)
    if light.style == "cast iron":
        return [Layer.patches([box(*low, *high)], _BARS)], panes
    # Bars of patent glazing run on over the head and the foot.
    columns = sorted({(float(pane[0, 0]), float(pane[2, 0])) for pane in panes})
    gaps = [box(u0, float(rim[0, 1]), u1, float(rim[2, 1])) for u0, u1 in columns]
    return [Layer.patches(gaps, _BARS)] if gaps else [], panes


def _back(
    outline: list[Array], rim: Array, open_: list[Array], top_mm: float, mark: Mark | None, settings: Settings
) -> Relief:
    """A level back with vents from open panes, or the number."""
    layer = settings.resin.part_layer_mm
    layers, heights = [Layer.patches(outline, 0)], [0.0]
    vents = _vents(rim, open_) if open_ and top_mm > CUP_MM else []
    if vents:
        layers.append(Layer.patches(vents, len(heights)))
        heights.append(float(np.ceil((top_mm - CUP_MM) / layer) * layer) + layer)
    if mark is not None:
        layers.append(Layer.patches(mark.rings_mm, len(heights)))
        heights.append(mark.depth_mm)
    if open_:
        layers.append(Layer.patches(open_, OUTSIDE))
    return Relief.flat(Figure(tuple(layers)), heights)


def _engraved(number: str, rim: Array, thickness_mm: float, settings: Settings) -> Mark | None:
    """The number on the back of a light whose panes are closed."""
    room = largest_room([rim], margin_mm=RIM_MM / 2, mirrored=True) if settings.mark.make else None
    if room is None:
        return None
    height = settings.mark.resin_height_mm
    return fitted_mark(number, room, height, settings.resin, on_plate=True, thickness_mm=thickness_mm)


def _vents(rim: Array, panes: list[Array]) -> list[Array]:
    """Channels from the panes out under the head, through which resin runs and no vacuum forms on the plate."""
    columns = sorted({(float(pane[0, 0]), float(pane[2, 0])) for pane in panes})
    low = min((float(pane[0, 1]) for pane in panes), default=0.0)
    wide = [(max(u0, (u0 + u1 - VENT_MM) / 2), min(u1, (u0 + u1 + VENT_MM) / 2)) for u0, u1 in columns]
    return [box(u0, low, u1, float(rim[2, 1])) for u0, u1 in wide]


def _ring(rim: Array, outer_mm: float, inner_mm: float, cell: int) -> Layer:
    outside = box(*(rim[0] + outer_mm), *(rim[2] - outer_mm))
    inside = box(*(rim[0] + inner_mm), *(rim[2] - inner_mm))
    return Layer.union([outside, inside[::-1]], cell)


def _panes(low: Array, high: Array, panes: tuple[int, int], bar_mm: float) -> list[Array]:
    return [cell.ring_mm for cell in glass_cells(low, high, *panes, bar_mm)]
