"""How the skins of neighbouring walls meet, read from the ends they were given, and the order that asks for."""

from __future__ import annotations

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
    if abs(right.face_mm - left.face_mm) < 1e-6:
        return (Role.MITRED, Role.MITRED) if right.slope else (Role.SQUARE, Role.SQUARE)
    if not right.profile_mm:
        return Role.SQUARE, Role.SQUARE
    return (Role.KEEPS, Role.STOPS) if right.face_mm < left.face_mm else (Role.STOPS, Role.KEEPS)


def wall_ends(plan: Plan, wall: WallPlan) -> tuple[WallEnd, ...]:
    """Return the left and the right end of a wall, where it meets another that has skins.

    Parameters
    ----------
    plan : Plan
        All walls.
    wall : WallPlan
        One of them.
    """
    by_index = {other.wall.index: other for other in plan.walls}
    ends = []
    before = by_index.get(wall.wall.left.wall) if wall.wall.left else None
    if before is not None:
        ends.append(WallEnd("left", _roles(before.facing.right, wall.facing.left)[1], before))
    after = by_index.get(wall.wall.right.wall) if wall.wall.right else None
    if after is not None:
        ends.append(WallEnd("right", _roles(wall.facing.right, after.facing.left)[0], after))
    return tuple(ends)


def order_round(plan: Plan) -> tuple[WallPlan, ...]:
    """Return the walls in the order their skins go on.

    They go round to the right from a wall whose left end is not in an inner corner, so that most find their neighbour
    there; then round what is left, as often as it takes. A skin that runs on behind another goes on before it, for it
    could not be brought in afterwards.
    """
    rank = {wall.wall.index: place for place, wall in enumerate(_rounds(plan))}
    waits = {
        wall.wall.index: {end.other.wall.index for end in wall_ends(plan, wall) if end.role is Role.BUTTS}
        for wall in plan.walls
    }
    by_index = {wall.wall.index: wall for wall in plan.walls}
    order: list[WallPlan] = []
    while waits:
        # Where walls wait for each other in a ring, the first of them goes on.
        free = [index for index, awaited in waits.items() if not awaited & waits.keys()] or list(waits)
        following = min(free, key=rank.__getitem__)
        del waits[following]
        order.append(by_index[following])
    return tuple(order)


def _rounds(plan: Plan) -> list[WallPlan]:
    """Return the walls loop by loop, each walked to the right from a good start."""
    inner = (Role.RUNS_ON, Role.BUTTS)
    by_index = {wall.wall.index: wall for wall in plan.walls}
    left_roles = {
        wall.wall.index: [end.role for end in wall_ends(plan, wall) if end.side == "left"] for wall in plan.walls
    }
    walked: dict[int, WallPlan] = {}
    starts = sorted(plan.walls, key=lambda wall: any(role in inner for role in left_roles[wall.wall.index]))
    for start in starts:
        following: WallPlan | None = start
        while following is not None and following.wall.index not in walked:
            walked[following.wall.index] = following
            following = by_index.get(following.wall.right.wall) if following.wall.right else None
    return list(walked.values())
