"""Parts drawn apart along the way they are put on, each with its number."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np

from halfbat.drawings.contents import DrawnKit
from halfbat.drawings.drawing import Array, Drawing, Item, Label, Shape, line, text_width
from halfbat.drawings.face import Face
from halfbat.drawings.faces import above, without_tab
from halfbat.drawings.pictures import Shown, fitting, picture
from halfbat.drawings.standing import shift_apart
from halfbat.drawings.view import View, of_building
from halfbat.parts.part import Part

NUMBER_MM = 3.0
_LINE = 1.25
Faces = Mapping[str, tuple[Face, ...]]


def as_built(kit: DrawnKit, part: Part, faces: Faces) -> tuple[Face, ...]:
    """Return the faces of a part in place; tabs below the foot of a wall, which are cut off, are left out."""
    own = faces[part.number]
    wall = next((plan for plan in kit.plan.walls if plan.wall.letter == part.wall), None)
    if wall is not None:
        own = without_tab(own, part, wall)
    return above(own, kit.plan.base_mm) if part.wall is not None else own


def assembled(kit: DrawnKit, faces: Faces, room_mm: tuple[float, float], bare: frozenset[str] = frozenset()) -> Drawing:
    """Draw the finished model.

    Parameters
    ----------
    kit : DrawnKit
        The kit.
    faces : mapping
        Of `kit_faces`.
    room_mm : (float, float)
        Largest size on paper.
    bare : frozenset of str
        Numbers of parts to leave out.
    """
    shown = [Shown(as_built(kit, part, faces), part.process) for part in kit.parts if part.number not in bare]
    view = of_building(kit.plan)
    items = picture(shown, view, fitting(shown, view, room_mm)) if shown else ()
    text = f"The finished model seen from its longest wall, the right and above, all {len(kit.parts)} parts in place."
    return Drawing("assembled", kit.name, text, items)


def exploded(kit: DrawnKit, faces: Faces, room_mm: tuple[float, float]) -> Drawing:
    """Draw all parts apart, with their numbers."""
    items = apart(kit, faces, kit.parts, (), room_mm)
    text = "All parts drawn apart along the way they are put on: " + ", ".join(
        f"{part.number} {part.name}" for part in kit.parts
    )
    return Drawing("exploded", "Exploded view", text + ".", items)


def apart(
    kit: DrawnKit,
    faces: Faces,
    parts: Iterable[Part],
    there: Iterable[Part],
    room_mm: tuple[float, float],
    number_mm: float = NUMBER_MM,
) -> tuple[Item, ...]:
    """Draw parts apart from what is there already.

    Parameters
    ----------
    kit, faces
        The kit and its faces.
    parts : iterable of Part
        Drawn in colour, moved off, with their numbers.
    there : iterable of Part
        Drawn in place, in grey lines.
    room_mm : (float, float)
        Largest size on paper.
    number_mm : float
        Height of the numbers.
    """
    view = of_building(kit.plan)
    parts = tuple(parts)
    kept = {part.number: as_built(kit, part, faces) for part in parts}
    moved = {part.number: _moved(kit, part, kept[part.number], view) for part in parts}
    shown = [Shown(as_built(kit, part, faces), part.process, ghost=True) for part in there]
    shown += [Shown(moved[part.number], part.process) for part in parts]
    room = (room_mm[0] - 4 * number_mm, room_mm[1] - 3 * number_mm)
    size = fitting(shown, view, room)
    anchors = [(part, *_anchor(part, moved[part.number], view, size)) for part in parts]
    inserts = [part.number for part in parts if part.kind == "insert"]
    ways = [_way_in(kept[number], moved[number], view, size) for number in inserts]
    return (*picture(shown, view, size), *ways, *_labels(anchors, number_mm))


def _way_in(own: tuple[Face, ...], moved: tuple[Face, ...], view: View, size: float) -> Item:
    """Draw a line from the foot of what is drawn over its place down to that place."""
    here, there = (np.concatenate([ring for face in faces for ring in face.rings]) for faces in (own, moved))
    shift = there[0] - here[0]
    start = (here.min(axis=0) + here.max(axis=0)) / 2 + shift
    end = start - np.array([0.0, 0.0, shift[2]])
    start[2] = float(there[:, 2].min())
    flat = view.flat(np.stack([start, end])) * size
    return Shape((flat,), "leader", closed=False)


def _moved(kit: DrawnKit, part: Part, own: tuple[Face, ...], view: View) -> tuple[Face, ...]:
    middle = np.concatenate([ring for face in own for ring in face.rings]).mean(axis=0)
    shift = shift_apart(kit.plan, part, middle, view.toward[:2])
    return tuple(face.moved(shift) for face in own)


def _anchor(part: Part, faces: tuple[Face, ...], view: View, size: float) -> tuple[Array, bool]:
    """Return where on paper the number of a part belongs, and whether it may stand on the part itself.

    A part is best named on its largest face that is seen; one seen from behind, or too thin to hold a number, beside.
    """
    seen = [face for face in faces if face.normal @ view.toward > 1e-3]
    points = np.concatenate([ring for face in (seen or faces) for ring in face.rings])
    flat = view.flat(points) * size
    if part.kind != "skin":
        top = flat[np.argmax(flat[:, 1])] if part.kind == "cover" else (flat.min(axis=0) + flat.max(axis=0)) / 2
        return top, part.kind != "cover"
    front = faces[0]
    ring = view.flat(front.rings[0]) * size
    if front.normal @ view.toward > 1e-3:
        return (ring.min(axis=0) + ring.max(axis=0)) / 2, True
    return ring[ring[:, 1] > ring[:, 1].mean()].mean(axis=0), False


def _labels(anchors: list[tuple[Part, Array, bool]], number_mm: float) -> list[Item]:
    """Set numbers at their places, moved up until none stands on another, with a line back to the part."""
    items: list[Item] = []
    taken: list[tuple[float, float, float, float]] = []
    for part, at, on_part in anchors:
        text = part.number if part.quantity == 1 else f"{part.number} x{part.quantity}"
        half = text_width(text, number_mm) / 2 + 0.4
        x, y = float(at[0]), float(at[1]) + (0.0 if on_part else 1.9 * number_mm)
        while any(abs(x - tx) < half + th and abs(y - ty) < number_mm * _LINE for tx, ty, th, _ in taken):
            y += number_mm * 0.4
        taken.append((x, y, half, number_mm))
        if y - float(at[1]) > number_mm:
            items.append(Shape((line(at.tolist(), (x, y - number_mm * 0.6)),), "leader", closed=False))
        items.append(Label((x, y), text, number_mm, style="number", part=part.number, quantity=part.quantity))
    return items
