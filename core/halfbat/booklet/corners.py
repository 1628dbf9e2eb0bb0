"""How the skins of neighbouring walls meet, read from the ends they were given."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from halfbat.parts.kit_plan import Plan
from halfbat.parts.walls import WallPlan


class Meeting(StrEnum):
    """How two skins meet at a corner, the first being the one that ends there."""

    LIP = "the first keeps the arris with a lip, the second stops behind it"
    MITRE = "both are mitred"
    RUNS_ON = "the first runs on behind the second, which butts against it"
    IN_LINE = "both end square in one line"


@dataclass(frozen=True, slots=True, eq=False)
class Corner:
    """A corner of the building.

    Parameters
    ----------
    before, after : WallPlan
        The wall that ends there (its right end seen from outside) and the wall that starts there.
    meeting : Meeting
        How their skins meet.
    """

    before: WallPlan
    after: WallPlan
    meeting: Meeting


def corner_after(plan: Plan, index: int) -> Corner:
    """Return the corner at the right end of a wall.

    Parameters
    ----------
    plan : Plan
        All walls.
    index : int
        Place of the wall.
    """
    before, after = plan.walls[index], plan.walls[(index + 1) % len(plan.walls)]
    right, left = before.facing.right, after.facing.left
    if right.covered_mm > 0:
        meeting = Meeting.RUNS_ON
    elif not right.profile_mm:
        meeting = Meeting.IN_LINE
    else:
        meeting = Meeting.MITRE if abs(right.face_mm - left.face_mm) < 1e-6 else Meeting.LIP
    return Corner(before, after, meeting)


def order_round(plan: Plan) -> tuple[WallPlan, ...]:
    """Return the walls in the order their skins go on: to the right, so that each finds its neighbour there.

    A skin that runs on behind another, or keeps the arris with a lip, then goes on before that other. Only the last
    meets one that is there already; the round starts where that is not a skin to run on behind, for it could no longer
    be brought in.
    """
    count = len(plan.walls)
    start = next((i for i in range(count) if corner_after(plan, i - 1).meeting is not Meeting.RUNS_ON), 0)
    return (*plan.walls[start:], *plan.walls[:start])
