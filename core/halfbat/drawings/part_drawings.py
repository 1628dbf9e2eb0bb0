"""The picture of one part for the parts list."""

from __future__ import annotations

from halfbat.drawings.contents import DrawnKit
from halfbat.drawings.drawing import Drawing
from halfbat.drawings.exploded import Faces
from halfbat.drawings.faces import solid_faces
from halfbat.drawings.pictures import Shown, fitting, picture
from halfbat.drawings.view import facing, view_from
from halfbat.parts.part import Part

AS_PRINTED = view_from((0.5, -0.8, 0.75))


def part_drawing(kit: DrawnKit, part: Part, faces: Faces, room_mm: tuple[float, float]) -> Drawing:
    """Draw one part: a skin upright with its bricks to the front, others as they are printed.

    Parameters
    ----------
    kit, part
        The kit and one of its parts.
    faces : mapping
        Of `halfbat.drawings.faces.kit_faces`.
    room_mm : (float, float)
        Largest size on paper.
    """
    walls = {plan.wall.letter: plan.facing for plan in kit.plan.walls}
    if part.kind == "skin" and part.wall in walls:
        wall = walls[part.wall]
        view, shown = facing(wall.along, wall.outward), Shown(faces[part.number], part.process)
    elif part.kind == "roof skin":
        place = part.place
        eye = place[:3, 2] * 0.8 - place[:3, 1] * 0.45 + place[:3, 0] * 0.35
        view, shown = view_from(eye), Shown(faces[part.number], part.process)
    else:
        view, shown = AS_PRINTED, Shown(solid_faces(part.solid), part.process)
    items = picture([shown], view, fitting([shown], view, room_mm))
    return Drawing(f"part-{part.number}", f"Part {part.number}", part.name, items, margin_mm=0.3)
