"""The plan, cut through the walls, and the roof plan."""

from __future__ import annotations

from fractions import Fraction

import numpy as np

from halfbat.drawings.contents import DrawnKit
from halfbat.drawings.drawing import Array, Dimension, Drawing, Item, Label, Shape, text_width
from halfbat.drawings.exploded import Faces, as_built
from halfbat.drawings.paper import ROOM_MM, on_paper, paper_size, scale_bar, size_text
from halfbat.drawings.pictures import Shown, picture
from halfbat.drawings.sections import level_section
from halfbat.drawings.view import View
from halfbat.parts.part import Part
from halfbat.parts.walls import WallPlan

_ROUND_MM = 26.0
_CUT_AT = 0.72
_STYLES = {"resin": "resin", "filament": "filament", "bought": "cover"}
FROM_ABOVE = View(np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0]))


def plan_size(kit: DrawnKit) -> Fraction:
    """Return the size of both plans, mm on paper for one on the model."""
    extent = np.ptp(kit.plan.corners_mm, axis=0)
    return paper_size(extent, (ROOM_MM[0] - 2 * _ROUND_MM, ROOM_MM[1] - 2 * _ROUND_MM))


def plan(kit: DrawnKit) -> Drawing:
    """Draw all parts cut level, over the numbers engraved half way up the skins and under the lid."""
    size, own = plan_size(kit), kit.plan
    level = own.base_mm + own.height_mm * _CUT_AT
    items: list[Item] = []
    for part in kit.parts:
        rings = level_section(part.solid, part.place, level)
        if rings:
            items.append(Shape(tuple(on_paper(ring, size) for ring in rings), _STYLES[part.process]))
    for wall in kit.plan.walls:
        items += _beside(kit, wall, size)
    items += [
        Label(_room_for(part, size), part.number, 3.0, style="number") for part in kit.parts if part.kind == "shell"
    ]
    metres = level / kit.scale.mm_per_m - own.base_mm / kit.scale.mm_per_m
    title, low = "Plan", own.corners_mm.min(axis=0) * float(size)
    text = (
        f"The kit cut level {metres:.2f} m above the foot of the walls: resin skins dark, filament shell light. "
        f"{_sides(kit)}"
    )
    bar = scale_bar((float(low[0]), float(low[1]) - _ROUND_MM), size, kit.scale, 60.0)
    return Drawing("plan", title, text, (*items, *bar), size_text(size), data={"paper-per-model": str(size)})


def roof_plan(kit: DrawnKit, faces: Faces) -> Drawing:
    """Draw the finished model from above, what lies under the lid in dashes."""
    size, own = plan_size(kit), kit.plan
    shown = [Shown(as_built(kit, part, faces), part.process) for part in kit.parts]
    items = list(picture(shown, FROM_ABOVE, float(size)))
    for part in kit.parts:
        if part.kind != "lid":
            continue
        below = float((part.solid.vertices @ part.place[:3, :3].T + part.place[:3, 3])[:, 2].min())
        rings = level_section(part.solid, part.place, below + 0.3)
        items.append(Shape(tuple(on_paper(ring, size) for ring in rings), "hidden"))
        items.append(Label(_room_for(part, size), part.number, 3.0, style="number"))
    for wall in kit.plan.walls:
        items += _beside(kit, wall, size, numbers=False)
    low = own.corners_mm.min(axis=0) * float(size)
    bar = scale_bar((float(low[0]), float(low[1]) - _ROUND_MM), size, kit.scale, 60.0)
    text = f"The finished model from above; the lip under the lid in dashes. {_sides(kit)}"
    return Drawing("roof", "Roof plan", text, (*items, *bar), size_text(size), data={"paper-per-model": str(size)})


def _sides(kit: DrawnKit) -> str:
    return " ".join(
        f"Wall {wall.wall.letter} is {wall.facing.laying.length_mm:.2f} mm, {wall.wall.length_m:.3f} m."
        for wall in kit.plan.walls
    )


def _room_for(part: Part, size: Fraction) -> tuple[float, float]:
    at = part.place[:2, 3] * float(size)
    return float(at[0]), float(at[1])


def _beside(kit: DrawnKit, wall: WallPlan, size: Fraction, *, numbers: bool = True) -> list[Item]:
    """Letter, length and panel numbers of a wall, outside of it."""
    facing, paper = wall.facing, float(size)
    start = facing.foot_mm[:2] * paper
    end = start + facing.along * (facing.laying.length_mm * paper)

    def outside(along_mm: float, away: float) -> tuple[float, float]:
        point: Array = start + facing.along * (along_mm * paper) + facing.outward * away
        return float(point[0]), float(point[1])

    a, b = (float(start[0]), float(start[1])), (float(end[0]), float(end[1]))
    items: list[Item] = [Dimension(a, b, -15.0, facing.laying.length_mm, facing.laying.length_mm / kit.scale.mm_per_m)]
    middle = facing.laying.length_mm / 2
    items.append(Label(outside(middle, 21.5), wall.wall.letter, 4.0, style="number"))
    if numbers:
        for part in kit.parts:
            if part.wall == wall.wall.letter:
                at = float((part.place[:2, 3] - facing.foot_mm[:2]) @ facing.along)
                upright = abs(float(facing.along[1])) > 0.5
                away = 3.0 + (text_width(part.number, 2.2) / 2 if upright else 0.4)
                away += 4.0 if part.kind != "skin" else 0.0
                items.append(Label(outside(at, away), part.number, 2.2, style="text"))
    return items
