"""Which panel of which wall a skin is, by its number."""

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
    """

    part: Part
    wall: WallPlan
    cell: PanelCell

    @property
    def outline_mm(self) -> Array:
        """Outline of its brick face in the wall's frame, ended at the corners as these ask, shape (K, 2)."""
        facing, outline = self.wall.facing, self.cell.outline.copy()
        sides = self.cell.sides
        for place, (before, after) in enumerate(zip((sides[-1], *sides), sides, strict=False)):
            if Side.LEFT in (before, after):
                outline[place, 0] = facing.left.face_mm
            elif Side.RIGHT in (before, after):
                outline[place, 0] = facing.laying.length_mm - facing.right.face_mm
        return outline

    @property
    def holes_mm(self) -> tuple[Array, ...]:
        """Openings that were cut through it, in the wall's frame, clockwise; shape (K, 2) each.

        They are read off the part itself, since a maker may have cut it.
        """
        facing, part = self.wall.facing, self.part
        rings = level_section(part.solid, np.eye(4), facing.base_mm - _BELOW_JOINTS_MM)
        areas = [signed_area(ring) for ring in rings]
        largest = max(areas, key=abs, default=0.0)
        holes = [ring for ring, area in zip(rings, areas, strict=True) if area * largest < 0]
        return tuple(self._in_wall(ring if largest > 0 else ring[::-1]) for ring in holes)

    def _in_wall(self, ring: Array) -> Array:
        facing, place = self.wall.facing, self.part.place
        there = ring @ place[:3, :2].T + place[:3, 3] + place[:3, 2] * facing.base_mm - facing.foot_mm
        return np.column_stack([there[:, :2] @ facing.along, there[:, 2]])


def skin_panels(kit: DrawnKit) -> Mapping[str, SkinPanel]:
    """Return the panels of a kit by the number of their part, for those skins that are in it."""
    parts = {part.number: part for part in kit.parts}
    found: dict[str, SkinPanel] = {}
    for wall in kit.plan.walls:
        for cell in wall.seams.panels:
            number = part_number(NumberKind.SKIN, cell.index, wall.wall.letter)
            if number in parts:
                found[number] = SkinPanel(parts[number], wall, cell)
    return found
