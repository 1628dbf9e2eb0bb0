"""Where on an elevation the numbers of parts stand: each on its part, clear of openings, covers and other numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from string import ascii_letters
from types import MappingProxyType

import numpy as np

from halfbat.building.rings import inside_rings
from halfbat.drawings.drawing import Array, Item, Label, signed_area, text_width
from halfbat.drawings.elevation_roof import Seen
from halfbat.drawings.painting import Flat
from halfbat.drawings.panels import SkinPanel
from halfbat.parts.cells import PanelCell
from halfbat.parts.part import Part
from halfbat.parts.walls import WallPlan

_NUMBER_MM, _SMALL_MM = 3.4, 2.6
_ROOF_MM = MappingProxyType({"roof skin": 3.0, "chimney": 2.4, "roof light": 2.2})
_LEAST_ROOF_MM = 2.0
_LINE_MM = 3.2
"""Numbers of pieces of one cover stand over one another."""
_FIRST = ("roof light", "chimney", "roof skin")
_AS_A_WHOLE = ("roof light", "chimney", "pot", "ridge", "gutter")
"""Made of many small faces; a number stands on any of them."""
_LEAST_BROAD = MappingProxyType({"roof skin": 1.5, "roof light": 2.5})
_LEAST_BROAD_ELSE = 0.45
"""Parts that are seen narrower, for the height of their number, are seen on edge and named on another drawing."""
_NAMED_ELSEWHERE = ("ridge", "pot")
"""Seen on end on one wall, they are seen along on another, where their number has room."""
_HAIR_MM = 0.02
_LIP_MM = 0.01
_TRIED = 9
_NEARLY = 0.9


def panel_numbers(panels: Sequence[SkinPanel], wall: WallPlan, size: Fraction) -> list[Item]:
    """Return the numbers of the skins of a wall."""
    items: list[Item] = []
    for panel in panels:
        text = panel.part.number
        spot, room = _roomiest(panel.cell, wall, text_width(text, 1.0))
        tall = min(_NUMBER_MM, room * 1.2 * float(size))
        at = (float(spot[0]) * float(size), float(spot[1]) * float(size))
        items.append(Label(at, text, tall, style="number", part=text, quantity=panel.part.quantity))
    return items


def cover_numbers(covers: Sequence[Part], wall: WallPlan, size: Fraction) -> list[Item]:
    """Return the numbers of doors, windows and covers of a wall."""
    items: list[Item] = []
    facing = wall.facing
    for part in covers:
        index = int(part.number.lstrip(ascii_letters) or 0) - 1
        if part.kind == "insert" and 0 <= index < len(facing.openings):
            outline = facing.openings[index].outline
            u, v = ((outline.min(axis=0) + outline.max(axis=0)) / 2 * float(size)).tolist()
            items.append(_label(part, (u, v), _SMALL_MM))
            continue
        if any(place.line for place in wall.covers):
            at, y = (value * float(size) for value in _on_cover(part, wall))
            y += 2.0
        else:
            at = float((part.place[:2, 3] - facing.foot_mm[:2]) @ facing.along) * float(size)
            y = max(part.place[2, 3] - facing.foot_mm[2], 0.3 * facing.laying.height_mm) * float(size)
        label = _label(part, (at + 2.0, y), _SMALL_MM, "start")
        there = [_box(item) for item in items if isinstance(item, Label)]
        while any(((_box(label)[0] < box[1]) & (_box(label)[1] > box[0])).all() for box in there):
            label = replace(label, at=(label.at[0], label.at[1] + _LINE_MM))
        items.append(label)
    return items


def roof_numbers(seen: Sequence[Seen], wall_mm: Array, there: Sequence[Item], size: Fraction) -> list[Item]:
    """Return the numbers of what is seen of the roof, each where nothing nearer hides its part.

    Parameters
    ----------
    seen : sequence of Seen
        Faces of the roof.
    wall_mm : ndarray (K, 2)
        Outline of the wall, which stands at depth 0.
    there : sequence of Item
        Labels to keep clear of.
    size : Fraction
        Millimetres on paper for one on the model.
    """
    taken = [_box(item) for item in there if isinstance(item, Label)]
    flats = [Flat((wall_mm,), np.zeros(3)), *(one.flat for one in seen)]
    parts = {one.part.number: one.part for one in seen}
    items: list[Item] = []
    for part in sorted(parts.values(), key=lambda part: _FIRST.index(part.kind) if part.kind in _FIRST else 9):
        own = [one.flat for one in seen if one.part is part]
        tall = _ROOF_MM.get(part.kind, _LEAST_ROOF_MM)
        label = _free_label(part, own, flats, tall, taken, float(size))
        if label is not None:
            taken.append(_box(label))
            items.append(label)
    return items


def _free_label(
    part: Part, own: Sequence[Flat], flats: Sequence[Flat], tall: float, taken: Sequence[Array], size: float
) -> Label | None:
    """Put a number on a part where it is seen, near its middle and on no other; None where only its edge is."""
    largest = max(own, key=lambda flat: abs(signed_area(flat.rings[0])))
    points = np.concatenate(
        [ring for flat in own for ring in flat.rings] if part.kind in _AS_A_WHOLE else largest.rings
    )
    low, high = points.min(axis=0), points.max(axis=0)
    broad = abs(signed_area(largest.rings[0])) * size / float(np.hypot(*np.ptp(largest.rings[0], axis=0)))
    if part.kind in _AS_A_WHOLE:
        broad = float((high - low).min()) * size
    if part.kind == "pot" and float(high[0] - low[0]) * size < 1.5 * text_width(part.number, tall):
        return None
    if broad < _LEAST_BROAD.get(part.kind, _LEAST_BROAD_ELSE) * tall or float((high - low).max()) * size < text_width(
        part.number, tall
    ):
        return None
    steps = np.linspace(0.03, 0.97, 2 * _TRIED + 1)
    spots = low + (high - low) * np.stack(np.meshgrid(steps, steps), axis=-1).reshape(-1, 2)
    nearest = _depths(own, spots)
    if part.kind in _AS_A_WHOLE:
        nearest = np.where(np.isfinite(nearest), nearest, nearest.max())
    visible = np.isfinite(nearest) & (nearest > _depths([flat for flat in flats if flat not in own], spots) - _HAIR_MM)
    spots = spots[visible]
    if not len(spots):
        return None
    half = np.array([text_width(part.number, tall) / 2 + 0.4, tall * 0.7]) / size
    clashes = np.zeros(len(spots))
    for box in taken:
        clashes += ((spots + half > box[0] / size) & (spots - half < box[1] / size)).all(axis=1)
    order = np.lexsort((np.abs(spots - (low + high) / 2) @ (1.0, 2.0), clashes))
    if clashes[order[0]] and part.kind in _NAMED_ELSEWHERE:
        return None
    u, v = (spots[order[0]] * size).tolist()
    return _label(part, (u, v), tall)


def _depths(flats: Sequence[Flat], spots: Array) -> Array:
    """Return how near the nearest of some faces is at each place, shape (N,)."""
    nearest = np.full(len(spots), -np.inf)
    at = np.column_stack([spots, np.ones(len(spots))])
    for flat in flats:
        inside = inside_rings(list(flat.rings), spots)
        nearest[inside] = np.maximum(nearest[inside], at[inside] @ flat.depth)
    return nearest


def _box(label: Label) -> Array:
    wide = text_width(label.text, label.height_mm)
    left = {"start": 0.0, "middle": -wide / 2, "end": -wide}[label.anchor]
    x, y = label.at
    return np.array([[x + left, y - label.height_mm * 0.6], [x + left + wide, y + label.height_mm * 0.6]])


def _label(part: Part, at: tuple[float, float], tall: float, anchor: str = "middle") -> Label:
    return Label(at, part.number, tall, anchor, style="number", part=part.number, quantity=part.quantity)


def _roomiest(cell: PanelCell, wall: WallPlan, shape: float) -> tuple[Array, float]:
    """Return where in a panel a number has most room between openings and covers, and half the height it has there.

    The number is ``shape`` times as wide as high.
    """
    u0, v0, u1, v1 = cell.bounds
    holes = [opening.outline for opening in wall.facing.openings]
    outline = _clipped_below(cell.outline, float(wall.facing.face.outline_mm[:, 1].max()))
    walls = wall.facing.face.outline_mm
    lines = [np.vstack([ring, ring[:1]]) for ring in (outline, walls, *holes)]
    for place in wall.covers:
        straight = np.array([[place.position_mm, v0], [place.position_mm, v1]])
        lines.append(np.array(place.line.points) if place.line is not None else straight)
    ups, alongs = np.linspace(v0, v1, 2 * _TRIED + 3)[1:-1], np.linspace(u0, u1, 4 * _TRIED + 3)[1:-1]
    spots = np.stack(np.meshgrid(alongs, ups), axis=-1).reshape(-1, 2)
    free = inside_rings([outline], spots) & inside_rings([walls], spots)
    for hole in holes:
        free &= ~inside_rings([hole], spots)
    spots = spots[free] if free.any() else spots
    squeezed = np.array([1.0 / shape, 1.0])
    apart = np.min([_apart(spots * squeezed, line * squeezed) for line in lines], axis=0)
    room = float(apart.max())
    # The middle of all that have nearly as much room.
    good = spots[apart > _NEARLY * room]
    return good[np.argmin(np.hypot(*(good - good.mean(axis=0)).T))], room / np.sqrt(2.0)


def _clipped_below(outline: Array, level: float) -> Array:
    return np.asarray(np.column_stack([outline[:, 0], np.minimum(outline[:, 1], level)]))


def _apart(spots: Array, line: Array) -> Array:
    """Return how far places are from a line, shape (N,)."""
    a, step = line[:-1], np.diff(line, axis=0)
    size = (step**2).sum(axis=1).clip(1e-12)
    share = (((spots[:, None, :] - a) * step).sum(axis=2) / size).clip(0.0, 1.0)
    away = spots[:, None, :] - (a + share[:, :, None] * step)
    return np.asarray(np.hypot(away[:, :, 0], away[:, :, 1]).min(axis=1))


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
