"""The elevation of a wall: bricks, panels with their numbers, seams, covers and sizes."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from string import ascii_letters
from types import MappingProxyType

import numpy as np

from halfbat.building.rings import inside_rings
from halfbat.drawings.brickwork import bond_lines
from halfbat.drawings.contents import DrawnKit
from halfbat.drawings.drawing import (
    Array,
    Brickwork,
    Dimension,
    Drawing,
    Item,
    Label,
    Shape,
    line,
    text_width,
)
from halfbat.drawings.faces import above, solid_faces, without_tab
from halfbat.drawings.painting import Flat, painting_order
from halfbat.drawings.panels import SkinPanel, skin_panels
from halfbat.drawings.paper import ROOM_MM, on_paper, paper_size, scale_bar, size_text
from halfbat.parts.bent_line import apart_mm
from halfbat.parts.cells import PanelCell
from halfbat.parts.cover_parts import made_as
from halfbat.parts.cuts import COVERING
from halfbat.parts.part import Part
from halfbat.parts.seams import SeamStyle
from halfbat.parts.walls import WallPlan
from halfbat.surfaces.remnants import extents

_SIDE_MM = 16.0
_BELOW_MM = 34.0
_NUMBER_MM = 3.4
_LIP_MM = 0.01
_TRIED = 9
_SEAM_TEXTS = MappingProxyType({SeamStyle.PIER: "seam beside the pier", SeamStyle.TOOTHED: "toothed seam"})


def elevation_size(kit: DrawnKit) -> Fraction:
    """Return the one size at which all elevations of a kit are drawn, mm on paper for one on the model."""
    extents = [wall_outline(wall).max(axis=0) for wall in kit.plan.walls]
    return paper_size(np.max(extents, axis=0), (ROOM_MM[0] - _SIDE_MM - 2.0, ROOM_MM[1] - _BELOW_MM))


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
    whole = wall_outline(wall)
    height = float(whole[:, 1].max())
    matrix = np.array([[float(size), 0.0, 0.0], [0.0, float(size), 0.0]])
    panels = list(skin_panels(kit, wall).values())
    holes = [hole for panel in panels for hole in panel.holes_mm]
    covers = [part for part in kit.parts if part.wall == letter and part.kind != "skin"]
    behind = [part for part in covers if part.kind == "insert"]
    items: list[Item] = []
    for part in behind:
        items += _against_wall(part, wall, size)
    # The skin lies over what is seen through its openings, and hides the tabs that are cut off.
    faces = [tuple(on_paper(ring, size) for ring in (panel.outline_mm, *panel.holes_mm)) for panel in panels]
    items += [Shape(face, "skin") for face in faces]
    items.append(Brickwork(bond_lines(wall), matrix, (whole, *holes), f"wall-{letter}"))
    items += [Shape(face, "panel") for face in faces]
    items += [Shape((on_paper(unit.ring, size),), "unit") for opening in wall.facing.openings for unit in opening.units]
    for part in covers:
        if part.kind != "insert":
            items += _against_wall(part, wall, size)
    items += _seams(kit, wall, size)
    items.append(Shape((on_paper(whole, size),), "outline"))
    items += _numbers(panels, covers, wall, size)
    items += _sizes(kit, wall, size)
    lowest = -22.5 if wall.seams.cuts else -14.5
    bar = scale_bar((0.0, lowest - 5.0), size, kit.scale, 60.0)
    names = [part.number for part in [*(panel.part for panel in panels), *covers]]
    text = (
        f"Wall {letter} from outside, {laying.length_mm:.2f} by {height:.2f} mm on the model, "
        f"{wall.wall.length_m:.3f} by {wall.wall.height_m:.3f} m full size, "
        f"{laying.courses} courses. Parts: {', '.join(names)}."
    )
    data = {"paper-per-model": str(size), "wall": letter}
    return Drawing(f"elevation-{letter}", f"Wall {letter}", text, (*items, *bar), size_text(size), data=data)


def _against_wall(part: Part, wall: WallPlan, size: Fraction) -> list[Item]:
    """Draw what stands before a wall as it is seen square to it; what hangs below its foot is cut off later."""
    facing = wall.facing
    frame = np.array([[*facing.along, 0.0], [0.0, 0.0, 1.0], [*facing.outward, 0.0]])
    faces = above(tuple(face.turned(part.place) for face in solid_faces(part.solid)), float(facing.foot_mm[2]))
    flats = []
    for face in without_tab(faces, part, wall):
        toward = float(frame[2] @ face.normal)
        if toward < 1e-3:
            continue
        rings = [(ring - facing.foot_mm) @ frame.T for ring in face.rings]
        slope = -(frame[:2] @ face.normal) / toward
        level = float(rings[0][0, 2] - slope @ rings[0][0, :2])
        flats.append(Flat(tuple(ring[:, :2] for ring in rings), np.array([*slope, level])))
    return [
        Shape(tuple(on_paper(ring, size) for ring in flats[index].rings), "cover") for index in painting_order(flats)
    ]


def _seams(kit: DrawnKit, wall: WallPlan, size: Fraction) -> list[Item]:
    """Mark each seam over the wall, and draw bought wires, over seams and elsewhere."""
    items: list[Item] = []
    whole = wall_outline(wall)
    length, height = wall.facing.laying.length_mm, float(whole[:, 1].max())
    top = height * float(size)
    for cut in wall.seams.cuts:
        under = cut.style in COVERING
        wired = made_as(cut.style, kit.settings) == "wire"
        if under and wired:
            items.append(Shape((on_paper(cut.line, size),), "wire", closed=False))
        elif not under:
            items.append(Shape((on_paper(cut.line, size),), "seam", closed=False))
        x = float(cut.line[-1, 0]) * float(size)
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


def _numbers(panels: list[SkinPanel], covers: list[Part], wall: WallPlan, size: Fraction) -> list[Item]:
    items: list[Item] = []
    for panel in panels:
        u0, v0, u1, v1 = (value * float(size) for value in _roomiest(panel.cell, wall))
        tall = min(_NUMBER_MM, (v1 - v0) * 0.6, (u1 - u0) * 0.8 / text_width(panel.part.number, 1.0))
        middle = ((u0 + u1) / 2, (v0 + v1) / 2)
        items.append(
            Label(middle, panel.part.number, tall, style="number", part=panel.part.number, quantity=panel.part.quantity)
        )
    facing = wall.facing
    for part in covers:
        index = int(part.number.lstrip(ascii_letters) or 0) - 1
        if part.kind == "insert" and 0 <= index < len(facing.openings):
            outline = facing.openings[index].outline
            u, v = ((outline.min(axis=0) + outline.max(axis=0)) / 2 * float(size)).tolist()
            label = Label((u, v), part.number, 2.6, style="number", part=part.number, quantity=part.quantity)
            items.append(label)
            continue
        if any(place.line for place in wall.covers):
            at, y = (value * float(size) for value in _on_cover(part, wall))
            y += 2.0
        else:
            at = float((part.place[:2, 3] - facing.foot_mm[:2]) @ facing.along) * float(size)
            y = max(part.place[2, 3] - facing.foot_mm[2], 0.3 * facing.laying.height_mm) * float(size)
        items.append(
            Label((at + 2.0, y), part.number, 2.6, "start", style="number", part=part.number, quantity=part.quantity)
        )
    return items


def _roomiest(cell: PanelCell, wall: WallPlan) -> tuple[float, float, float, float]:
    """Return a box of a panel with room for its number, between the covers that stand on it."""
    u0, v0, u1, v1 = cell.bounds
    lines = [place.line.points for place in wall.covers if place.line is not None]
    if lines:
        holes = [opening.outline for opening in wall.facing.openings]
        lines += [tuple(map(tuple, np.vstack([hole, hole[:1]]).tolist())) for hole in holes]
        ring = [*map(tuple, cell.outline.tolist()), tuple(cell.outline[0].tolist())]
        ups, alongs = np.linspace(v0, v1, _TRIED + 2)[1:-1], np.linspace(u0, u1, 2 * _TRIED + 3)[1:-1]
        grid = np.stack(np.meshgrid(alongs, ups), axis=-1).reshape(-1, 2)
        spots = [(float(u), float(v)) for u, v in grid[inside_rings([cell.outline, *holes], grid)]]
        free = [min(apart_mm([spot, spot], line) for line in (ring, *lines)) for spot in spots]
        room = max(free)
        # The middle of all that have nearly as much room.
        good = np.array([spot for spot, own in zip(spots, free, strict=True) if own > 0.9 * room])
        middle = good[np.argmin(np.hypot(*(good - good.mean(axis=0)).T))]
        return (*(middle - room).tolist(), *(middle + room).tolist())
    stops = [u0, *(place.position_mm for place in wall.covers if u0 < place.position_mm < u1), u1]
    u0, u1 = max(pairwise(stops), key=lambda pair: pair[1] - pair[0])
    return u0, v0, u1, v1


def _on_cover(part: Part, wall: WallPlan) -> tuple[float, float]:
    """Return the place of a cover on its wall that is nearest to its middle, its tab aside."""
    facing = wall.facing
    there = part.solid.vertices @ part.place[:3, :3].T + part.place[:3, 3] - facing.foot_mm
    spots = np.column_stack([there[:, :2] @ facing.along, there[:, 2]])
    if part.tab_mm is not None:
        u0, v0, u1, v1 = part.tab_mm
        tab = (spots > [u0 - _LIP_MM, v0 - _LIP_MM]) & (spots < [u1 + _LIP_MM, v1 + _LIP_MM])
        spots = spots[~tab.all(axis=1)]
    u, v = spots[np.argmin(np.hypot(*(spots - (spots.min(axis=0) + spots.max(axis=0)) / 2).T))]
    return float(u), float(v)


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
