"""What covers seams and runs down walls: strips printed on their backs, with a tab that carries the number.

A cover's own frame: x up the wall from the cover's foot, y to the left, z outward, millimetres.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.tabs import TAB_THICKNESS_MM, Tab, box, number_tab
from halfbat.settings import Settings
from halfbat.solids.figure import Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.relief import Relief
from halfbat.solids.solid import Solid
from halfbat.surfaces.dressing import Proud
from halfbat.units import Scale

SADDLE_LENGTH_MM = 0.8
SADDLE_BEYOND_MM = 0.4
SADDLE_ABOVE_MM = 0.1
SIDE_SHARE = 0.4

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """A flat piece of a cover's front.

    Parameters
    ----------
    ring : ndarray (K, 2)
        Its corners.
    plane : tuple of float
        ``(a, b, c)``: its height is ``a + b * x + c * y``.
    """

    ring: Array
    plane: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class CableRun:
    """A cable run in the frame of covers."""

    solid: Solid
    saddles: int
    marked: bool


def cover_solid(
    layers: Sequence[Sequence[Piece]],
    number: str,
    settings: Settings,
    *,
    beside: tuple[float, float] | None = None,
    neck_mm: float,
    proud: Sequence[Proud] = (),
) -> Solid:
    """Build a cover from the pieces of its front, with a tab and hollows for what it passes over.

    Parameters
    ----------
    layers : sequence of sequence of Piece
        Later layers lie over earlier ones; pieces of one layer do not overlap.
    number : str
        Engraved on a tab that is cut off after the cover is glued on; the cover itself is too narrow.
    settings : Settings
        Marks, resin process.
    beside : tuple of float, optional
        Length of the cover and its half width: the tab reaches to the right instead of below, where another piece is.
    neck_mm : float
        Thickness of what holds the tab.
    proud : sequence of Proud
        Where the back is hollowed out.
    """
    reach = float(max(np.abs(piece.ring[:, 1]).max() for layer in layers for piece in layer))
    tab = cover_tab(number, settings, beside) if settings.mark.make else None
    hollows = [([box(one.low_mm, -reach, one.high_mm, reach)], one.out_mm) for one in proud]
    return tabbed_solid(layers, tab, hollows, neck_mm)


def cover_tab(number: str, settings: Settings, beside: tuple[float, float] | None) -> Tab:
    """Draw the tab of a cover below its foot, or beside it where its length and half width are given."""
    tab = number_tab(number, settings.mark.resin_height_mm, settings.resin)
    if beside is None:
        return tab
    return tab.placed(1, (min(np.ptp(tab.plate[:, 1]), beside[0]) / 2, -beside[1]))


def tabbed_solid(
    layers: Sequence[Sequence[Piece]],
    tab: Tab | None,
    hollows: Sequence[tuple[Sequence[Array], float]],
    neck_mm: float,
) -> Solid:
    """Build a cover from the pieces of its front, a tab in its place, and hollows.

    Parameters
    ----------
    layers : sequence of sequence of Piece
        Later layers lie over earlier ones; pieces of one layer do not overlap.
    tab : Tab, optional
        Where it stands.
    hollows : sequence of (sequence of ndarray (K, 2), float)
        Where the back is hollowed out, and how deep.
    neck_mm : float
        Thickness of what holds the tab.
    """
    fronts = [(piece.ring, piece.plane) for layer in layers for piece in layer]
    outline = [ring for ring, _ in fronts]
    planes = [(0.0, 0.0, 0.0), *(plane for _, plane in fronts)]
    drawn, first = [], 1
    for layer in layers:
        drawn.append(Layer.tiles([piece.ring for piece in layer], list(range(first, first + len(layer)))))
        first += len(layer)
    if tab is not None:
        outline += [tab.neck, tab.plate]
        planes += [(neck_mm, 0.0, 0.0), (TAB_THICKNESS_MM, 0.0, 0.0), (TAB_THICKNESS_MM - tab.depth_mm, 0.0, 0.0)]
        drawn = [Layer.patches([tab.neck], first), *drawn, Layer.patches([tab.plate], first + 1)]
        drawn.append(Layer.patches(tab.strokes, first + 2))
    base = Layer.patches(outline, 0)
    sunk = [Layer.patches(rings, k) for k, (rings, _) in enumerate(hollows, 1)]
    back = Relief.flat(Figure((base, *sunk)), [0.0, *(deep for _, deep in hollows)])
    return plate(Relief(Figure((base, *drawn)), np.array(planes)), back)


def saddle_heights_mm(length_mm: float, scale: Scale, settings: Settings) -> Array:
    """Middles of the saddles along a run, evenly spread at about the spacing asked for."""
    spacing = max(scale.to_mm(settings.seam.saddle_spacing_m), 3 * SADDLE_LENGTH_MM)
    count = max(1, round(length_mm / spacing))
    return np.asarray((np.arange(count) + 0.5) * (length_mm / count), dtype=np.float64)


def build_cable_run(
    length_mm: float,
    scale: Scale,
    settings: Settings,
    number: str,
    *,
    tab_beside: bool = False,
    lifted_mm: float = 0.0,
    proud: Sequence[Proud] = (),
) -> CableRun:
    """Build a cable run of a length: a strip with sloping sides, and saddles.

    Parameters
    ----------
    length_mm : float
        From the foot of the wall to its top, or one piece of that.
    scale, settings
        Spacing of saddles, size of the cover, resin process.
    number : str
        Engraved on its tab.
    tab_beside : bool
        The tab reaches to the right instead of below, where another piece is.
    lifted_mm : float
        How far it stands out further than usual.
    proud : sequence of Proud
        Where the wall stands out behind it.
    """
    width, height = settings.seam.cover_width_mm, settings.seam.cover_height_mm
    low, height = height * SIDE_SHARE + lifted_mm, height + lifted_mm
    half, flat = width / 2, width / 6
    slope = (height - low) / (half - flat)
    saddles = [
        box(x - SADDLE_LENGTH_MM / 2, -half - SADDLE_BEYOND_MM, x + SADDLE_LENGTH_MM / 2, half + SADDLE_BEYOND_MM)
        for x in saddle_heights_mm(length_mm, scale, settings).tolist()
    ]
    strip = [
        Piece(box(0.0, -flat, length_mm, flat), (height, 0.0, 0.0)),
        Piece(box(0.0, -half, length_mm, -flat), (height + flat * slope, 0.0, slope)),
        Piece(box(0.0, flat, length_mm, half), (height + flat * slope, 0.0, -slope)),
    ]
    layers = [strip, [Piece(ring, (height + SADDLE_ABOVE_MM, 0.0, 0.0)) for ring in saddles]]
    beside = (length_mm, half) if tab_beside else None
    solid = cover_solid(layers, number, settings, beside=beside, neck_mm=min(low, TAB_THICKNESS_MM), proud=proud)
    return CableRun(solid, len(saddles), settings.mark.make)
