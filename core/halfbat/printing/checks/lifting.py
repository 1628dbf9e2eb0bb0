"""Whether roofs still lift straight off past what is glued to the walls above them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from halfbat.findings import Finding, Severity
from halfbat.parts.kit_plan import Plan
from halfbat.parts.part import Part
from halfbat.printing.checks.assembled import in_building, points_on_wall_mm
from halfbat.printing.checks.places import place_in_building
from halfbat.printing.sections import Array
from halfbat.settings import Settings
from halfbat.solids.solid import Solid

LIFTED = ("former", "lid", "roof skin", "ridge", "fascia", "barge board", "roof light", "gutter", "chimney", "pot")
"""Kinds of parts that are taken off with a roof."""
STEP_MM = 0.1
CLEAR_MM = 0.02
LEAST_MM2 = 0.05
"""Less is where a roof brushes past."""
_TAB_MM = 0.02


def check_lifting(parts: Sequence[Part], plan: Plan, _settings: Settings) -> tuple[Finding, ...]:
    """No cover on a wall stands in the way of a roof that is lifted straight up."""
    roofs = [(part, in_building(part)) for part in parts if part.kind in LIFTED]
    walls = {wall.wall.letter: wall for wall in plan.walls}
    found = []
    for part in parts:
        wall = walls.get(part.wall or "")
        if part.kind != "cover" or part.process == "bought" or wall is None:
            continue
        tab = np.zeros(len(part.solid.vertices), dtype=np.bool_)
        if part.tab_mm is not None:
            spots = points_on_wall_mm(part, wall, part.solid.vertices)[:, :2]
            low, high = np.array(part.tab_mm[:2]) - _TAB_MM, np.array(part.tab_mm[2:]) + _TAB_MM
            tab[((spots > low) & (spots < high)).all(axis=1)] = True
        body = in_building(part)
        cover = Solid(body.vertices, body.triangles[~tab[body.triangles].all(axis=1)])
        held = [(other.number, points) for other, roof in roofs if len(points := _in_the_way(cover, roof))]
        if not held:
            continue
        names = ", ".join(number for number, _ in held)
        text = f"stands over {names}, so that the roof there does not lift straight off"
        remedy = "move it along the wall past that roof, or glue that roof on for good once the inside is done"
        place = place_in_building(part, np.concatenate([points for _, points in held]))
        found.append(Finding(Severity.WARNING, "cover-over-roof", part.number, text, remedy, place))
    return tuple(found)


def _in_the_way(cover: Solid, roof: Solid) -> Array:
    """Places (N, 3) on a cover that something of a roof meets on its way up."""
    (low, high), (other_low, other_high) = cover.bounds_mm, roof.bounds_mm
    corner, far = np.maximum(low, other_low)[:2] + STEP_MM / 2, np.minimum(high, other_high)[:2]
    if (far <= corner).any() or other_low[2] >= high[2]:
        return np.zeros((0, 3))
    axes = [np.arange(corner[k], far[k], STEP_MM) for k in range(2)]
    spots = np.stack(np.meshgrid(*axes), axis=-1).reshape(-1, 2)
    (_, over), (under, _) = heights(cover, spots), heights(roof, spots)
    meets = np.isfinite(over) & np.isfinite(under) & (under < over - CLEAR_MM)
    if np.count_nonzero(meets) * STEP_MM**2 < LEAST_MM2:
        return np.zeros((0, 3))
    floor = np.maximum(under[meets], low[2])
    return np.concatenate([np.column_stack([spots[meets], level]) for level in (floor, over[meets])])


def heights(solid: Solid, spots: Array) -> tuple[Array, Array]:
    """Return the lowest and the highest place of a solid over each of some spots.

    Parameters
    ----------
    solid : Solid
        In the building's frame.
    spots : ndarray (N, 2)
        In plan.

    Returns
    -------
    ndarray, ndarray, shape (N,) each
        ``inf`` and ``-inf`` where there is nothing of it.
    """
    lowest, highest = np.full(len(spots), np.inf), np.full(len(spots), -np.inf)
    corners = solid.vertices[solid.triangles]
    plan = corners[:, :, :2]
    near = (plan.min(axis=1) <= spots.max(axis=0)).all(axis=1) & (plan.max(axis=1) >= spots.min(axis=0)).all(axis=1)
    for a, b, c in corners[near]:
        within, height = _over(spots, a, b, c)
        lowest[within] = np.minimum(lowest[within], height)
        highest[within] = np.maximum(highest[within], height)
    return lowest, highest


def _over(spots: Array, a: Array, b: Array, c: Array) -> tuple[NDArray[np.intp], Array]:
    """Which spots lie under a triangle, and its height there."""
    cross = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    if abs(cross) < 1e-12:
        return np.zeros(0, dtype=np.intp), np.zeros(0)
    x, y = spots[:, 0] - a[0], spots[:, 1] - a[1]
    s = (x * (c[1] - a[1]) - y * (c[0] - a[0])) / cross
    t = ((b[0] - a[0]) * y - (b[1] - a[1]) * x) / cross
    within = np.flatnonzero((s >= 0) & (t >= 0) & (s + t <= 1))
    return within, a[2] + s[within] * (b[2] - a[2]) + t[within] * (c[2] - a[2])
