"""Whether parts share space in the assembled kit: level sections through both, where their boxes meet."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import numpy as np

from halfbat.findings import Finding, Severity
from halfbat.parts.kit_plan import Plan
from halfbat.parts.part import Part
from halfbat.printing.checks.assembled import in_building
from halfbat.printing.checks.places import place_in_building
from halfbat.printing.rasters import Grid, raster
from halfbat.printing.sections import Array, section
from halfbat.settings import Settings
from halfbat.solids.solid import Solid

LEVELS = 5
LEVEL_MM = 1.0
PIXEL_MM = 0.1
LARGEST_PX = 600
ASIDE = 0.413
SHARED_MM3 = 0.5
"""Parts that only touch share pixels along the line between them at most, far less than this."""
DEEP_MM = 0.05


def check_sharing(parts: Sequence[Part], _plan: Plan, _settings: Settings) -> tuple[Finding, ...]:
    """No two parts of the assembled kit stand in each other; tabs that are cut off count as cut off."""
    bodies = [(part, in_building(part)) for part in parts if part.process != "bought" and not _tabbed(part)]
    found = []
    for (one, a), (other, b) in combinations(bodies, 2):
        low = np.maximum(a.bounds_mm[0], b.bounds_mm[0])
        high = np.minimum(a.bounds_mm[1], b.bounds_mm[1])
        if (high - low < DEEP_MM).any():
            continue
        shared, points = _shared(a, b, low, high)
        if shared > SHARED_MM3:
            text = f"shares about {shared:.1f} mm3 with {other.number} when the kit is put together"
            place = place_in_building(one, points)
            remedy = "file it away there, or change the mesh where the two meet and make the kit again"
            found.append(Finding(Severity.FAILURE, "parts-share-space", one.number, text, remedy, place))
    return tuple(found)


def _tabbed(part: Part) -> bool:
    return any("tab" in note for note in part.notes)


def _shared(a: Solid, b: Solid, low: Array, high: Array) -> tuple[float, Array]:
    """Volume that two solids share within a box, and corners (N, 3) of boxes round what they share at each level."""
    tall = float(high[2] - low[2])
    count = int(np.clip(np.ceil(tall / LEVEL_MM), 2, LEVELS))
    grid = Grid.over(np.stack([low, high]), max(PIXEL_MM, float((high - low)[:2].max()) / LARGEST_PX), edge_px=0)
    total, points = 0.0, [np.zeros((0, 3))]
    for k in range(count):
        # Aside of the middle, where faces of parts lie more seldom.
        level = float(low[2]) + tall * (k + ASIDE) / count
        one, two = section(a, level), section(b, level)
        if len(one) and len(two):
            both = raster(one, grid) & raster(two, grid)
            total += float(np.count_nonzero(both))
            row, column = np.nonzero(both)
            if row.size:
                pixels = np.array([[column.min(), row.min()], [column.max() + 1, row.max() + 1]]) + grid.first
                points.append(np.column_stack([pixels * grid.pitch_mm, [level, level]]))
    return total * grid.pixel_mm2 * tall / count, np.concatenate(points)
