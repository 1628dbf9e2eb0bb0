"""Clearances between parts that go together: the lid's lip in the shell, the skins on the shell."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from halfbat.findings import Finding, Severity
from halfbat.parts.kit_plan import Plan
from halfbat.parts.lip import BUMP_MM, LEAD_IN_MM
from halfbat.parts.part import Part
from halfbat.printing.checks.assembled import distances_mm, hung, in_building
from halfbat.printing.checks.places import place_in_building
from halfbat.printing.checks.walls import ray_lengths
from halfbat.printing.rasters import Grid, Mask, raster
from halfbat.printing.sections import Array, section
from halfbat.settings import Settings
from halfbat.solids.solid import Solid

LIP_MM = (0.10, 0.30)
GLUE_MM = (0.05, 0.20)
_ROUNDING_MM = 0.004
_LONG_MM = max(BUMP_MM) + 0.1
_GUIDED = 1.75
SHARES = (0.5, 0.15, 0.85)
"""Of the height of a skin, where its distance from the shell is measured: a mark does not reach over all of it."""
ON_SHELL = frozenset({"former", "lid"})
"""Filament parts that skins stand before as well."""


def _middles(segments: Array) -> tuple[Array, Array]:
    """Middles of the long sides of a section, and the directions out of the material there."""
    x0, y0, x1, y1 = segments.T
    length = np.hypot(x1 - x0, y1 - y0)
    long = length > _LONG_MM
    middle = np.stack([(x0 + x1)[long] / 2, (y0 + y1)[long] / 2], axis=1)
    outward = np.stack([(y1 - y0)[long], -(x1 - x0)[long]], axis=1) / length[long, None]
    return middle, outward


def _first(parts: Sequence[Part], kind: str) -> Part | None:
    return next((part for part in parts if part.kind == kind), None)


def _joined(sections: Sequence[Array]) -> Array:
    """Level sections of several bodies as one."""
    return np.concatenate(sections) if sections else np.zeros((0, 4))


def check_lip(parts: Sequence[Part], _plan: Plan, _settings: Settings) -> tuple[Finding, ...]:
    """The lid's lip has room to slide into the shell, and not too much."""
    shell, lid = _first(parts, "shell"), _first(parts, "lid")
    if shell is None or lid is None:
        return ()
    bodies = [in_building(part) for part in parts if part.kind == "shell"]
    lips = [in_building(part) for part in parts if part is lid or part.number in lid.sections]
    low, top = float(lips[0].bounds_mm[0, 2]), max(float(body.bounds_mm[1, 2]) for body in bodies)
    if top <= low:
        return ()
    # Past the lead-in, before the bumps that are to touch.
    height = low + _GUIDED * min(LEAD_IN_MM, (top - low) / 3)
    wall, ring = (_joined([section(one, height) for one in those]) for those in (bodies, lips))
    middle, outward = _middles(ring)
    room = ray_lengths(middle, outward, wall)
    # The shell is near before the outer side of the lip, and behind its inner side.
    free = room < ray_lengths(middle, -outward, wall)
    # Where it is cut another section of the lid is nearer.
    free &= room < ray_lengths(middle, outward, ring)
    middle, room = middle[free], room[free]
    within = _inside(ring, wall)
    if within.any():
        text, least, at = "the lid's lip runs into the shell", 0.0, ring[within][:, :2]
    elif not room.size:
        return ()
    else:
        least, most = float(room.min()), float(room.max())
        tight = int(np.argmin(room) if least < LIP_MM[0] - _ROUNDING_MM else np.argmax(room))
        at = middle[tight : tight + 1]
        if least >= LIP_MM[0] - _ROUNDING_MM and most <= LIP_MM[1] + _ROUNDING_MM:
            return ()
        text = (
            f"the lid's lip has {least:.2f} to {most:.2f} mm a side in the shell, outside {LIP_MM[0]} to {LIP_MM[1]} mm"
        )
    severity = Severity.WARNING if least > 0 else Severity.FAILURE
    place = place_in_building(lid, _upright(at, low, top))
    return (Finding(severity, "lip-clearance", lid.number, text, "set the filament process's fit", place),)


def _upright(at: Array, low_mm: float, high_mm: float) -> Array:
    """Return points (N, 2) of a level section at two heights, shape (2 N, 3)."""
    return np.concatenate([np.column_stack([at, np.full(len(at), height)]) for height in (low_mm, high_mm)])


def _inside(ring: Array, wall: Array) -> Mask:
    """Which segments of one section begin in the material of another."""
    box = np.array([wall[:, [0, 2]].ravel(), wall[:, [1, 3]].ravel()])
    grid = Grid.over(np.stack([box.min(axis=1), box.max(axis=1)]), 0.02)
    if grid.size[0] * grid.size[1] > 4_000_000:
        grid = Grid.over(np.stack([box.min(axis=1), box.max(axis=1)]), 0.06)
    mask = raster(wall, grid)
    column = np.floor(ring[:, 0] / grid.pitch_mm[0]).astype(int) - grid.first[0]
    row = np.floor(ring[:, 1] / grid.pitch_mm[1]).astype(int) - grid.first[1]
    within = (column >= 0) & (column < grid.size[0]) & (row >= 0) & (row < grid.size[1])
    found = np.zeros(len(ring), dtype=np.bool_)
    found[within] = mask[row[within], column[within]]
    return found


def _back_at(solid: Solid, level_mm: float, outward: Array) -> Array:
    """Middles (N, 2) of the long stretches of a skin's back at a height."""
    middle, away = _middles(section(solid, level_mm))
    return np.asarray(middle[away @ outward < -0.99], dtype=np.float64)


def check_glue_gap(parts: Sequence[Part], plan: Plan, _settings: Settings) -> tuple[Finding, ...]:
    """Between the back of each skin and the shell, or what stands on it, there is room for glue, and no more."""
    shell = _first(parts, "shell")
    if shell is None:
        return ()
    shells = [in_building(part) for part in parts if part.kind == "shell"]
    foot, top = min(float(one.bounds_mm[0, 2]) for one in shells), max(float(one.bounds_mm[1, 2]) for one in shells)
    # Gables stand before the roof former, which lies on the shell.
    bodies = [*shells, *(in_building(part) for part in parts if part.kind in ON_SHELL)]
    found = []
    for one in hung(parts, plan, "skin"):
        solid = in_building(one.part)
        low, high = max(float(solid.bounds_mm[0, 2]), foot + 2.0), min(float(solid.bounds_mm[1, 2]), top)
        if high <= low:
            continue
        near = [
            (middle, wall)
            for share in SHARES
            if (middle := _back_at(solid, low + share * (high - low), one.wall.facing.outward)).size
            and (wall := _joined([section(other, low + share * (high - low)) for other in bodies])).size
        ]
        if not near:
            continue
        # Where a mark is cut into the back it is farther off, and before an opening of the shell too.
        back_mm, wall = min(near, key=lambda pair: float(distances_mm(*pair).min()))
        gaps = distances_mm(back_mm, wall)
        gap = float(gaps.min())
        within = _inside(np.concatenate([back_mm] * 2, axis=1), wall)
        at = back_mm[within] if within.any() else back_mm[[int(np.argmin(gaps))]]
        place = place_in_building(one.part, _upright(at, low, high))
        if within.any():
            remedy = (
                "set the glue gap to 0.10 to 0.15 mm, or leave the part of the building it runs into out of the mesh"
            )
            text = "its back runs into the shell"
            found.append(Finding(Severity.FAILURE, "glue-gap", one.part.number, text, remedy, place))
            continue
        if GLUE_MM[0] - _ROUNDING_MM <= gap <= GLUE_MM[1] + _ROUNDING_MM:
            continue
        text = f"its back is {gap:.2f} mm from the shell; glue fills {GLUE_MM[0]} to {GLUE_MM[1]} mm"
        remedy = "set the glue gap to 0.10 to 0.15 mm"
        found.append(Finding(Severity.FAILURE, "glue-gap", one.part.number, text, remedy, place))
    return tuple(found)
