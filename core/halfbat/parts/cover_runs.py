"""How long the covers of a wall are, and what each lies on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from halfbat.parts.before_walls import room_beside_mm
from halfbat.parts.bent_line import BentLine
from halfbat.parts.bent_runs import WallRoom, bent_segments, settled_line
from halfbat.parts.cover_segments import Segment, segments
from halfbat.parts.cuts import SeamStyle
from halfbat.parts.kit_plan import Plan
from halfbat.parts.wall_covers import CLEAR_MM, CoverPlace, CoverSize, cover_size
from halfbat.parts.wall_face import GRID_MM
from halfbat.parts.wall_profile import UNDER_ROOF_MM, proud_boxes, proud_stretches, under_roof_mm, wall_span_mm
from halfbat.parts.walls import WallPlan
from halfbat.settings import Settings
from halfbat.surfaces.dressing import Proud
from halfbat.units import Scale

SHORTEST_RUN_MM = 3.0
ENDS_UNDER_MM = 0.15
"""What stands out further than this at the top of a wall, a cover ends under."""
OVER_ROOF_MM = 0.3
"""Over a roof that stands before the foot of a wall."""


@dataclass(frozen=True, slots=True)
class CoverRun:
    """A cover, settled.

    Parameters
    ----------
    place : CoverPlace
        Where along the wall.
    foot_mm, top_mm : float
        From which height to which.
    eaves_mm : float
        How far the eaves reach out over it.
    segments : tuple of Segment
        From the foot up, counted from the foot of the cover; of one that bends along its line.
    bare_mm : float
        How much of the wall is left over it, under features at the top.
    line : BentLine, optional
        Its middle where it bends, from end to end.
    """

    place: CoverPlace
    foot_mm: float
    top_mm: float
    eaves_mm: float
    segments: tuple[Segment, ...]
    bare_mm: float = 0.0
    line: BentLine | None = None

    @property
    def length_mm(self) -> float:
        """Length of the cover along its middle."""
        return self.line.length_mm if self.line else self.top_mm - self.foot_mm


def cover_runs(wall: WallPlan, plan: Plan, settings: Settings, scale: Scale) -> Iterator[CoverRun]:
    """Settle the covers of a wall, from left to right; those there is no room for are left out.

    Parameters
    ----------
    wall : WallPlan
        The wall.
    plan : Plan
        The kit, for its roof.
    settings, scale
        Of the kit.

    Raises
    ------
    KitError
        A cable run that bends leaves its wall.
    """
    for place in wall.covers:
        size = cover_size(place.style, settings, scale)
        if place.line is not None:
            yield _bent_run(place, place.line, size, wall, plan, scale)
            continue
        span = place.position_mm - size.half_mm, place.position_mm + size.half_mm
        necked = place.style is SeamStyle.DOWNPIPE and settings.downpipe.top == "swan neck"
        room, eaves, proud = _room(wall, plan, span, size.top_out_mm, necked=necked)
        foot, kept = room.foot_mm, room.kept_mm
        bare = room.top_mm - kept if room.top_mm - kept > ENDS_UNDER_MM else 0.0
        for low, high in _beside_openings(place, wall, foot, kept):
            at_top = high == kept
            yield CoverRun(
                place, low, high, eaves if at_top else 0.0, segments(proud, low, high), bare if at_top else 0.0
            )


def _beside_openings(place: CoverPlace, wall: WallPlan, foot: float, top: float) -> Iterator[tuple[float, float]]:
    """Yield what of a cover is below, between and above the openings that the seam under it runs through."""
    passed = sorted(
        (opening.reach[1] - CLEAR_MM, opening.reach[3] + CLEAR_MM)
        for opening in wall.facing.openings
        if place.over_seam and opening.reach[0] < place.position_mm < opening.reach[2]
    )
    for low, high in [*passed, (top, top)]:
        end = float(np.floor(min(low, top) / GRID_MM) * GRID_MM)
        if end - foot >= SHORTEST_RUN_MM:
            yield foot, end
        foot = max(foot, float(np.ceil(high / GRID_MM) * GRID_MM))


def _bent_run(
    place: CoverPlace, drawn: BentLine, size: CoverSize, wall: WallPlan, plan: Plan, scale: Scale
) -> CoverRun:
    boxes = proud_boxes(wall.facing)
    where = f"wall {wall.wall.letter}"

    def room_at(span: tuple[float, float]) -> WallRoom:
        return _room(wall, plan, span, size.top_out_mm)[0]

    line, bare = settled_line(drawn, size.half_mm, room_at, scale, where)
    low, high = line.bounds[1], line.bounds[3]
    found = bent_segments(line, boxes, size.half_mm)
    return CoverRun(place, low, high, 0.0, found, bare if bare > ENDS_UNDER_MM else 0.0, line)


def _room(
    wall: WallPlan, plan: Plan, span: tuple[float, float], out_mm: float, *, necked: bool = False
) -> tuple[WallRoom, float, tuple[Proud, ...]]:
    """Return the room between two places along a wall, how far the eaves reach out there, and what stands out."""
    span = max(span[0], 0.0), min(span[1], wall.facing.laying.length_mm)
    foot, high = wall_span_mm(wall.facing, span)
    foot = foot + OVER_ROOF_MM if foot > OVER_ROOF_MM else 0.0
    proud = proud_stretches(wall.facing, span)
    out = max([0.0, *(one.out_mm for one in proud)])
    reach = np.inf if necked else out_mm + out
    top, eaves = under_roof_mm(wall.facing, plan.overhead, span, high, reach)
    top = min(top, _under_gutters_mm(wall, plan, span))
    foot, top = room_beside_mm(wall.facing, plan.trim.bodies, span, max(out_mm + out, eaves), (foot, top))
    kept = top
    for one in reversed(proud):
        if one.high_mm >= kept - 2 * ENDS_UNDER_MM and one.low_mm > foot and one.out_mm > ENDS_UNDER_MM:
            kept = one.low_mm
    return WallRoom(foot, top, float(np.floor(kept / GRID_MM) * GRID_MM)), eaves, proud


def _under_gutters_mm(wall: WallPlan, plan: Plan, span: tuple[float, float]) -> float:
    """How high a cover may run under the gutters of its wall."""
    facing = wall.facing
    spots = facing.foot_mm[:2] + np.array([span[0], sum(span) / 2, span[1]])[:, None] * facing.along
    runs = [gutter.run for gutter in plan.gutters if gutter.run.wall == wall.wall.index]
    feet = [run.foot_mm(spots).min() for run in runs]
    return min([np.inf, *(float(foot - facing.foot_mm[2]) - UNDER_ROOF_MM for foot in feet)])
