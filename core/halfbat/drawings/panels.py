"""Which panel of which wall a skin is, by its number, and its true outline."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from halfbat.drawings.contents import DrawnKit
from halfbat.drawings.drawing import Array, signed_area
from halfbat.drawings.sections import level_section
from halfbat.parts.cells import PanelCell, Side
from halfbat.parts.numbering import NumberKind, part_number
from halfbat.parts.part import Part
from halfbat.parts.walls import WallPlan

_BELOW_JOINTS_MM = 0.02
_SAME_AREA = 0.02


@dataclass(frozen=True, slots=True, eq=False)
class SkinPanel:
    """A skin and where it belongs.

    Parameters
    ----------
    part : Part
        The skin.
    wall : WallPlan
        Its wall.
    cell : PanelCell
        Its place in the wall.
    outline_mm : ndarray (K, 2)
        Outline of its brick face in the wall's frame, anticlockwise.
    holes_mm : tuple of ndarray (K, 2)
        Openings in it, clockwise, and pieces of it that openings part from the first, anticlockwise.
    plain : bool
        True where it is its cell between the wall's corners, whose edges then are those of the cell; False where
        a gable, an eaves line or anything else cuts into that.
    """

    part: Part
    wall: WallPlan
    cell: PanelCell
    outline_mm: Array
    holes_mm: tuple[Array, ...]
    plain: bool


def skin_panels(kit: DrawnKit, only: WallPlan | None = None) -> Mapping[str, SkinPanel]:
    """Return the panels of a kit, or of one of its walls only, by the numbers of the skins that are in it."""
    parts = {part.number: part for part in kit.parts}
    found: dict[str, SkinPanel] = {}
    for wall in kit.plan.walls if only is None else (only,):
        for cell in wall.seams.panels:
            number = part_number(NumberKind.SKIN, cell.index, wall.wall.letter)
            if number in parts:
                found[number] = _panel(parts[number], wall, cell)
    return found


def _panel(part: Part, wall: WallPlan, cell: PanelCell) -> SkinPanel:
    """Read the outline off the part itself: it has what gables, openings and the maker's own cutters left of it."""
    ended = _between_corners(wall, cell)
    rings = sorted(_sections(part, wall), key=lambda ring: -abs(signed_area(ring)))
    if not rings:
        return SkinPanel(part, wall, cell, ended, (), plain=True)
    turn = 1 if signed_area(rings[0]) > 0 else -1
    outer, *others = (ring[::turn] for ring in rings)
    plain = abs(signed_area(outer) - signed_area(ended)) < _SAME_AREA * signed_area(ended)
    return SkinPanel(part, wall, cell, ended if plain else outer, tuple(others), plain)


def _between_corners(wall: WallPlan, cell: PanelCell) -> Array:
    """Return the outline of a cell, ended at the corners as these ask."""
    facing, outline, sides = wall.facing, cell.outline.copy(), cell.sides
    for place, (before, after) in enumerate(zip((sides[-1], *sides), sides, strict=False)):
        if Side.LEFT in (before, after):
            outline[place, 0] = facing.left.face_mm
        elif Side.RIGHT in (before, after):
            outline[place, 0] = facing.laying.length_mm - facing.right.face_mm
    return outline


def _sections(part: Part, wall: WallPlan) -> list[Array]:
    """Return the rings of a skin just below its joints, in the wall's frame, without a tab over the top."""
    facing, place = wall.facing, part.place
    top = float(facing.face.outline_mm[:, 1].max())
    rings = []
    for ring in level_section(part.solid, np.eye(4), facing.base_mm - _BELOW_JOINTS_MM):
        there = ring @ place[:3, :2].T + place[:3, 3] + place[:3, 2] * facing.base_mm - facing.foot_mm
        rings.append(_below(np.column_stack([there[:, :2] @ facing.along, there[:, 2]]), top))
    return [ring for ring in rings if len(ring) >= 3]


def _below(ring: Array, level: float) -> Array:
    """Cut off what of a ring lies above a level."""
    over = ring[:, 1] - level
    if (over <= 1e-6).all():
        return ring
    points = []
    for a, b, rise, follow in zip(ring, np.roll(ring, -1, axis=0), over, np.roll(over, -1), strict=True):
        if rise <= 0:
            points.append(a)
        if (rise <= 0) != (follow <= 0):
            points.append(a + (b - a) * (rise / (rise - follow)))
    return np.array(points).reshape(-1, 2)
