"""The elevation of a wall: bricks, panels with their numbers, seams, covers and sizes."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from types import MappingProxyType

import numpy as np

from halfbat.drawings.borders import outlines
from halfbat.drawings.contents import DrawnKit
from halfbat.drawings.drawing import Array, Brickwork, Dimension, Drawing, Item, Label, Shape, line, signed_area
from halfbat.drawings.elevation_legend import legend, legend_room_mm
from halfbat.drawings.elevation_numbers import cover_numbers, panel_numbers, roof_numbers
from halfbat.drawings.elevation_roof import Seen, box_of, flat_on, matrix_on, roof_over, seen_faces
from halfbat.drawings.faces import above, solid_faces, without_tab
from halfbat.drawings.painting import Flat, painting_order
from halfbat.drawings.panels import SkinPanel, skin_panels
from halfbat.drawings.paper import ROOM_MM, on_paper, paper_size, scale_bar, size_text
from halfbat.drawings.pictures import LEAST_COURSE_MM
from halfbat.drawings.wall_lines import wall_lines
from halfbat.drawings.wall_surfaces import WallSurfaces, wall_surfaces
from halfbat.parts.cover_parts import made_as
from halfbat.parts.cuts import COVERING
from halfbat.parts.part import Part
from halfbat.parts.seams import SeamStyle
from halfbat.parts.walls import WallPlan
from halfbat.solids.figure import Figure, Layer
from halfbat.solids.grid import CORNER_STEP, PER_MM
from halfbat.solids.sheet import lay
from halfbat.surfaces.remnants import extents

_SIDE_MM = 16.0
_BELOW_MM = 38.0
_LIP_MM = 0.01
_NARROW_MM = 0.5
_SEAM_TEXTS = MappingProxyType({SeamStyle.PIER: "seam beside the pier", SeamStyle.TOOTHED: "toothed seam"})


def elevation_size(kit: DrawnKit) -> Fraction:
    """Return the one size at which all elevations of a kit are drawn, mm on paper for one on the model."""
    boxes = [_extent(kit, wall) for wall in kit.plan.walls]
    below = max(legend_room_mm(wall) for wall in kit.plan.walls) + _BELOW_MM
    room = (ROOM_MM[0] - _SIDE_MM - 2.0, ROOM_MM[1] - below)
    return paper_size(np.max([high - np.minimum(low, 0.0) for low, high in boxes], axis=0), room)


def _extent(kit: DrawnKit, wall: WallPlan) -> Array:
    """Return the lowest and highest place of what is drawn of a wall and the roof over it, shape (2, 2)."""
    points = np.concatenate([wall_outline(wall), box_of(wall, roof_over(kit, wall))])
    return np.array([points.min(axis=0), points.max(axis=0)])


def wall_outline(wall: WallPlan) -> Array:
    """Return the outline of a wall from corner to corner, in its own frame, shape (K, 2), mm on the model."""
    facing = wall.facing
    length, outline = facing.laying.length_mm, facing.face.outline_mm.copy()
    # Where the skin of another wall keeps the arris, its lip is what is seen at the end.
    outline[outline[:, 0] < max(facing.left.face_mm, 0.0) + _LIP_MM, 0] = 0.0
    outline[outline[:, 0] > length - max(facing.right.face_mm, 0.0) - _LIP_MM, 0] = length
    return outline


def elevation(kit: DrawnKit, wall: WallPlan, size: Fraction) -> Drawing:
    """Draw one wall as seen from outside.

    Parameters
    ----------
    kit : DrawnKit
        The kit.
    wall : WallPlan
        One of its walls.
    size : Fraction
        Millimetres on paper for one on the model.
    """
    laying, letter = wall.facing.laying, wall.wall.letter
    whole, height = wall_outline(wall), wall_outline(wall)[:, 1].max()
    panels = list(skin_panels(kit, wall).values())
    covers = [part for part in kit.parts if part.wall == letter and part.kind != "skin"]
    holes = [hole for panel in panels for hole in panel.holes_mm]
    shown = wall_surfaces(wall, whole, holes, kit.settings, kit.scale)
    roof = list(seen_faces(wall, roof_over(kit, wall)))
    face, lines = _face(kit, wall, panels, shown, size)
    items = _in_order(wall, [one for one in covers if one.kind == "insert"], face, covers, roof, size)
    items += _seams(kit, wall, size)
    numbers = [*panel_numbers(panels, wall, size), *cover_numbers(covers, wall, size)]
    items += [*numbers, *roof_numbers(roof, whole, numbers, size), *_sizes(kit, wall, size)]
    lowest = -22.5 if wall.seams.cuts else -14.5
    items += scale_bar((0.0, lowest - 5.0), size, kit.scale, 60.0)
    items += legend(wall, shown, lines, size, lowest - 9.0, kit.scale.mm_per_m)
    names = [part.number for part in [*(panel.part for panel in panels), *covers]]
    over = list(dict.fromkeys(one.part.number for one in roof))
    text = (
        f"Wall {letter} from outside, {laying.length_mm:.2f} by {height:.2f} mm on the model, "
        f"{wall.wall.length_m:.3f} by {wall.wall.height_m:.3f} m full size, "
        f"{laying.courses} courses. Parts: {', '.join(names)}."
    )
    text += f" Of the roof over it: {', '.join(over)}." if over else ""
    data = {"paper-per-model": str(size), "wall": letter}
    return Drawing(f"elevation-{letter}", f"Wall {letter}", text, tuple(items), size_text(size), data=data)


def _face(
    kit: DrawnKit, wall: WallPlan, panels: list[SkinPanel], shown: WallSurfaces, size: Fraction
) -> tuple[list[Item], list[Item]]:
    """Draw the face of the wall: what is white, its bricks and what is dressed onto it, panels and outline."""
    # The skin lies over what is seen through its openings, and hides the tabs that are cut off.
    # A skin runs on behind the next one at an inner corner, unseen.
    reach = np.array([[0.0, -np.inf], [wall.facing.laying.length_mm, np.inf]])
    faces = [
        tuple(on_paper(np.clip(ring, *reach), size) for ring in (panel.outline_mm, *panel.holes_mm)) for panel in panels
    ]
    rims = tuple(on_paper(_true(ring, wall_outline(wall)), size) for ring in outlines(shown.sheet))
    lines = wall_lines(wall, shown, size)
    items: list[Item] = [Shape(rims, "skin"), *lines]
    items += [Shape(rings, "panel") for rings in faces]
    return [*items, Shape(rims, "outline")], lines


def _true(ring: Array, whole: Array) -> Array:
    """Put what figures have rounded back onto the wall's own outline."""
    found = ring.copy()
    for axis in range(2):
        near = np.abs(ring[:, axis, None] - whole[:, axis])
        nearest = near.argmin(axis=1)
        close = near.min(axis=1) < CORNER_STEP / PER_MM
        found[close, axis] = whole[nearest[close], axis]
    return found


def _in_order(
    wall: WallPlan, behind: list[Part], face: list[Item], covers: list[Part], roof: list[Seen], size: Fraction
) -> list[Item]:
    """Draw the nearer over the farther: the wall, what stands before it, and the roof behind and over it."""
    flats = [Flat((wall_outline(wall),), np.zeros(3))]
    drawn: list[list[Item]] = [[*(item for part in behind for item in _against_wall(part, wall, size)), *face]]
    owners, styles = [""], {}
    for one in roof:
        flats.append(one.flat)
        drawn.append(_of_roof(wall, one, size))
        owners.append(one.part.number)
        styles[one.part.number] = "beyond"
    for part in (part for part in covers if part.kind != "insert"):
        for flat in _cover_flats(part, wall):
            flats.append(flat)
            drawn.append([_shape(flat, "cover", size)])
            owners.append(part.number)
            styles[part.number] = "cover"
    order = painting_order(flats)
    last = {owners[index]: index for index in order}
    for number, style in styles.items():
        own = [flat for flat, owner in zip(flats, owners, strict=True) if owner == number]
        if any(_is_narrow(flat, size) for flat in own):
            # Faces without lines of their own get one round them all.
            drawn[last[number]] += [
                Shape((on_paper(ring, size),), style, closed=False, fill="none") for ring in _round(own)
            ]
    return [item for index in order for item in drawn[index]]


def _round(flats: list[Flat]) -> list[Array]:
    """Return the outline of faces taken together, as closed lines."""
    rings = [ring for flat in flats for ring in flat.rings]
    return [np.vstack([ring, ring[:1]]) for ring in outlines(lay(Figure((Layer.patches(rings, 0),))))]


def _of_roof(wall: WallPlan, one: Seen, size: Fraction) -> list[Item]:
    barred = one.part.kind == "roof light"
    items: list[Item] = [_outlined(one.flat, "beyond", size) if barred else _shape(one.flat, "beyond", size)]
    bricks = one.bricks
    if bricks is not None and bricks.bond.gauge_mm * float(size) >= LEAST_COURSE_MM:
        matrix = matrix_on(wall, bricks, float(size))
        items.append(Brickwork(bricks.bond, matrix, bricks.clips, bricks.clip_key))
    return items


def _shape(flat: Flat, style: str, size: Fraction) -> Shape:
    """Draw a face; a narrow one, as round things have, without a line, so that many of them do not run together."""
    rings = tuple(on_paper(ring, size) for ring in flat.rings)
    return Shape(rings, f"{style}-fine" if _is_narrow(flat, size) else style)


def _outlined(flat: Flat, style: str, size: Fraction) -> Shape:
    return Shape(tuple(on_paper(ring, size) for ring in flat.rings), style)


def _is_narrow(flat: Flat, size: Fraction) -> bool:
    longest = float(np.hypot(*np.ptp(flat.rings[0], axis=0)))
    return abs(signed_area(flat.rings[0])) * float(size) < _NARROW_MM * longest


def _against_wall(part: Part, wall: WallPlan, size: Fraction) -> list[Item]:
    """Draw what stands at a wall as it is seen square to it."""
    flats = _cover_flats(part, wall)
    return [_shape(flats[index], "cover", size) for index in painting_order(flats)]


def _cover_flats(part: Part, wall: WallPlan) -> list[Flat]:
    """Return the faces of what stands at a wall; what hangs below its foot is cut off later."""
    faces = tuple(face.turned(part.place) for face in solid_faces(part.solid))
    faces = without_tab(above(faces, float(wall.facing.foot_mm[2])), part, wall)
    return [flat for flat in (flat_on(wall, face) for face in faces) if flat is not None]


def _seams(kit: DrawnKit, wall: WallPlan, size: Fraction) -> list[Item]:
    """Mark each seam over the wall, and draw bought wires, over seams and elsewhere."""
    items: list[Item] = []
    whole = wall_outline(wall)
    length, height = wall.facing.laying.length_mm, float(whole[:, 1].max())
    top = float(_extent(kit, wall)[1, 1]) * float(size)
    for cut in wall.seams.cuts:
        under = cut.style in COVERING
        wired = made_as(cut.style, kit.settings) == "wire"
        if under and wired:
            items.append(Shape((on_paper(cut.line, size),), "wire", closed=False))
        elif not under:
            items.append(Shape((on_paper(cut.line, size),), "seam", closed=False))
        x = float(cut.line[-1, 0]) * float(size)
        if top > height * float(size):
            items.append(Shape((line((x, height * float(size)), (x, top + 0.6)),), "leader", closed=False))
        items.append(Shape((line((x, top + 0.6), (x - 1.0, top + 2.4), (x + 1.0, top + 2.4)),), "bar"))
        text = _SEAM_TEXTS.get(cut.style, f"seam, {cut.style}")
        if under:
            text = f"seam under the {'wire' if wired else cut.style}"
        items.append(Label((x, top + 4.4), text, 2.2))
    for place in wall.covers:
        if not place.over_seam and made_as(place.style, kit.settings) == "wire":
            middle = np.array(place.corners(_height_at(whole, place.position_mm)))
            items.append(Shape((on_paper(middle, size),), "wire", closed=False))
    for level in wall.seams.rows_mm:
        items.append(Shape((on_paper(line((0.0, level), (length, level)), size),), "seam", closed=False))
    return items


def _height_at(outline: Array, u: float) -> float:
    return float(extents(outline, np.array([u]), axis=0)[1][0])


def _sizes(kit: DrawnKit, wall: WallPlan, size: Fraction) -> list[Item]:
    """Dimension the wall as a whole, and where the seams are; dimensions lie to the left and below."""
    laying, per_m = wall.facing.laying, kit.scale.mm_per_m
    whole = wall_outline(wall)
    length, height, paper = laying.length_mm, float(whole[:, 1].max()), float(size)
    items: list[Item] = []
    below = 9.0
    stops = [0.0, *(cut.position_mm for cut in wall.seams.cuts), length]
    if len(stops) > 2:
        items += _chain([(stop * paper, 0.0) for stop in stops], -below, paper, per_m)
        below += 8.0
    items += _chain([(0.0, 0.0), (length * paper, 0.0)], -below, paper, per_m)
    # The eaves beside a gable count like a seam.
    shoulders = whole[(whole[:, 1] > height * 0.1) & (whole[:, 1] < height - 0.5), 1]
    eaves = [float(shoulders.min())] if len(shoulders) and not len(wall.seams.rows_mm) else []
    levels = [0.0, *wall.seams.rows_mm, *eaves, height]
    left = 7.0
    if len(levels) > 2:
        items += _chain([(0.0, level * paper) for level in levels], left, paper, per_m)
        left += 8.0
    items += _chain([(0.0, 0.0), (0.0, height * paper)], left, paper, per_m)
    return items


def _chain(points: list[tuple[float, float]], away: float, paper: float, per_m: float) -> list[Item]:
    items: list[Item] = []
    for start, end in pairwise(points):
        model = float(np.hypot(end[0] - start[0], end[1] - start[1])) / paper
        items.append(Dimension(start, end, away, model, model / per_m))
    return items
