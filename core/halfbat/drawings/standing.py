"""Where parts stand when they are looked at: drawn apart along the way they are put on, or laid out on their plates."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, sqrt

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.kit_plan import Plan
from halfbat.parts.part import Part
from halfbat.printing.plates import HasParts, plates_for

Array = NDArray[np.float64]
PLATE_GAP_MM = 15.0
_INSERT_OUT, _INSERT_OVER, _RIDGE_OVER, _BOARD_OUT, _SECTIONS_OUT = 0.5, 0.1, 2.2, 0.8, 0.16


def shift_apart(plan: Plan, part: Part, middle: Array, toward: Array | None = None) -> Array:
    """Return how far a part is moved from its place when the kit is drawn apart, shape (3,), mm.

    Parameters
    ----------
    plan : Plan
        The kit, settled.
    part : Part
        One of its parts.
    middle : ndarray, shape (3,)
        Middle of it in the building.
    toward : ndarray, shape (2,), optional
        In plan, to where it is looked at from: walls behind the shell go farther, so that it does not hide them.
    """
    corners = plan.corners_mm
    away = 0.2 * float(np.hypot(*np.ptp(corners, axis=0)))
    shift = np.zeros(3)
    wall = next((own for own in plan.walls if own.wall.letter == part.wall), None)
    if wall is not None:
        facing = wall.facing
        along = float((middle[:2] - facing.foot_mm[:2]) @ facing.along) - facing.laying.length_mm / 2
        rise = middle[2] - facing.foot_mm[2] - facing.laying.height_mm / 2
        far = 1.0 if toward is None or facing.outward @ toward > 0 else 1.7
        out = away * far * (1.0 if part.kind == "skin" else 1.4)
        shift[:2] = facing.outward * out + facing.along * along * (0.16 if part.kind == "skin" else 0.0)
        shift[2] = rise * 0.16 if part.kind == "skin" else 0.0
        if part.kind == "insert":
            # It goes in between shell and skin, and stands over its place, where neither hides it.
            low = float((part.solid.vertices @ part.place[2, :3]).min()) + float(part.place[2, 3])
            shift[:2] = facing.outward * (_INSERT_OUT * away * far)
            shift[2] = facing.foot_mm[2] + facing.laying.height_mm - low + _INSERT_OVER * away
    elif part.kind not in ("shell", "base"):
        shift[2] = 2.3 * away + 0.7 * plan.height_mm
        if part.kind == "roof skin":
            # Off the former that carries it, square to its slope.
            shift += part.place[:3, 2] * away
        elif part.kind in ("fascia", "barge board", "gutter"):
            # Away from the roof, the way its face looks, so that the skins over it do not hide it.
            shift += part.place[:3, 2] * (_BOARD_OUT * away)
        elif part.kind == "ridge":
            shift[2] += _RIDGE_OVER * away
    if part.sections:
        # Sections of one body go apart a little, from the middle of the building.
        shift[:2] += (middle[:2] - (corners.min(axis=0) + corners.max(axis=0)) / 2) * _SECTIONS_OUT
    return shift


def middle_of(part: Part) -> Array:
    """Return the middle of a part's box where it stands in the building, shape (3,), mm."""
    centre = part.solid.bounds_mm.mean(axis=0)
    placed: Array = part.place[:3, :3] @ centre + part.place[:3, 3]
    return placed


@dataclass(frozen=True, slots=True)
class LaidPlate:
    """A plate on the ground before the building, in the building's frame at model size, mm.

    Parameters
    ----------
    name : str
        Such as ``"resin-1"``.
    low_mm : tuple of float
        Its lower left corner, seen from above.
    size_mm : tuple of float
        Along x and y.
    """

    name: str
    low_mm: tuple[float, float, float]
    size_mm: tuple[float, float]


def plates_on_ground(kit: HasParts, plan: Plan) -> tuple[LaidPlate, ...]:
    """Return where the plates of a kit are set out: in rows before the building, about as wide as they are deep.

    Parameters
    ----------
    kit : HasParts
        Parts and settings.
    plan : Plan
        The kit, settled; the plates stand before its plan, level with its foot.
    """
    plates = plates_for(kit).plates
    low = plan.corners_mm.min(axis=0)
    columns = max(1, ceil(sqrt(len(plates))))
    found: list[LaidPlate] = []
    top = float(low[1]) - PLATE_GAP_MM
    for first in range(0, len(plates), columns):
        at = float(low[0])
        row = plates[first : first + columns]
        for plate in row:
            size = plate.process.usable_x_mm, plate.process.usable_y_mm
            found.append(LaidPlate(plate.name, (at, top - size[1], plan.base_mm), size))
            at += size[0] + PLATE_GAP_MM
        top -= max(plate.process.usable_y_mm for plate in row) + PLATE_GAP_MM
    return tuple(found)


def places_on_plates(kit: HasParts, plan: Plan) -> dict[str, Array]:
    """Return where parts lie on their plates, set out before the building.

    Parameters
    ----------
    kit, plan
        As for `plates_on_ground`.

    Returns
    -------
    dict of str to ndarray, shape (4, 4)
        By number, rigid matrices from the print frame to the building's frame at model size, mm. Of several pieces the
        first; parts without a plate lie after the last.
    """
    found: dict[str, Array] = {}
    laid = plates_on_ground(kit, plan)
    for plate, there in zip(plates_for(kit).plates, laid, strict=True):
        for placement in plate.placements:
            matrix = placement.matrix
            matrix[:3, 3] += there.low_mm
            found.setdefault(placement.part.number, matrix)
    low = plan.corners_mm.min(axis=0)
    at = max([float(low[0]), *(there.low_mm[0] + there.size_mm[0] + PLATE_GAP_MM for there in laid)])
    for part in kit.parts:
        if part.number not in found:
            x, y, _ = part.solid.size_mm
            matrix = np.eye(4)
            matrix[:3, 3] = at + x / 2, low[1] - PLATE_GAP_MM - y / 2, plan.base_mm
            found[part.number] = matrix
            at += float(x) + PLATE_GAP_MM
    return found
