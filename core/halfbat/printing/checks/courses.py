"""Courses and bond across neighbouring panels: one datum, one phase, measured on the finished skins."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import permutations

import numpy as np
from numpy.typing import NDArray

from halfbat.building.meetings import Meeting, meetings
from halfbat.findings import Finding, Place, Severity
from halfbat.parts.kit_plan import Plan
from halfbat.parts.part import Part
from halfbat.parts.walls import WallPlan
from halfbat.printing.checks.assembled import Hung, hung, points_on_wall_mm
from halfbat.printing.rasters import Grid, Ints, Mask, raster, runs
from halfbat.printing.sections import Array, section
from halfbat.settings import Settings
from halfbat.surfaces import Kind

LEAST_SHARE = 0.2
"""Of a panel's width that edges at one height must add up to, to be those of a bed joint."""
LEAST_OVERLAP = 0.5
"""Of the lower one's height, for two panels to be side by side."""
BESIDE_MM = 3.0
SAME_CORNER_MM = 0.05
_ROUNDING_MM = 0.005
_OFF_SHARE = 0.05
_SAME_JOINT_MM = 0.01
_ALL_STRETCHERS = frozenset({"stack"})


def _mid_relief(panel: Hung) -> Array:
    facing = panel.wall.facing
    return section(panel.part.solid, facing.depth_mm - facing.joints.depth_mm / 2)


def bed_edges_mm(panel: Hung) -> tuple[Array, NDArray[np.bool_]]:
    """Heights above the wall's foot at which a panel's bed joints begin or end, lowest first; and which begin."""
    x0, y0, x1, y1 = _mid_relief(panel).T
    level = np.abs(y1 - y0) < 1e-6
    if not level.any():
        return np.zeros(0), np.zeros(0, dtype=np.bool_)
    height, place = np.unique(np.round(y0[level], 3), return_inverse=True)
    length = np.bincount(place.reshape(-1), weights=np.abs(x1 - x0)[level])
    # Material lies to the left, so the top edge of a brick, where a joint begins, runs against x.
    along = np.bincount(place.reshape(-1), weights=(x1 - x0)[level])
    long = length > LEAST_SHARE * float(panel.part.solid.size_mm[0])
    kept = height[long]
    points = np.stack([np.zeros_like(kept), kept, np.zeros_like(kept)], axis=1)
    heights = np.asarray(points_on_wall_mm(panel.part, panel.wall, points)[:, 1], dtype=np.float64)
    return heights, np.asarray(along[long] < 0, dtype=np.bool_)


def _neighbours(panels: Sequence[Hung]) -> Iterator[tuple[Hung, Hung]]:
    """Pairs of panels side by side, round the whole building."""
    for a, b in permutations(panels, 2):
        overlap = min(a.high_mm[1], b.high_mm[1]) - max(a.low_mm[1], b.low_mm[1])
        if overlap < LEAST_OVERLAP * min(a.high_mm[1] - a.low_mm[1], b.high_mm[1] - b.low_mm[1]):
            continue
        if a.wall is b.wall:
            beside = abs(float(b.low_mm[0] - a.high_mm[0])) < BESIDE_MM
        else:
            beside = _follows(a.wall, b.wall) and _at_end(a) and float(b.low_mm[0]) < BESIDE_MM
        if beside:
            yield a, b


def _follows(wall: WallPlan, after: WallPlan) -> bool:
    """Whether a wall starts where another ends, going round the building."""
    facing = wall.facing
    end = facing.foot_mm[:2] + facing.along * facing.laying.length_mm
    return bool(np.hypot(*(after.facing.foot_mm[:2] - end)) < SAME_CORNER_MM)


def _at_end(panel: Hung) -> bool:
    return bool(panel.high_mm[0] > panel.wall.facing.laying.length_mm - BESIDE_MM)


def datum_mm(panel: Hung) -> float | None:
    """How far a panel's bed joints stand above where the courses have them, mm: the median of all of them.

    Counted within one course, so that sills and raking tops, which hide joints, do not matter.
    """
    laying, bed = panel.wall.facing.laying, panel.wall.facing.joints.bed_mm
    edges, begins = _in_bricks(*bed_edges_mm(panel), panel)
    if len(edges) < 2:
        return None
    # A brick may be as high as a joint.
    joints = (np.abs(np.diff(edges) - bed) < _SAME_JOINT_MM) & begins[:-1]
    if not joints.any():
        return None
    centres = (edges[1:] + edges[:-1])[joints] / 2
    gauge = laying.gauge_mm
    off = (centres - float(laying.bed_v_mm[0]) + gauge / 2) % gauge - gauge / 2
    # About the commonest value, since half a course up is half a course down.
    first = float(off[np.argmin(np.abs(off))]) if np.ptp(off) < gauge / 2 else float(off[len(off) // 2])
    around = (off - first + gauge / 2) % gauge - gauge / 2
    return first + float(np.median(around))


def _in_bricks(values: Array, begins: NDArray[np.bool_], panel: Hung) -> tuple[Array, NDArray[np.bool_]]:
    """Leave out heights at which the wall has no bricks of its own, under a finish."""
    laying = panel.wall.facing.laying
    bare = np.array([bool((pattern.kinds == Kind.VOID).all()) for pattern in laying.patterns])[laying.course_pattern]
    course = np.clip(np.searchsorted(laying.bed_v_mm, values) - 1, 0, len(bare) - 1)
    return values[~bare[course]], begins[~bare[course]]


def check_datum(parts: Sequence[Part], plan: Plan, settings: Settings) -> tuple[Finding, ...]:
    """Bed joints of neighbouring panels stand at one height, to the pixel each was rounded to."""
    panels = hung(parts, plan, "skin")
    datums = {panel.part.number: datum_mm(panel) for panel in panels}
    allowed = settings.resin.pixel_y_mm / settings.resin.scale_y + _ROUNDING_MM
    found = []
    for a, b in _neighbours(panels):
        one, other = datums[a.part.number], datums[b.part.number]
        if one is None or other is None:
            continue
        gauge = a.wall.facing.laying.gauge_mm
        off = abs((one - other + gauge / 2) % gauge - gauge / 2)
        if off > allowed:
            text = f"its bed joints stand {off:.2f} mm off those of {b.part.number} beside it"
            place, remedy = _between(a, b), "lay both from one datum"
            found.append(Finding(Severity.FAILURE, "course-datum", a.part.number, text, remedy, place))
    return tuple(found)


def check_phase(parts: Sequence[Part], plan: Plan, settings: Settings) -> tuple[Finding, ...]:
    """Upright joints of every panel stand where the bond of the whole wall has them, and the bond turns corners."""
    found = []
    for panel in hung(parts, plan, "skin"):
        off, all_joints = _joints_off(panel, settings)
        if all_joints and off > _OFF_SHARE * all_joints:
            text = f"{off} of its {all_joints} upright joints are off the bond of its wall"
            found.append(Finding(Severity.FAILURE, "bond-phase", panel.part.number, text, "lay the wall as one"))
    by_index = {wall.wall.index: wall for wall in plan.walls}
    for met in meetings([wall.wall for wall in plan.walls]):
        wall, after = by_index[met.before.wall], by_index[met.after.wall]
        both, courses = _two_stretchers(met, wall, after, plan.scale.mm_per_m)
        if settings.brick.bond not in _ALL_STRETCHERS and both > _OFF_SHARE * courses:
            where = f"walls {wall.wall.letter} and {after.wall.letter}"
            text = f"in {both} of {courses} courses both walls show a stretcher at their corner, which no brick can"
            remedy = "part the mesh there, or let a downpipe stand in the corner"
            end, low, high = (plan.scale.to_mm(at_m) for at_m in (met.before.at_m, met.low_m, met.high_m))
            place = Place.on_wall(f"wall {wall.wall.letter}", end - BESIDE_MM, low, end, high)
            found.append(Finding(Severity.WARNING, "bond-corner", where, text, remedy, place))
    return tuple(found)


def _between(panel: Hung, beside: Hung) -> Place | None:
    """Return where a panel meets the one beside it."""
    low, high = max(panel.low_mm[1], beside.low_mm[1]), min(panel.high_mm[1], beside.high_mm[1])
    edge = float(panel.high_mm[0])
    return Place.on_wall(f"wall {panel.wall.wall.letter}", edge - BESIDE_MM, low, edge, high)


def _two_stretchers(met: Meeting, wall: WallPlan, after: WallPlan, mm_per_m: float) -> tuple[int, int]:
    """Count courses in which both walls end in a stretcher at a square outer corner, and those that turn it."""
    if abs(met.corner_deg - 90.0) > 1.0:
        return 0, 0
    left = _kinds_at(wall, met.before.at_m * mm_per_m, right=True)
    right = _kinds_at(after, met.after.at_m * mm_per_m, right=False)
    beds = wall.facing.laying.bed_v_mm
    middles = (beds + wall.facing.laying.gauge_mm / 2)[: min(len(left), len(right))]
    there = (middles > met.low_m * mm_per_m) & (middles < met.high_m * mm_per_m)
    both = (left[: len(there)] == Kind.STRETCHER) & (right[: len(there)] == Kind.STRETCHER)
    return int((both & there).sum()), int(there.sum())


def _kinds_at(wall: WallPlan, at_mm: float, *, right: bool) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    """Kind of the brick of each course that ends, or begins, at a corner; a void where none does."""
    laying = wall.facing.laying
    kinds = []
    for pattern in laying.patterns:
        ends = pattern.bounds_mm[1:] if right else pattern.bounds_mm[:-1]
        near = int(np.argmin(np.abs(ends - at_mm)))
        kinds.append(int(pattern.kinds[near]) if abs(ends[near] - at_mm) < laying.gauge_mm / 2 else int(Kind.VOID))
    return np.array(kinds, dtype=np.int64)[laying.course_pattern]


def _joints_off(panel: Hung, settings: Settings) -> tuple[int, int]:
    """Count upright joints of a panel that are more than a pixel off the bond, and all of them."""
    laying, joints = panel.wall.facing.laying, panel.wall.facing.joints
    resin = settings.resin
    pitch = resin.pixel_x_mm / resin.scale_x
    grid = Grid.over(panel.part.solid.bounds_mm[:, :2], pitch, resin.pixel_y_mm / resin.scale_y)
    bricks = raster(_mid_relief(panel), grid)
    off = count = 0
    beside_lead = [
        (unit.ring.min(axis=0), unit.ring.max(axis=0))
        for dressing in panel.wall.facing.dressings
        if dressing.kind == "flashing"
        for layer in dressing.layers[:-1]
        for unit in layer
    ]
    tops = np.append(laying.bed_v_mm[1:], laying.height_mm)
    centre = points_on_wall_mm(panel.part, panel.wall, np.zeros((1, 3)))[0]
    for course, (bed, top) in enumerate(zip(laying.bed_v_mm.tolist(), tops.tolist(), strict=True)):
        middle = (bed + joints.bed_mm / 2 + top - joints.bed_mm / 2) / 2
        row = int(np.floor((middle - centre[1]) / grid.pitch_mm[1])) - grid.first[1]
        if not (panel.low_mm[1] < middle < panel.high_mm[1] and 0 <= row < len(bricks)):
            continue
        _, start, end = runs(bricks[row : row + 1])
        middles = ((start[1:] + end[:-1]) / 2 + grid.first[0]) * pitch + float(centre[0])
        narrow = (start[1:] - end[:-1] <= joints.perpend_px + 1) & _upright(bricks, row, end[:-1], start[1:])
        if not narrow.any():
            continue
        pattern = laying.patterns[int(laying.course_pattern[course])]
        seen = middles[narrow]
        # What takes the place of bricks has joints of its own.
        place = np.clip(np.searchsorted(pattern.bounds_mm, seen) - 1, 0, len(pattern.kinds) - 1)
        seen = seen[pattern.kinds[place] != Kind.VOID]
        for low, high in beside_lead:
            if low[1] < middle < high[1]:
                seen = seen[(seen < low[0] - pitch) | (seen > high[0] + pitch)]
        away = np.abs(seen[:, None] - pattern.bounds_mm[None]).min(axis=1)
        off += int((away > pitch + _ROUNDING_MM).sum())
        count += len(seen)
    return off, count


def _upright(bricks: Mask, row: int, left: Ints, right: Ints) -> Mask:
    """Which gaps of a row have bricks at both sides two rows above and below too: beside a rake gaps lean."""
    standing = np.ones(len(left), dtype=np.bool_)
    for other in (row - 2, row + 2):
        if 0 <= other < len(bricks):
            standing &= bricks[other, left - 1] & bricks[other, right] & ~bricks[other, (left + right) // 2]
    return standing
