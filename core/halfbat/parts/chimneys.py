"""Chimneys: a resin body with brickwork on all sides, which stands through the roof skins in a pocket of the former.

The body is cut to the slope where the skins lie: below the lowest place of the roof it steps back from the sides that
face downhill, so that the hole in the skin is no larger than the chimney.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, pi

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import EdgeKind, Slope
from halfbat.errors import KitError
from halfbat.parts.chimney_sites import ChimneySite, height_on
from halfbat.parts.placing import Matrix, as_printed, frame
from halfbat.settings import Settings
from halfbat.solids.solid import Solid
from halfbat.solids.stacked import Slice, stacked
from halfbat.surfaces.joints import Joints
from halfbat.units import Scale

Array = NDArray[np.float64]
FIT_MM = 0.12
"""Room round a chimney in the skins and in the former."""
PEG_MM = 2.0
LEAST_PEG_MM = 0.6
UNDER_POCKET_MM = 0.8
STEP_MM = 0.3
KEPT_SHARE = 0.4
OVERSAIL_M = 0.03
"""How far each oversailing course stands out (common practice, no source: an eighth of a brick, 28 mm)."""
OVERSAILING = (0, 1, 2)
"""Courses from the last but two up, in steps of `OVERSAIL_M`; the last one is set back under the pots."""
MOST_OUT_MM = 0.45
"""So that each course prints over the one below without support."""
BRICK_M = 0.225
LEAD_M = (0.15, 0.10)
"""Lead seen below and above a chimney, and at its sides (common practice, no source)."""
POT_M = (0.26, 0.45)
"""Width and height of a pot (common practice, no source)."""
POT_SOCKET_MM = 0.5
_CORNERS = 16


@dataclass(frozen=True, slots=True, eq=False)
class Chimney:
    """A chimney, settled.

    Parameters
    ----------
    site : ChimneySite
        Where it stands.
    low_mm : tuple of float
        Lowest place of the roof along each of its four sides.
    falls : tuple of float
        How steeply the roof falls away from each side; 0 where it does not.
    foot_mm : float
        Height of its foot in the pocket of the former.
    plumb_mm : float
        Thickness of the roof's skins, plumb.
    """

    site: ChimneySite
    low_mm: tuple[float, ...]
    falls: tuple[float, ...]
    foot_mm: float
    plumb_mm: float

    def inset_mm(self, side: int, height_mm: float) -> float:
        """How far a side stands back at a height."""
        under = self.low_mm[side] - height_mm
        if under <= 0:
            return 0.0
        across = self.site.size_mm[1] if side % 2 == 0 else self.site.size_mm[0]
        both = 2 if self.falls[side] > 0 and self.falls[(side + 2) % 4] > 0 else 1
        most = across * (1 - KEPT_SHARE) / both
        return min(under * max(self.falls[side], 1.0), most) if self.falls[side] > 0 else 0.0

    def hole(self, slope: Slope, scale: Scale) -> Array:
        """Corners of the hole in the skin of a slope, in its frame, anticlockwise."""
        ring = self.site.ring(FIT_MM)
        along = np.stack([slope.along, slope.up], axis=1)
        origin = slope.origin_m * scale.mm_per_m
        heights = height_on(slope, ring / scale.mm_per_m) * scale.mm_per_m
        top = (np.column_stack([ring, heights]) - origin) @ along
        # What the body lacks to clear the underside of the skin, the hole is larger downhill.
        lacks = [
            self.plumb_mm * fall - self.inset_mm(k, self.low_mm[k] - self.plumb_mm)
            for k, fall in enumerate(self.falls)
            if fall > 0
        ]
        lack = max([0.0, *lacks])
        low, high = top.min(axis=0), top.max(axis=0)
        low[1] -= lack
        return np.array([low, [high[0], low[1]], high, [low[0], high[1]]])


def settle_chimney(site: ChimneySite, slopes: Sequence[Slope], roof_mm: float, seat_mm: float, scale: Scale) -> Chimney:
    """Settle how a chimney meets the roof.

    Parameters
    ----------
    site : ChimneySite
        Where it stands.
    slopes : sequence of Slope
        Those under it.
    roof_mm : float
        Thickness of the skins.
    seat_mm : float
        Height of the underside of the former there.
    scale : Scale
        How small.

    Raises
    ------
    KitError
        The former is too low there to hold it.
    """
    ring = site.ring()
    mm = scale.mm_per_m
    # The roof over a place is the lowest of its planes: slopes under one chimney fall away from each other.
    heights = np.min([height_on(slope, ring / mm) for slope in slopes], axis=0) * mm
    low, falls = [], []
    for k in range(4):
        a, b = ring[k], ring[(k + 1) % 4]
        step = (b - a) / np.linalg.norm(b - a)
        outward = np.array([step[1], -step[0]])
        middle = ((a + b) / 2 / mm)[None]
        nearest = min(slopes, key=lambda slope: float(height_on(slope, middle)[0]))
        fall = float(nearest.normal[:2] @ outward) / float(nearest.normal[2])
        low.append(float(min(heights[k], heights[(k + 1) % 4])))
        falls.append(fall if fall > 0.05 else 0.0)
    plumb = roof_mm / min(float(slope.normal[2]) for slope in slopes)
    lowest = min(low)
    foot = max(lowest - plumb - PEG_MM, seat_mm + UNDER_POCKET_MM)
    if foot > lowest - plumb - LEAST_PEG_MM:
        raise KitError("it stands too near the eaves to be held by the roof", site.where, "move it towards the ridge")
    return Chimney(site, tuple(low), tuple(falls), foot, plumb)


def build_chimney(
    chimney: Chimney, gauge_mm: float, joints: Joints, settings: Settings, scale: Scale
) -> tuple[Solid, Matrix, int]:
    """Build the body of a chimney, standing upright.

    Returns
    -------
    Solid, ndarray (4, 4), int
        In its print frame, its place, and how many bricks its courses show.
    """
    site = chimney.site
    # Over slopes of unequal pitch its bricks start where both are below; what shows on one side is its flashing.
    falling = [low for low, fall in zip(chimney.low_mm, chimney.falls, strict=True) if fall > 0]
    base = max(falling, default=min(chimney.low_mm))
    slices = []
    steps = max(1, ceil((base - chimney.foot_mm) / STEP_MM))
    for k in range(steps):
        low, high = (chimney.foot_mm + (base - chimney.foot_mm) * (k + s) / steps for s in (0, 1))
        insets = [
            joints.depth_mm + 0.02 * (steps - k) + chimney.inset_mm(side, high if k + 1 < steps else low)
            for side in range(4)
        ]
        slices.append(Slice(_rectangle(site, insets), high))
    count = max(3, round((site.top_mm - base) / gauge_mm))
    gauge = (site.top_mm - base) / count
    outs = [0.0] * (count - len(OVERSAILING) - 1) + [
        step * min(scale.to_mm(OVERSAIL_M), MOST_OUT_MM) for step in OVERSAILING
    ]
    outs = [*outs[-(count - 1) :], 0.0]
    bricks, foot = 0, base
    for k, out in enumerate(outs):
        ring, seen = _course(site, out, k % 2, joints, scale)
        top = base + gauge * (k + 1)
        bricks += seen
        last = k == count - 1
        slices.append(Slice(ring, top if last else top - joints.bed_mm))
        if not last:
            inner = min(out, outs[k + 1]) - joints.depth_mm
            slices.append(Slice(_rectangle(site, [-inner] * 4), top))
        foot = top
    slices.append(Slice(_rectangle(site, [joints.depth_mm] * 4), foot + POT_SOCKET_MM, tuple(_sockets(site, scale))))
    where = frame([*site.along, 0.0], [*site.across, 0.0], (0, 0, 1), [*site.middle, 0.0])
    solid, place = as_printed(stacked(chimney.foot_mm, slices), where)
    return solid, place, bricks


def build_pot(site: ChimneySite, place: int, scale: Scale) -> tuple[Solid, Matrix]:
    """Build one pot, standing upright in its socket, counted from 0 along the longer side."""
    radius, height = pot_mm(site, scale)[0] / 2, pot_mm(site, scale)[1]
    shape = ((1.0, 0.12), (0.86, 0.30), (0.82, 0.55), (0.78, 0.80), (0.92, 0.88))
    foot = site.top_mm
    slices = [Slice(_circle(radius * share, np.zeros(2)), foot + height * top) for share, top in shape]
    bore = max(0.3, radius * 0.78 - 0.42)
    slices.append(Slice(_circle(radius * 0.86, np.zeros(2)), foot + height, (_circle(bore, np.zeros(2)),)))
    spot = site.middle + site.along * _spread(site, scale)[place]
    where = frame([*site.along, 0.0], [*site.across, 0.0], (0, 0, 1), [*spot, 0.0])
    return as_printed(stacked(foot, slices), where)


def pot_mm(site: ChimneySite, scale: Scale) -> tuple[float, float]:
    """Width and height of a pot: the usual, or what there is room for."""
    width = min(scale.to_mm(POT_M[0]), 0.7 * site.size_mm[1], 0.8 * site.size_mm[0] / max(site.pots, 1))
    return width, max(scale.to_mm(POT_M[1]), 1.2 * width)


def lead_ring(hole: Array, scale: Scale) -> Array:
    """Outline of the lead round a hole in a slope, in the slope's frame."""
    ends, sides = (scale.to_mm(size) for size in LEAD_M)
    grown = np.array([sides, ends])
    low, high = hole.min(axis=0) - grown, hole.max(axis=0) + grown
    return np.array([low, [high[0], low[1]], high, [low[0], high[1]]])


def abutment_lead(slope: Slope, scale: Scale) -> list[Array]:
    """Outlines of the lead dressed over the tiles where a slope meets a wall or a parapet, in the slope's frame."""
    outline = slope.outline_m * scale.mm_per_m
    wide = scale.to_mm(LEAD_M[0])
    rings = []
    for place, edge in enumerate(slope.edges):
        if edge.kind not in (EdgeKind.ABUTMENT, EdgeKind.PARAPET):
            continue
        a, b = outline[place], outline[(place + 1) % len(outline)]
        along = (b - a) / np.linalg.norm(b - a)
        inward = np.array([-along[1], along[0]])
        # Over the edge too, whose end the outline of the skin cuts.
        rings.append(np.array([a - inward, b - inward, b + wide * inward, a + wide * inward]))
    return rings


def _spread(site: ChimneySite, scale: Scale) -> Array:
    """Places of pots along the longer side, from the middle."""
    every = site.size_mm[0] / max(site.pots, 1)
    return np.asarray((np.arange(site.pots) - (site.pots - 1) / 2) * every)


def _sockets(site: ChimneySite, scale: Scale) -> list[Array]:
    radius = pot_mm(site, scale)[0] / 2 + FIT_MM / 2
    return [_circle(radius, np.array([at, 0.0])) for at in _spread(site, scale).tolist()]


def _circle(radius: float, middle: Array) -> Array:
    angle = 2 * pi * (np.arange(_CORNERS) + 0.5) / _CORNERS
    return np.asarray(middle + radius * np.column_stack([np.cos(angle), np.sin(angle)]))


def _rectangle(site: ChimneySite, insets: Sequence[float]) -> Array:
    u, v = site.size_mm[0] / 2, site.size_mm[1] / 2
    front, right, back, left = insets
    return np.array([[left - u, front - v], [u - right, front - v], [u - right, v - back], [left - u, v - back]])


def _course(site: ChimneySite, out: float, odd: int, joints: Joints, scale: Scale) -> tuple[Array, int]:
    """Outline of a course in stretcher bond, notched at its perpends, and how many bricks it shows."""
    corners = _rectangle(site, [-out] * 4)
    # Less deep than bed joints, whose floor must lie inside.
    half, depth = joints.perpend_mm / 2, 0.8 * joints.depth_mm
    ring: list[Array] = []
    seen = 0
    for k in range(4):
        a, b = corners[k], corners[(k + 1) % 4]
        length = float(np.linalg.norm(b - a))
        along = (b - a) / length
        inward = np.array([-along[1], along[0]])
        count = max(1, round(length / scale.to_mm(BRICK_M)))
        # A stretcher at the corner on one side is a header on the next.
        first = 1.0 if (k + odd) % 2 == 0 else 0.5
        ring.append(a)
        for place in np.arange(first, count - 1e-6) * (length / count):
            if half + 0.3 < place < length - half - 0.3:
                seen += 1
                for u, v in ((-half, 0.0), (-half, depth), (half, depth), (half, 0.0)):
                    ring.append(a + along * (place + u) + inward * v)
        seen += 1
    return np.array(ring), seen
