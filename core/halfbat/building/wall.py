"""Walls in one loop: what the rest of the kit is made from."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from halfbat.findings import Finding

Array = npt.NDArray[np.float64]

#: I, O and Q are left out because they read as 1 and 0 when engraved small.
WALL_LETTERS = "ABCDEFGHJKLMNPRSTUVWXYZ"


def wall_letter(index: int) -> str:
    """Return the letter of a wall: A to Z without I, O and Q, then AA, AB and so on.

    Parameters
    ----------
    index : int
        Place in the loop, from 0.

    Returns
    -------
    str
    """
    letters = ""
    rest = index + 1
    while rest > 0:
        rest, digit = divmod(rest - 1, len(WALL_LETTERS))
        letters = WALL_LETTERS[digit] + letters
    return letters


@dataclass(frozen=True, slots=True, eq=False)
class Wall:
    """One upright rectangular wall, walked counter-clockwise seen from above.

    Seen from outside the start corner is on the left, so u = 0 is the start.

    Parameters
    ----------
    index : int
        Place in the loop, from 0.
    letter : str
        Name of the wall.
    start_m, end_m : ndarray, shape (2,)
        Corners in plan, metres.
    base_m : float
        Height of the foot, metres.
    length_m, height_m : float
        Size of the face, metres.
    corner_deg : float
        Interior angle at the end corner: 90 at a plain outer corner, 270 at an inner one.
    """

    index: int
    letter: str
    start_m: Array
    end_m: Array
    base_m: float
    length_m: float
    height_m: float
    corner_deg: float

    @property
    def along(self) -> Array:
        """Unit vector of u in plan, shape (2,)."""
        step: Array = (self.end_m - self.start_m) / self.length_m
        return step

    @property
    def outward(self) -> Array:
        """Unit vector out of the building in plan, shape (2,)."""
        u = self.along
        return np.array([u[1], -u[0]])


@dataclass(frozen=True, slots=True, eq=False)
class Building:
    """Walls of one height in one counter-clockwise loop.

    Parameters
    ----------
    walls : tuple of Wall
        Each wall ends where the next one starts; the last ends at the start of the first.
    base_m : float
        Height of the foot of all walls, metres.
    height_m : float
        Height of all walls above it, metres.
    findings : tuple of Finding
        What was put right or taken as fair on the way from the mesh.
    """

    walls: tuple[Wall, ...]
    base_m: float
    height_m: float
    findings: tuple[Finding, ...] = ()

    @property
    def plan_m(self) -> Array:
        """Corners of the plan, shape (N, 2), metres; row i is the start of wall i."""
        return np.array([wall.start_m for wall in self.walls])


def building_from_plan(
    plan_m: npt.ArrayLike, base_m: float, height_m: float, findings: tuple[Finding, ...] = ()
) -> Building:
    """Raise walls on a plan.

    Parameters
    ----------
    plan_m : array_like, shape (N, 2)
        Corners of a simple counter-clockwise loop, metres; wall A starts at the first.
    base_m, height_m : float
        Foot and height of the walls, metres.
    findings : tuple of Finding
        Handed on.

    Returns
    -------
    Building
    """
    plan = np.asarray(plan_m, dtype=np.float64)
    count = len(plan)
    steps = np.roll(plan, -1, axis=0) - plan
    lengths = np.hypot(steps[:, 0], steps[:, 1])
    heading = np.degrees(np.arctan2(steps[:, 1], steps[:, 0]))
    turns = (np.roll(heading, -1) - heading + 180.0) % 360.0 - 180.0
    walls = tuple(
        Wall(
            index=i,
            letter=wall_letter(i),
            start_m=plan[i],
            end_m=plan[(i + 1) % count],
            base_m=base_m,
            length_m=float(lengths[i]),
            height_m=height_m,
            corner_deg=180.0 - float(turns[i]),
        )
        for i in range(count)
    )
    return Building(walls, base_m, height_m, findings)
