"""Plates as they are printed, seen from above, for the booklet."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np

from halfbat.drawings.contents import DrawnKit
from halfbat.drawings.drawing import Array, Drawing, Item, Label, Shape, line, rectangle, signed_area, text_width
from halfbat.drawings.paper import paper_size, size_text
from halfbat.printing.compensation import correction
from halfbat.printing.plates import Placement, Plate
from halfbat.printing.silhouettes import silhouette

ROOM_MM = (172.0, 100.0)
_NUMBER_MM = 3.0
_FILLS = {"resin": "#f0dbce", "filament": "#dee2e8"}


def plates_of_parts(plates: Iterable[Plate]) -> Mapping[str, str]:
    """Return the names of the plates on which each part lies, by its number."""
    names: dict[str, dict[str, int]] = {}
    for plate in plates:
        for placed in plate.placements:
            own = names.setdefault(placed.part.number, {})
            own[plate.name] = own.get(plate.name, 0) + 1
    return {
        number: ", ".join(name if count == 1 else f"{name} x{count}" for name, count in own.items())
        for number, own in names.items()
    }


def plate_drawing(kit: DrawnKit, plate: Plate) -> Drawing:
    """Draw one plate with the number of every piece on it.

    Parameters
    ----------
    kit : DrawnKit
        The kit, for its settings.
    plate : Plate
        Laid out.
    """
    process = plate.process
    size = paper_size((process.usable_x_mm, process.usable_y_mm), ROOM_MM)
    paper = float(size)
    wide, high = process.usable_x_mm * paper, process.usable_y_mm * paper
    items: list[Item] = [Shape((rectangle(0.0, 0.0, wide, high),), "light")]
    numbers: list[Item] = []
    for placed in plate.placements:
        scale = correction(placed.part, kit.settings)[:2]
        rings = [
            ((ring * scale) @ placed.matrix[:2, :2].T + placed.matrix[:2, 3]) * paper
            for ring in silhouette(placed.part.solid)
        ]
        items.append(Shape(tuple(rings), "face", fill=_FILLS[plate.kind]))
        numbers.append(_number(placed, paper, largest=max(abs(signed_area(ring)) for ring in rings)))
    items += [
        *numbers,
        Label((2.0, -2.6), "X to the right, Y up, origin at this corner", 2.2, "start"),
    ]
    items.append(Shape((line((0.0, -2.0), (0.0, 0.0), (-2.0, 0.0)),), "dimension", closed=False))
    count = len(plate.placements)
    title = f"Plate {plate.name}, {count} piece{'' if count == 1 else 's'}"
    text = "From above: " + ", ".join(placed.part.number for placed in plate.placements) + "."
    about = f"{process.usable_x_mm:g} x {process.usable_y_mm:g} mm usable, {size_text(size)}."
    return Drawing(f"plate-{plate.name}", title, text, tuple(items), about[0].upper() + about[1:])


def _number(placed: Placement, paper: float, *, largest: float) -> Item:
    """Set a number on its piece, or beside one that is too narrow or too thin for it, along its longer side."""
    across = np.array(placed.size_mm) * paper
    text, upright = placed.part.number, bool(across[1] > 1.6 * across[0])
    long, narrow = (across[1], across[0]) if upright else (across[0], across[1])
    tall = min(_NUMBER_MM, max(1.4, long / text_width(text, 1.0)))
    at: Array = np.array([placed.x_mm, placed.y_mm]) * paper
    if tall > narrow * 0.9 or largest < 0.6 * float(across[0] * across[1]):
        beside = narrow / 2 + tall * 0.6
        at = at + (np.array([-beside, 0.0]) if upright else np.array([0.0, beside]))
    turn = 90.0 if upright else 0.0
    return Label((float(at[0]), float(at[1])), text, tall, angle_deg=turn, style="number", part=text, quantity=1)
