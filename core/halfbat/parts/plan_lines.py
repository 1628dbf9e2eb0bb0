"""Plans of masses drawn onto the faces of their walls.

A wall that is nearly one plane has one skin, while the plan of a mass keeps each of its corners. The shell stands
behind the skins, so the sides of its plan that show follow the walls.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import MassSide, SideKind, Structure

Array = NDArray[np.float64]
LARGEST_MOVE_M = 0.12
"""No corner moves further: what lies so far off a wall's face is no part of it."""
NEARLY_ONE_LINE = 0.05
"""Sine of the angle between a side and its wall, and between sides that meet in no sure place."""


def on_walls(plan_m: Array, sides: Sequence[MassSide], structure: Structure) -> Array:
    """Move the outer sides of a plan onto the faces of their walls.

    Parameters
    ----------
    plan_m : ndarray (N, 2)
        Corners; side i runs from corner i to the next.
    sides : sequence of MassSide, length N
        What stands beyond each.
    structure : Structure
        Walls.

    Returns
    -------
    ndarray (N, 2)
        Corners where the moved sides meet, metres; the plan itself where a corner would move too far.
    """
    steps = np.roll(plan_m, -1, axis=0) - plan_m
    along = steps / np.linalg.norm(steps, axis=1)[:, None]
    lines = [(plan_m[i], along[i]) for i in range(len(plan_m))]
    for i, side in enumerate(sides):
        if side.wall is None or side.kind is not SideKind.OUTER:
            continue
        wall = structure.walls[side.wall]
        if abs(float(wall.along[0] * along[i][1] - wall.along[1] * along[i][0])) < NEARLY_ONE_LINE:
            lines[i] = (wall.start_m, wall.along)
    moved = np.array([_meet(lines[i - 1], lines[i], plan_m[i]) for i in range(len(plan_m))])
    far = np.linalg.norm(moved - plan_m, axis=1) > LARGEST_MOVE_M
    return np.asarray(np.where(far[:, None], plan_m, moved), dtype=np.float64)


def _meet(before: tuple[Array, Array], after: tuple[Array, Array], corner: Array) -> Array:
    """Where two sides meet; beside the corner, where they are nearly one line."""
    (p, run), (q, on) = before, after
    rate = float(run[0] * on[1] - run[1] * on[0])
    if abs(rate) < NEARLY_ONE_LINE:
        places = [place + way * float((corner - place) @ way) for place, way in (before, after)]
        return np.asarray((places[0] + places[1]) / 2, dtype=np.float64)
    gap = q - p
    return np.asarray(p + run * (float(gap[0] * on[1] - gap[1] * on[0]) / rate), dtype=np.float64)
