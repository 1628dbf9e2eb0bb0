"""The plan, cut through the walls, and the roof plan."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import numpy as np

from halfbat.drawings.contents import DrawnKit
from halfbat.drawings.drawing import Drawing, Item, Label, Shape, text_width
from halfbat.drawings.exploded import Faces, as_built
from halfbat.drawings.paper import ROOM_MM, SIZES, on_paper, scale_bar, size_text
from halfbat.drawings.pictures import Shown, picture
from halfbat.drawings.sections import level_section
from halfbat.drawings.view import View
from halfbat.drawings.wall_lengths import WallLine, drawn_line, round_mm, wall_lines
from halfbat.parts.part import Part

_CUT_AT = 0.72
_NUMBER_MM, _LINE_MM = 2.2, 3.2
_UPRIGHT = 0.5
_STYLES = {"resin": "resin", "filament": "filament", "bought": "cover"}
FROM_ABOVE = View(np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0]))


def plan_size(kit: DrawnKit) -> tuple[Fraction, tuple[WallLine, ...]]:
    """Return the size of both plans, mm on paper for one on the model, and the lines with the lengths of walls."""
    extent = np.ptp(kit.plan.corners_mm, axis=0)
    size, lines = SIZES[-1], tuple[WallLine, ...]()
    for size in SIZES:
        lines = wall_lines(kit.plan.walls, kit.plan.corners_mm, float(size))
        room = 2 * round_mm(lines)
        if (extent * float(size) + room <= ROOM_MM).all():
            break
    return size, lines


def cut_height_mm(kit: DrawnKit) -> float:
    """Return how high over the foot of the walls the plan is cut: through the lowest mass, over half its height."""
    return _CUT_AT * min(mass.height_mm for mass in kit.plan.masses)


def plan(kit: DrawnKit) -> Drawing:
    """Draw all parts cut level, over the numbers engraved half way up the skins and under the lid."""
    (size, lines), own = plan_size(kit), kit.plan
    level = own.base_mm + cut_height_mm(kit)
    items: list[Item] = []
    for part in kit.parts:
        rings = level_section(part.solid, part.place, level)
        if rings:
            items.append(Shape(tuple(on_paper(ring, size) for ring in rings), _STYLES[part.process]))
    items += [item for line in lines for item in drawn_line(line, float(size), kit.scale.mm_per_m)]
    shells = [
        Label(_room_for(part, size), part.number, 3.0, style="number") for part in kit.parts if part.kind == "shell"
    ]
    items += [*shells, *_numbers(kit, size, shells)]
    metres = level / kit.scale.mm_per_m - own.base_mm / kit.scale.mm_per_m
    title, low = "Plan", own.corners_mm.min(axis=0) * float(size)
    text = (
        f"The kit cut level {metres:.2f} m above the foot of the walls: resin skins dark, filament shell light. "
        f"{_sides(kit)}"
    )
    bar = scale_bar((float(low[0]), float(low[1]) - round_mm(lines)), size, kit.scale, 60.0)
    return Drawing("plan", title, text, (*items, *bar), size_text(size), data={"paper-per-model": str(size)})


def roof_plan(kit: DrawnKit, faces: Faces) -> Drawing:
    """Draw the finished model from above, what lies under the lid in dashes."""
    (size, lines), own = plan_size(kit), kit.plan
    shown = [Shown(as_built(kit, part, faces), part.process) for part in kit.parts]
    items = list(picture(shown, FROM_ABOVE, float(size)))
    for part in kit.parts:
        if part.kind != "lid":
            continue
        below = float((part.solid.vertices @ part.place[:3, :3].T + part.place[:3, 3])[:, 2].min())
        rings = level_section(part.solid, part.place, below + 0.3)
        items.append(Shape(tuple(on_paper(ring, size) for ring in rings), "hidden"))
        items.append(Label(_room_for(part, size), part.number, 3.0, style="number"))
    items += [item for line in lines for item in drawn_line(line, float(size), kit.scale.mm_per_m)]
    low = own.corners_mm.min(axis=0) * float(size)
    bar = scale_bar((float(low[0]), float(low[1]) - round_mm(lines)), size, kit.scale, 60.0)
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


def _numbers(kit: DrawnKit, size: Fraction, there: Sequence[Label]) -> list[Item]:
    """Numbers of the parts of each wall outside of it, none on another."""
    items: list[Item] = []
    taken = [(*label.at, text_width(label.text, label.height_mm) / 2 + 1.0) for label in there]
    for wall in kit.plan.walls:
        facing = wall.facing
        upright = abs(float(facing.along[1])) > _UPRIGHT
        own = [part for part in kit.parts if part.wall == wall.wall.letter]
        for part in sorted(own, key=lambda one: one.kind != "skin"):
            half = text_width(part.number, _NUMBER_MM) / 2 + 0.7
            step = 2 * half if upright else _LINE_MM
            at = part.place[:2, 3] - facing.outward * float((part.place[:2, 3] - facing.foot_mm[:2]) @ facing.outward)
            spot = at * float(size) + facing.outward * (2.6 + (half if upright else 0.8))
            while any(abs(spot[0] - x) < half + other and abs(spot[1] - y) < _LINE_MM for x, y, other in taken):
                spot = spot + facing.outward * step
            taken.append((float(spot[0]), float(spot[1]), half))
            items.append(Label((float(spot[0]), float(spot[1])), part.number, _NUMBER_MM, style="text"))
    return items
