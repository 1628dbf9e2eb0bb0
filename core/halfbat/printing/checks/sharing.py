"""Whether parts share space in the assembled kit: sections through both, across where their boxes meet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, product

import numpy as np

from halfbat.findings import Finding, Severity
from halfbat.parts.kit_plan import Plan
from halfbat.parts.part import Part
from halfbat.printing.checks.places import place_in_building
from halfbat.printing.rasters import Grid, Mask, raster
from halfbat.printing.sections import Array, section
from halfbat.settings import Settings
from halfbat.solids.solid import Solid

SPACING_MM = 0.2
FEWEST, MOST = 3, 40
PIXEL_MM = 0.1
LEAST_PIXEL_MM = 0.02
ACROSS_PX = 8
"""Pixels across what boxes share, where that is narrow."""
LARGEST_PX = 600
BESIDE_MM = 0.03
"""First and last section stand so far inside, since plates are sunk in each other where they meet by their faces."""
SHARED_MM3 = 0.02
"""Parts that only touch share nothing that is a pixel wide both ways."""
DEEP_MM = 0.05


@dataclass(frozen=True, slots=True, eq=False)
class _Body:
    """A part and what is cut off it, with their boxes in the print frame and in the building."""

    part: Part
    bounds_mm: Array
    in_building_mm: Array

    @staticmethod
    def of(part: Part) -> _Body:
        bounds = part.solid.bounds_mm
        turn, shift = part.place[:3, :3], part.place[:3, 3]
        there = part.solid.vertices @ turn.T + shift
        return _Body(part, bounds, np.stack([there.min(axis=0), there.max(axis=0)]))


def check_sharing(parts: Sequence[Part], _plan: Plan, _settings: Settings) -> tuple[Finding, ...]:
    """No two parts of the assembled kit stand in each other; tabs with numbers count as cut off."""
    bodies = [_Body.of(part) for part in parts if part.process != "bought"]
    found = []
    for one, other in combinations(bodies, 2):
        if _deep(one.in_building_mm, other.in_building_mm) is None:
            continue
        shared, points = _shared(one, other)
        if shared > SHARED_MM3:
            text = f"shares about {shared:.1f} mm3 with {other.part.number} when the kit is put together"
            place = place_in_building(one.part, points)
            remedy = "file it away there, or change the mesh where the two meet and make the kit again"
            found.append(Finding(Severity.FAILURE, "parts-share-space", one.part.number, text, remedy, place))
    return tuple(found)


def _deep(one: Array, other: Array) -> Array | None:
    """What two boxes (2, 3) share; None where that is not deep."""
    low, high = np.maximum(one[0], other[0]), np.minimum(one[1], other[1])
    return None if (high - low < DEEP_MM).any() else np.stack([low, high])


def _shared(one: _Body, other: _Body) -> tuple[float, Array]:
    """Volume that two parts share, and places (N, 3) in the building between which it lies.

    Looked at in the print frame of one of them, since most parts are plates that lie flat there: of two boxes the
    thinner one is cut across its least side.
    """
    best: tuple[float, Array, _Body, _Body] | None = None
    for own, beside in ((one, other), (other, one)):
        there = beside.part.solid.vertices @ _turn(own, beside).T + _shift(own, beside)
        box = _deep(own.bounds_mm, np.stack([there.min(axis=0), there.max(axis=0)]))
        if box is None:
            return 0.0, np.zeros((0, 3))
        thin = float((box[1] - box[0]).min())
        if best is None or thin < best[0]:
            best = thin, box, own, beside
    assert best is not None  # one of two
    _, box, own, beside = best
    bodies = own.part.solid, _seen_from(own, beside, beside.part.solid)
    tabs = [body.part.cut_off_mm for body in (own, beside)]
    cut_off = [_box(corners, own) for tab in tabs if tab is not None for corners in tab]
    volume, points = _common(bodies, cut_off, box)
    return volume, points @ own.part.place[:3, :3].T + own.part.place[:3, 3]


def _turn(own: _Body, beside: _Body) -> Array:
    """Rotation from the print frame of a part to that of another."""
    return np.asarray(own.part.place[:3, :3].T @ beside.part.place[:3, :3])


def _shift(own: _Body, beside: _Body) -> Array:
    return np.asarray((beside.part.place[:3, 3] - own.part.place[:3, 3]) @ own.part.place[:3, :3])


def _seen_from(own: _Body, beside: _Body, solid: Solid) -> Solid:
    return (
        solid if beside is own else Solid(solid.vertices @ _turn(own, beside).T + _shift(own, beside), solid.triangles)
    )


def _box(corners_mm: Array, own: _Body) -> Solid:
    """A box as a solid, in the print frame of a part."""
    corners = (corners_mm - own.part.place[:3, 3]) @ own.part.place[:3, :3]
    sides = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
    return Solid(corners, np.array([half for a, b, c, d in sides for half in ((a, b, c), (a, c, d))]))


def _near(solid: Solid, box: Array, axis: int) -> Solid:
    """What of a solid sections across an axis may meet; on the side where rows of pixels begin nothing is left out."""
    corners = solid.vertices[solid.triangles]
    low, high = corners.min(axis=1) <= box[1], corners.max(axis=1) >= box[0]
    columns, rows = (axis + 1) % 3, (axis + 2) % 3
    kept = low[:, axis] & high[:, axis] & low[:, rows] & high[:, rows] & low[:, columns]
    return Solid(solid.vertices, solid.triangles[kept])


def _common(bodies: Sequence[Solid], cut_off: Sequence[Solid], box: Array) -> tuple[float, Array]:
    """Volume within a box that is in two solids and in none that is cut off, and corners of what was found."""
    size = box[1] - box[0]
    axis = int(np.argmin(size))
    across = [(axis + 1) % 3, (axis + 2) % 3]
    pitch = float(np.clip(size[across].min() / ACROSS_PX, LEAST_PIXEL_MM, PIXEL_MM))
    if size[across].max() > LARGEST_PX * pitch:
        # In halves, so that what is long and thin is not lost between coarse pixels.
        long = int(np.argmax(size))
        low, high = box.copy(), box.copy()
        low[1, long] = high[0, long] = box[:, long].mean()
        halves = [_common(bodies, cut_off, half) for half in (low, high)]
        return halves[0][0] + halves[1][0], np.concatenate([points for _, points in halves])
    grid = Grid.over(box[:, across], pitch, edge_px=0)
    levels, deep = _levels(float(box[0, axis]), float(box[1, axis]))
    bodies = [_near(body, box, axis) for body in bodies]
    total, points = 0.0, [np.zeros((0, 3))]
    for level, stretch in zip(levels.tolist(), deep.tolist(), strict=True):
        segments = [section(body, level, axis) for body in bodies]
        if any(not len(one) for one in segments):
            continue
        both = raster(segments[0], grid) & raster(segments[1], grid)
        for tab in cut_off if both.any() else ():
            outline = section(tab, level, axis)
            both &= ~raster(outline, grid) if len(outline) else True
        both = _wide(both)
        total += float(np.count_nonzero(both)) * grid.pixel_mm2 * stretch
        row, column = np.nonzero(both)
        if row.size:
            pixels = np.array([[column.min(), row.min()], [column.max() + 1, row.max() + 1]]) + grid.first
            corners = np.full((2, 3), level)
            corners[:, across] = pixels * grid.pitch_mm
            points.append(corners)
    return total, np.concatenate(points)


def _levels(low: float, high: float) -> tuple[Array, Array]:
    """Where sections stand between two levels, and how much each stands for."""
    beside = min(BESIDE_MM, (high - low) / 4)
    count = int(np.clip(np.ceil((high - low) / SPACING_MM), FEWEST, MOST))
    levels = np.linspace(low + beside, high - beside, count)
    edges = np.concatenate([[low], (levels[1:] + levels[:-1]) / 2, [high]])
    return levels, np.diff(edges)


def _wide(mask: Mask) -> Mask:
    """What of a mask is two pixels wide both ways."""
    squares = mask[1:, 1:] & mask[1:, :-1] & mask[:-1, 1:] & mask[:-1, :-1]
    kept = np.zeros_like(mask)
    for rows, columns in product((slice(1, None), slice(None, -1)), repeat=2):
        kept[rows, columns] |= squares
    return kept
