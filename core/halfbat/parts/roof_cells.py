"""Where a roof skin is parted into panels that the printer takes."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise, product

import numpy as np
from numpy.typing import NDArray

from halfbat.errors import KitError
from halfbat.parts.clearing import boxes_within
from halfbat.parts.roof_light_sites import BETWEEN_MM
from halfbat.parts.roof_skins import RoofFace, laid
from halfbat.settings import Settings
from halfbat.shelf import PartShelf
from halfbat.surfaces.roofing.laid_roof import LaidRoof
from halfbat.units import Scale

Array = NDArray[np.float64]
_FREE_CUTS = 401
_LEAST_MOVE = 0.01
_MORE_CUTS = 2
"""So many panels more are made rather than that a cut meets a hole."""


def cells_of(face: RoofFace, settings: Settings, scale: Scale, shelf: PartShelf) -> list[Array]:
    """Cut a slope into boxes as `roof_cells` does, to the room of the resin printer and the panel limit."""
    limit = settings.seam.panel_limit_mm
    room = (min(settings.resin.part_room_mm[0], limit), min(settings.resin.part_room_mm[1], limit))
    seen = face.face.outline_mm
    pattern = shelf.call(laid, face.slope, face.courses, np.zeros(2), settings, scale, face.holes_mm, seen)
    return roof_cells(face, room, settings.seam.gap_mm, pattern)


def cuts_in_plan(face: RoofFace, boxes: Sequence[Array], scale: Scale) -> list[Array]:
    """Where a slope is cut up to those boxes, as the two ends (2, 2) of each cut in plan, model mm."""
    low, high = face.face.outline_mm.min(axis=0), face.face.outline_mm.max(axis=0)
    ends = []
    for axis in (0, 1):
        for at in sorted({float(box[0, axis]) for box in boxes if low[axis] < box[0, axis] < high[axis]}):
            pair = np.array([low, high])
            pair[:, axis] = at
            ends.append(pair)
    return [(face.slope.place(pair / scale.mm_per_m) * scale.mm_per_m)[:, :2] for pair in ends]


def roof_cells(face: RoofFace, room_mm: tuple[float, float], gap_mm: float, pattern: LaidRoof | None) -> list[Array]:
    """Cut a slope into upright boxes that a printer takes, as equal as the tiles and what stands on it allow.

    Parameters
    ----------
    face : RoofFace
        The slope.
    room_mm : tuple of float
        Largest panel.
    gap_mm : float
        Whole gap between two panels.
    pattern : LaidRoof or None
        Its tiles: cuts lie on course lines and side joints.

    Returns
    -------
    list of ndarray (2, 2)
        Lowest and highest corner of each, gaps taken off.

    Raises
    ------
    KitError
        The slope would have to be cut through a roof light.
    """
    low, high = face.face.outline_mm.min(axis=0), face.face.outline_mm.max(axis=0)
    lines = []
    for axis in (0, 1):
        offered = np.zeros(0)
        if pattern is not None:
            offered = pattern.joints_mm[0].ravel() if axis == 0 and len(pattern.joints_mm) else pattern.tails_mm
        lines.append(_cuts(face, axis, (float(low[axis]), float(high[axis])), room_mm[axis], offered))
    boxes = []
    for v0, v1 in pairwise(lines[1]):
        for u0, u1 in pairwise(lines[0]):
            box = np.array([[u0, v0], [u1, v1]])
            first, last = box[0] <= low + 1e-6, box[1] >= high - 1e-6
            box[0] = np.where(first, box[0] - 5.0, box[0] + gap_mm / 2)
            box[1] = np.where(last, box[1] + 5.0, box[1] - gap_mm / 2)
            boxes += boxes_within(face.face.outline_mm, box)
    return boxes


def _cuts(face: RoofFace, axis: int, ends: tuple[float, float], room: float, offered: Array) -> list[float]:
    """Ends of a stretch and cuts between them, moved to the nearest line of the tiles that keeps off every hole."""
    low, high = ends
    # The foot of a plumb end, and the tip of a mitre, may reach beyond the outline.
    tips = [float(tip[axis]) for _, tip in face.face.lips_mm]
    first, last = min([low, *tips]), max([high, *tips])
    least = max(1, int(np.ceil((last - first - 1e-6) / room)))
    lines = np.unique(offered[np.isfinite(offered)])
    lights = [light.hole for light in face.lights]
    anywhere = np.linspace(low, high, _FREE_CUTS)
    notches = [] if face.holes_mm else _notches(face.face.outline_mm, axis)
    # Off everything with as few panels as can be, on lines of the tiles if possible; else off roof lights at least.
    for holes in (face.holes_mm, lights) if face.holes_mm else ((),):
        offers = [lines, anywhere] if holes else [lines]
        free = [np.array([line for line in where.tolist() if _keeps_off(line, axis, holes)]) for where in offers]
        corners = _moving_corners(face, axis)
        kept = [[line for line in own.tolist() if _off_corners(line, corners)] for own in free]
        free = [np.array(lines) for pair in zip(kept, free, strict=True) for lines in pair]
        for count, own in product(range(least, least + 1 + (_MORE_CUTS if holes else 0)), free):
            equal = low + (high - low) * np.arange(1, count) / count
            cuts = own[np.abs(own[:, None] - equal[None]).argmin(axis=0)].tolist() if len(own) else []
            for places in ([_at_notch(cut, notches) for cut in cuts], cuts):
                if len(places) == count - 1 and all(0 < b - a <= room for a, b in pairwise([first, *places, last])):
                    return [low, *places, high]
    if lights:
        remedy = "move it, or make it smaller"
        raise KitError("the roof skin would have to be parted where it stands", face.lights[0].where, remedy)
    return [low, *(first + (last - first) * k / least for k in range(1, least)), high]


def _moving_corners(face: RoofFace, axis: int) -> list[tuple[float, float]]:
    """Where corners of leaning edges lie along an axis, and how far what is beside them makes room for them."""
    found = []
    for lean in face.face.leans:
        for place, move in ((lean.start, lean.start_move), (lean.end, lean.end_move)):
            if move is not None and abs(move[axis]) > _LEAST_MOVE:
                found.append((place[axis], 2 * abs(move[axis]) * face.depth_mm + BETWEEN_MM))
    return found


def _notches(outline: Array, axis: int) -> list[tuple[float, float, float]]:
    """Where the outline comes in to a point along the other axis, as between two valleys: from where, to where, and at.

    A cut beside the point leaves a sharp tip between itself and the edge that it meets; one at the point leaves none.
    """
    before, behind = np.roll(outline, 1, axis=0), np.roll(outline, -1, axis=0)
    to, back = behind - outline, before - outline
    inward = to[:, 0] * back[:, 1] - to[:, 1] * back[:, 0] < 0.0
    one_way = (to[:, 1 - axis] * back[:, 1 - axis] > 0.0) & (to[:, axis] * back[:, axis] < 0.0)
    found = []
    for k in np.flatnonzero(inward & one_way).tolist():
        low, high = sorted((float(before[k, axis]), float(behind[k, axis])))
        found.append((low, high, float(outline[k, axis])))
    return found


def _at_notch(cut: float, notches: Sequence[tuple[float, float, float]]) -> float:
    """Move a cut that passes through a notch to the point of that."""
    return next((at for low, high, at in notches if low < cut < high), cut)


def _off_corners(line: float, corners: Sequence[tuple[float, float]]) -> bool:
    return all(abs(line - at) > room for at, room in corners)


def _keeps_off(line: float, axis: int, holes: Sequence[Array]) -> bool:
    return all(not ring[:, axis].min() - BETWEEN_MM < line < ring[:, axis].max() + BETWEEN_MM for ring in holes)
