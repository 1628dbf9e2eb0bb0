"""How the skins of neighbouring walls meet, read from the ends they were given, and the order that asks for."""

from __future__ import annotations

import heapq
from dataclasses import dataclass
from enum import StrEnum

from halfbat.parts.corners import End
from halfbat.parts.kit_plan import Plan
from halfbat.parts.walls import WallPlan


class Role(StrEnum):
    """What the end of a skin does at its corner."""

    KEEPS = "keeps the arris with a lip"
    STOPS = "stops behind the lip of the other"
    MITRED = "is mitred like the other"
    RUNS_ON = "runs on behind the other"
    BUTTS = "butts against the face of the other"
    SQUARE = "ends square, in line with the other"


@dataclass(frozen=True, slots=True, eq=False)
class WallEnd:
    """One end of a wall's skins.

    Parameters
    ----------
    side : str
        ``"left"`` or ``"right"``, seen from outside.
    role : Role
        What it does there.
    other : WallPlan
        The wall round the corner.
    """

    side: str
    role: Role
    other: WallPlan


def _roles(right: End, left: End) -> tuple[Role, Role]:
    """Return what the right end of one wall and the left end of the next do at their common corner."""
    if right.covered_mm > 0:
        return Role.RUNS_ON, Role.BUTTS
    if left.covered_mm > 0:
        return Role.BUTTS, Role.RUNS_ON
    if not right.profile_mm:
        return Role.SQUARE, Role.SQUARE
    if abs(right.face_mm - left.face_mm) < 1e-6:
        return Role.MITRED, Role.MITRED
    return (Role.KEEPS, Role.STOPS) if right.face_mm < left.face_mm else (Role.STOPS, Role.KEEPS)


def wall_ends(plan: Plan, index: int) -> tuple[WallEnd, WallEnd]:
    """Return the left and the right end of a wall.

    Parameters
    ----------
    plan : Plan
        All walls.
    index : int
        Place of the wall.
    """
    before, wall, after = (plan.walls[(index + step) % len(plan.walls)] for step in (-1, 0, 1))
    left = _roles(before.facing.right, wall.facing.left)[1]
    right = _roles(wall.facing.right, after.facing.left)[0]
    return WallEnd("left", left, before), WallEnd("right", right, after)


def order_round(plan: Plan) -> tuple[int, ...]:
    """Return the places of the walls in the order their skins go on.

    They go round to the right from the first wall whose left end is at an outer corner, so that most find their
    neighbour there. A skin that runs on behind another goes on before it, for it could not be brought in afterwards.
    """
    count = len(plan.walls)
    inner = (Role.RUNS_ON, Role.BUTTS)
    start = next((i for i in range(count) if wall_ends(plan, i)[0].role not in inner), 0)
    places = {id(wall): i for i, wall in enumerate(plan.walls)}
    waits: dict[int, set[int]] = {
        i: {places[id(end.other)] for end in wall_ends(plan, i) if end.role is Role.BUTTS} for i in range(count)
    }
    order: list[int] = []
    free = [((i - start) % count, i) for i in range(count) if not waits[i]]
    heapq.heapify(free)
    while free:
        _, index = heapq.heappop(free)
        order.append(index)
        for other, awaited in waits.items():
            if index in awaited:
                awaited.discard(index)
                if not awaited:
                    heapq.heappush(free, ((other - start) % count, other))
    return tuple(order)
