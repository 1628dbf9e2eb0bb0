"""Lead on walls where a roof meets them: stepped from bed joint to bed joint along a rake, a band over a level edge.

It is flush with the bricks, so that a roof still lifts off past it, and set off from them by the bed joints that its
upper edges are tucked into and by a groove at each step.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import EdgeKind, Slope
from halfbat.parts.lead_strips import strip
from halfbat.parts.wall_openings import wall_masonry
from halfbat.parts.walls import WallPlan
from halfbat.settings import Settings
from halfbat.surfaces.dressing import Dressing, ground
from halfbat.surfaces.masonry import Masonry
from halfbat.surfaces.opening_units import Unit
from halfbat.units import Scale

Array = NDArray[np.float64]
UPSTAND_M = 0.075
"""Least height of lead on a wall over slates and tiles (leadworkers' fitting guides: 75 mm)."""
FLAT_UPSTAND_M = 0.15
"""The same over a flat roof (the same guides: 150 mm)."""
LEAST_RUN_MM = 0.4
NEARLY_LEVEL = 0.1
"""Rise per length of an edge of the roof that is taken as level where lead is not stepped."""
LEAST_HALF_MM = 1.2
"""Half a brick at which steps still find room between perpends, from about 1:90 up; below it is a plain strip."""
SLIVER_MM = 0.4
"""Bricks of which less would be left beside a step give way to it."""
MOST_MOVED_MM = 2.5
END_MM = 1.0
"""Lead that comes this near to the end of its wall goes on to it."""
_UNDER_MM = 0.6
_HAIR_MM = 0.02
_FLAT_DEG = 3.6


def with_flashings(
    walls: Sequence[WallPlan], slopes: Sequence[Slope], settings: Settings, scale: Scale
) -> tuple[WallPlan, ...]:
    """Dress lead onto the walls that rise above roofs.

    Parameters
    ----------
    walls : sequence of WallPlan
        Those that get skins.
    slopes : sequence of Slope
        All of the building, flat roofs too.
    settings : Settings
        Roof, brick and resin process, snapped to the printers.
    scale : Scale
        How small.
    """
    if not settings.roof.lead:
        return tuple(walls)
    lines: dict[int, list[tuple[Array, float]]] = defaultdict(list)
    for slope in slopes:
        upstand = scale.to_mm(FLAT_UPSTAND_M if slope.pitch_deg <= _FLAT_DEG else UPSTAND_M)
        places = slope.place(slope.outline_m) * scale.mm_per_m
        for at, edge in enumerate(slope.edges):
            if edge.kind in (EdgeKind.ABUTMENT, EdgeKind.PARAPET) and edge.wall is not None:
                lines[edge.wall].append((places[[at, (at + 1) % len(places)]], upstand))
    made = []
    for plan in walls:
        found = [_lead(plan, ends, upstand, settings, scale) for ends, upstand in lines.get(plan.wall.index, [])]
        own = tuple(dressing for dressing in found if dressing is not None)
        made.append(replace(plan, facing=replace(plan.facing, dressings=(*plan.facing.dressings, *own))))
    return tuple(made)


def _lead(plan: WallPlan, ends: Array, upstand_mm: float, settings: Settings, scale: Scale) -> Dressing | None:
    """Lead along one edge of a roof, given by its ends in the building's frame."""
    facing = plan.facing
    offset = ends - facing.foot_mm
    line = np.column_stack([offset[:, :2] @ facing.along, offset[:, 2]])
    line = line[np.argsort(line[:, 0])]
    if line[1, 0] - line[0, 0] < LEAST_RUN_MM:
        return None
    masonry = wall_masonry(facing.laying, facing.joints, settings, scale)
    length = facing.laying.length_mm
    fall = abs(line[1, 1] - line[0, 1])
    # A strip that falls by less than half a course stays beside one bed joint, and follows its roof.
    beside_one = _HAIR_MM < fall < facing.laying.gauge_mm / 2
    level = fall < NEARLY_LEVEL * (line[1, 0] - line[0, 0]) and not beside_one
    if masonry.half_mm < LEAST_HALF_MM and not level:
        reach = (
            -_UNDER_MM if line[0, 0] < END_MM else float(line[0, 0]),
            length + _UNDER_MM if line[1, 0] > length - END_MM else float(line[1, 0]),
        )
        layers = strip(line, upstand_mm, facing.joints.depth_mm, masonry, reach)
        return Dressing("flashing", facing.where, (), layers)
    small = masonry.half_mm < LEAST_HALF_MM
    # At small scales what hardly falls gets one band, as high as its higher end asks.
    over = np.column_stack([line[:, 0], np.full(2, line[:, 1].max())]) if small else line
    steps = stepped(over, upstand_mm, masonry)
    if not steps:
        return None
    if small:
        steps = [_past_slivers(steps[0], float(line[:, 1].min()), masonry)]
    if steps[0][0] < END_MM:
        steps[0] = (-_UNDER_MM, *steps[0][1:])
    if steps[-1][1] > length - END_MM:
        steps[-1] = (steps[-1][0], length + _UNDER_MM, steps[-1][2])
    depth, joint = facing.joints.depth_mm, masonry.joint_u_mm
    # Grooves of neighbouring steps may overlap, so they lie in two layers.
    grooves: tuple[list[Unit], list[Unit]] = ([], [])
    for k, (u0, u1, top) in enumerate(steps):
        for side, other in ((u0 - joint, k - 1), (u1, k + 1)):
            # A groove beside what stands higher than the next step, or at the open end.
            foot = float(np.interp(side, line[:, 0], line[:, 1]))
            below = steps[other][2] if 0 <= other < len(steps) else foot
            if below < top - joint and joint < side < facing.laying.length_mm - 2 * joint:
                grooves[k % 2].append(ground(side, below, side + joint, top + joint, -depth))
    corners = [(u, top) for u0, u1, top in reversed(steps) for u in (u1, u0)]
    foot_line = [(u, float(np.interp(u, line[:, 0], line[:, 1])) - _UNDER_MM) for u in (steps[0][0], steps[-1][1])]
    if small or abs(line[1, 1] - line[0, 1]) < _HAIR_MM:
        # Past the ends of the roof its foot shows: on a bed joint, which keeps its height.
        lowest = min(v for _, v in foot_line)
        beds = masonry.courses[0]
        foot_line = [(u, float(beds[beds <= lowest].max(initial=0.0))) for u, _ in foot_line]
    lead = Unit(np.array([*foot_line, *corners]), "")
    return Dressing("flashing", facing.where, (), (*map(tuple, grooves), (lead,)))


def stepped(line_mm: Array, upstand_mm: float, masonry: Masonry) -> list[tuple[float, float, float]]:
    """Return the steps of lead over a line: from where to where along the wall, and up to which bed joint.

    Parameters
    ----------
    line_mm : ndarray (2, 2)
        Ends of the edge of the roof in the wall's frame, from left to right.
    upstand_mm : float
        Least height of lead over the line, plumb.
    masonry : Masonry
        Bricks of the wall.

    Returns
    -------
    list of (float, float, float)
        From left to right, each up to the lowest top of a course that is high enough along the whole of it.
    """
    (u0, v0), (u1, v1) = line_mm.tolist()
    tops = masonry.courses[1]
    rate = (v1 - v0) / (u1 - u0)
    wanted = tops[(tops > min(v0, v1) + upstand_mm - 1e-6)]
    if not len(wanted):
        return []
    if abs(rate) < 1e-6:
        return [(u0, u1, float(wanted[0]))]
    # Where the line and its upstand pass the top of each course.
    passes = np.clip(masonry.lattice_u.round(u0 + (wanted - upstand_mm - v0) / rate), u0, u1)
    needed = 1 + int((passes < u1 - _HAIR_MM if rate > 0 else passes > u0 + _HAIR_MM).sum())
    passes, wanted = passes[:needed], wanted[:needed]
    rows = np.searchsorted(tops, wanted)
    way = -1 if rate > 0 else 1
    outer = np.concatenate([[u0 if rate > 0 else u1], passes[:-1]])
    groups: list[tuple[float, list[int]]] = []
    for side, row in zip(outer[::-1].tolist(), rows[::-1].tolist(), strict=True):
        held = groups.pop() if groups and way * (side - groups[-1][0]) < 2 * masonry.joint_u_mm else (side, [])
        own = [*held[1], int(row)]
        groups.append((_clear_of_perpends(held[0], own, masonry, way), own))
    # From the highest down: each reaches inward as far as the one above it.
    inner = [float(passes[-1]), *(side for side, _ in groups)]
    found = [
        (min(side, within), max(side, within), float(tops[own[0]]))
        for (side, own), within in zip(groups, inner, strict=False)
    ]
    return [step for step in (found[::-1] if rate > 0 else found) if step[1] - step[0] > _HAIR_MM]


def _past_slivers(band: tuple[float, float, float], foot: float, masonry: Masonry) -> tuple[float, float, float]:
    """Draw out the ends of a level band to where no piece of a brick is left beside them that would not hold."""
    left, right, top = band
    bottoms, tops = masonry.courses
    rows = np.flatnonzero((tops > foot) & (bottoms < top)).tolist()
    return _clear_of_perpends(left, rows, masonry, -1), _clear_of_perpends(right, rows, masonry, 1), top


def _clear_of_perpends(side: float, rows: list[int], masonry: Masonry, way: int) -> float:
    """Move the outer side of a step outward until its groove falls in perpends or leaves pieces of bricks that hold."""
    laying, joint, pitch = masonry.laying, masonry.joint_u_mm, masonry.lattice_u.pitch_mm or 0.05
    lefts = [
        masonry.lattice_u.round(laying.patterns[laying.course_pattern[row]].bounds_mm[1:-1] - joint / 2) for row in rows
    ]
    for step in range(int(MOST_MOVED_MM / pitch)):
        place = side + way * step * pitch
        groove = place - joint if way < 0 else place
        away = [np.abs(left - groove) for left in lefts]
        if all(((far < _HAIR_MM) | (far > SLIVER_MM + joint)).all() for far in away):
            return place
    return side
