"""The underside of a roof former: what lets it print without support, slide into the shell, hold there and lift off.

It is printed standing on its lip. So what hangs over the plate beside the lip rises outward at 45 degrees, and the
hollow between the lips is bridged from rib to rib.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.lip import BESIDE_MM, LEAD_IN_MM, TOUCH_MM, bumps_on, notches_in, sides_of
from halfbat.parts.marks import Room
from halfbat.parts.masses import FORMER_EDGE_MM
from halfbat.parts.narrow_places import narrow_places
from halfbat.parts.outlines import Outline, area_mm2, set_back
from halfbat.parts.remains import lies_in, outlines_of
from halfbat.solids.figure import Layer

Array = NDArray[np.float64]
BAY_MM = 17.0
"""Widest stretch to be bridged between two ribs; filament bridges 20 (published values, section 7.3)."""
RIB_LINES = 3
BEARING_MM = 0.2
"""How far a former lies on the shell's wall before its underside begins to rise."""
HIGHEST_MM = FORMER_EDGE_MM - 0.4
"""How far it rises, at the most: two layers less than it is thick there."""
ALONG_MM = 0.01
PAD_MM = 9.0
TURNED_BELOW_MM = 16.0
PAD_RIM_MM = 1.0
WIDEST_SLIT_MM = 3.0
INTO_RIB_MM = 0.4
_ACROSS_RIBS = 0.7
_LEAST_MM2 = 0.02


@dataclass(frozen=True, slots=True, eq=False)
class Underside:
    """Layers over the outline of a former, and a plane for each of their cells.

    Parameters
    ----------
    layers : tuple of Layer
        Cells count on from the first one given.
    planes : tuple of (float, float, float)
        Heights ``a + b * x + c * y`` over the seat.
    hollow : tuple of ndarray (K, 2)
        What is left free between lips and ribs, ribs running clockwise.
    """

    layers: tuple[Layer, ...]
    planes: tuple[tuple[float, float, float], ...]
    hollow: tuple[Outline, ...]


def underside(
    rings: tuple[Sequence[Outline], Sequence[Outline], Sequence[Outline]],
    under: Sequence[Outline],
    body: Sequence[Outline],
    depth_mm: float,
    fit_mm: float,
    line_mm: float,
    first_cell: int,
    least_mm: float,
    collars: Sequence[Outline] = (),
) -> Underside:
    """Draw the underside of a former.

    Parameters
    ----------
    rings : tuple of sequences of ndarray (K, 2)
        Outlines of its edge, of the lip's outer face and of its inner face, anticlockwise, holes after the first.
    under : sequence of ndarray (K, 2)
        The lip's outer face again, freed of what stands in its way.
    body : sequence of ndarray (K, 2)
        What there is of the former, seen from above.
    depth_mm : float
        Of the lip.
    fit_mm, line_mm : float
        Play on each side, and the width of a printed line.
    first_cell : int
        The cell of the first layer; cell 0 is the seat at height 0.
    least_mm : float
        What is narrower is left out; less than the lip is thick.
    collars : sequence of ndarray (K, 2)
        Outlines of what stands on the plate like ribs, round openings.
    """
    edge, lip, bore = rings
    layers: list[Layer] = []
    planes: list[tuple[float, float, float]] = []

    def add(tiles: Sequence[Outline], heights: Sequence[tuple[float, float, float]]) -> None:
        # Each its own layer: at sharp corners rounding makes neighbours overlap by a hair.
        layers.extend(Layer.patches([tile], first_cell + len(planes) + k) for k, tile in enumerate(tiles))
        planes.extend(heights)

    add(*_flared(edge[0], lip[0], fit_mm + BEARING_MM))
    layers.append(Layer.union(list(under), first_cell + len(planes)))
    planes.append((-depth_mm, 0.0, 0.0))
    size = min(LEAD_IN_MM, depth_mm / 3)
    add(*_lead_in(lip[0], size, depth_mm))
    # None where the lip itself was taken away.
    bumps = [bump for bump in bumps_on(lip[0], edge[0], fit_mm) if lies_in(under, bump[:2]).all()]
    if bumps:
        layers.append(Layer.patches(bumps, first_cell + len(planes)))
        planes.append((-depth_mm + 2 * size, 0.0, 0.0))
    hollow = (*bore, *(rib[::-1] for rib in (*_ribs(bore, line_mm), *collars)))
    layers.append(Layer.union(hollow, 0))
    # A gap in a side along the ribs would leave the bay beside it without an end to rest on.
    notches = notches_in(lip[0], bore[0], lambda along: np.abs(along[:, 0]) > _ACROSS_RIBS)
    if notches:
        layers.append(Layer.patches(notches, 0))
    # What is left of lips and ribs between all that stands in their way.
    shorn = [hollow, *([notch] for notch in notches), outlines_of([under], [body])]
    lost = narrow_places(outlines_of([under], shorn), least_mm)
    if lost:
        layers.append(Layer.union(lost, 0))
    return Underside(tuple(layers), tuple(planes), hollow)


def pad_of(room: Room, hollow: Sequence[Outline]) -> Outline:
    """A pad as deep as the lip that carries the number, where it is printed on the plate and not over nothing.

    It reaches into the ribs or lips beside its room, so that no slit is left between.

    Parameters
    ----------
    room : Room
        In the hollow.
    hollow : sequence of ndarray (K, 2)
        As `Underside` has it.
    """
    (x0, y0), (x1, y1) = room.low, room.high
    # In a narrow bay the number is turned, and the pad as long as it.
    longest = PAD_MM if x1 - x0 >= TURNED_BELOW_MM else TURNED_BELOW_MM
    middle, half = (y0 + y1) / 2, min(longest, y1 - y0) / 2
    low, high = middle - half, middle + half
    gaps = [np.array([_gap_beside(hollow, x, y, way) for y in (low, middle, high)]) for x, way in ((x0, -1), (x1, 1))]
    # Past a slit too wide to close, it keeps a rim round the number.
    left, right = (float(gap.max()) + INTO_RIB_MM if gap.max() < WIDEST_SLIT_MM else PAD_RIM_MM for gap in gaps)
    return np.array([[x0 - left, low], [x1 + right, low], [x1 + right, high], [x0 - left, high]])


def _gap_beside(hollow: Sequence[Outline], x: float, y: float, way: int) -> float:
    """How far it is from a place in the hollow to its side, to the left (-1) or the right (1)."""
    nearest = np.inf
    for ring in hollow:
        for a, b in zip(ring, np.roll(ring, -1, axis=0), strict=True):
            if (a[1] > y) != (b[1] > y):
                cross = a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
                if (cross - x) * way > -TOUCH_MM:
                    nearest = min(nearest, (cross - x) * way)
    return float(nearest)


def _flared(edge: Outline, lip: Outline, step_mm: float) -> tuple[list[Outline], list[tuple[float, float, float]]]:
    """Strips that rise outward at 45 degrees, from a step beside the lip to the edge."""
    if len(edge) != len(lip):
        return [], []
    _, inward, _ = sides_of(edge)
    reach = np.einsum("ij,ij->i", lip - edge, inward)
    if np.abs(np.einsum("ij,ij->i", np.roll(lip, -1, axis=0) - edge, inward) - reach).max() > ALONG_MM:
        # A lip that lost a tip and a side has as many, but others.
        return [], []
    wide = np.clip(reach - step_mm, 0.0, HIGHEST_MM)
    inner = set_back(edge, wide)
    if len(inner) != len(edge) or not (wide > 0).any():
        return [], []
    tiles, planes = [], []
    for i in np.flatnonzero(wide > BESIDE_MM).tolist():
        j = (i + 1) % len(edge)
        tiles.append(np.array([edge[i], edge[j], inner[j], inner[i]]))
        # Height 0 on the inner line, rising against the way inward.
        planes.append((float(inward[i] @ inner[i]), float(-inward[i][0]), float(-inward[i][1])))
    return (tiles, planes) if _apart(tiles) else ([], [])


def _lead_in(lip: Outline, size_mm: float, depth_mm: float) -> tuple[list[Outline], list[tuple[float, float, float]]]:
    """Take off the outer edge of the lip's end at 45 degrees."""
    inner = set_back(lip, size_mm)
    if len(inner) != len(lip) or sides_of(lip)[2].min() < 4 * size_mm:
        return [], []
    _, inward, _ = sides_of(lip)
    tiles, planes = [], []
    for i in range(len(lip)):
        j = (i + 1) % len(lip)
        tiles.append(np.array([lip[i], lip[j], inner[j], inner[i]]))
        planes.append((float(size_mm - depth_mm + inward[i] @ lip[i]), float(-inward[i][0]), float(-inward[i][1])))
    return (tiles, planes) if _apart(tiles) else ([], [])


def _ribs(bore: Sequence[Outline], line_mm: float) -> list[Outline]:
    """Ribs along y that part the hollow into bays narrow enough to bridge."""
    low, high = bore[0].min(axis=0), bore[0].max(axis=0)
    count = int(np.ceil((high[0] - low[0]) / BAY_MM)) - 1
    half = RIB_LINES * line_mm / 2
    ribs = []
    for k in range(1, count + 1):
        x = low[0] + (high[0] - low[0]) * k / (count + 1)
        ribs.append(np.array([[x - half, low[1]], [x + half, low[1]], [x + half, high[1]], [x - half, high[1]]]))
    return ribs


def _apart(tiles: list[Outline]) -> bool:
    """Whether no two tiles overlap."""
    if not tiles:
        return False
    whole = [area_mm2(tile) for tile in tiles]
    return min(whole) > _LEAST_MM2 and abs(area_mm2(*tiles) - sum(whole)) < _LEAST_MM2
