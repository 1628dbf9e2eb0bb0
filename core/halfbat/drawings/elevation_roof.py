"""What of the roof is seen over a wall, square to it: coverings by gauge, ridges, boards, chimneys, roof lights."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from string import digits

import numpy as np

from halfbat.building.structure import EdgeKind
from halfbat.building.wall import wall_letter
from halfbat.drawings.contents import DrawnKit
from halfbat.drawings.drawing import Array, signed_area
from halfbat.drawings.face import Bricks, Face
from halfbat.drawings.faces import solid_faces
from halfbat.drawings.painting import Flat
from halfbat.drawings.roofing import roof_faces
from halfbat.parts.part import Part
from halfbat.parts.walls import WallPlan

ON_SLOPES = ("roof skin", "fascia", "barge board", "roof light", "gutter")
_NEAR_MM = 3.0
_TOWARD = 0.05
_SEEN_MM2 = 0.02


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """One face of a part as it is seen square to a wall.

    Parameters
    ----------
    part : Part
        Whose it is.
    flat : Flat
        In the wall's frame, mm on the model.
    bricks : Bricks or None
        Lines on it.
    """

    part: Part
    flat: Flat
    bricks: Bricks | None = None


def roof_over(kit: DrawnKit, wall: WallPlan) -> list[Part]:
    """Return the parts of the roof that stand over a wall: those of the slopes with an edge on it, and what is on them.

    Parameters
    ----------
    kit : DrawnKit
        The kit.
    wall : WallPlan
        One of its walls.
    """
    slopes = kit.plan.structure.slopes
    own = [
        slope.index
        for slope in slopes
        if any(edge.wall == wall.wall.index and edge.kind in (EdgeKind.EAVES, EdgeKind.VERGE) for edge in slope.edges)
    ]
    if not own:
        return []
    letters = {wall_letter(index) for index in own}
    over = {edge.neighbour for index in own for edge in slopes[index].edges if edge.kind is EdgeKind.RIDGE}
    found = [part for part in kit.parts if part.kind in ON_SLOPES and part.number[1:].rstrip(digits) in letters]
    found += [part for part in kit.parts if part.kind == "ridge" and _touches(kit, part, own)]
    chimneys = [i for i, one in enumerate(kit.plan.chimneys, 1) if {*own, *over} & set(one.site.slopes)]
    pots = np.cumsum([0, *(one.site.pots for one in kit.plan.chimneys)])
    numbers = {f"K{i}" for i in chimneys} | {f"P{p + 1}" for i in chimneys for p in range(pots[i - 1], pots[i])}
    return [*found, *(part for part in kit.parts if part.kind in ("chimney", "pot") and part.number in numbers)]


def _touches(kit: DrawnKit, part: Part, own: list[int]) -> bool:
    """Whether a run of ridge tiles lies on an edge of one of some slopes."""
    bounds = part.solid.bounds_mm
    middle = part.place[:3, :3] @ bounds.mean(axis=0) + part.place[:3, 3]
    for index in own:
        slope = kit.plan.structure.slopes[index]
        ring = slope.place(slope.outline_m) * kit.scale.mm_per_m
        for a, b in zip(ring, np.roll(ring, -1, axis=0), strict=True):
            along = (b - a) / (np.linalg.norm(b - a) or 1.0)
            at = float(np.clip((middle - a) @ along, 0.0, np.linalg.norm(b - a)))
            if np.linalg.norm(a + along * at - middle) < _NEAR_MM + float(bounds[1, 2] - bounds[0, 2]):
                return True
    return False


def in_wall(wall: WallPlan, points: Array) -> Array:
    """Return places of the building along, up and out of a wall, shape (N, 3), mm on the model."""
    facing = wall.facing
    frame = np.array([[*facing.along, 0.0], [0.0, 0.0, 1.0], [*facing.outward, 0.0]])
    return np.asarray((points - facing.foot_mm) @ frame.T)


def box_of(wall: WallPlan, parts: list[Part]) -> Array:
    """Return the lowest and highest place of parts along and up a wall, shape (2, 2); nothing where there are none."""
    if not parts:
        return np.zeros((0, 2))
    every = [in_wall(wall, part.solid.vertices @ part.place[:3, :3].T + part.place[:3, 3])[:, :2] for part in parts]
    points = np.concatenate(every)
    return np.array([points.min(axis=0), points.max(axis=0)])


def seen_faces(wall: WallPlan, parts: list[Part]) -> Iterator[Seen]:
    """Yield the faces of parts of the roof that look the wall's way."""
    for part in parts:
        covered = part.kind == "roof skin"
        faces = roof_faces(part) if covered else tuple(face.turned(part.place) for face in solid_faces(part.solid))
        for face in faces:
            flat = flat_on(wall, face)
            if flat is not None:
                yield Seen(part, flat, face.bricks)


def flat_on(wall: WallPlan, face: Face) -> Flat | None:
    """Return a face as it is seen square to a wall, or None where it looks away or is not seen."""
    out, along = wall.facing.outward, wall.facing.along
    normal = np.array([face.normal[:2] @ along, face.normal[2], face.normal[:2] @ out])
    if normal[2] < _TOWARD:
        return None
    rings = [in_wall(wall, ring) for ring in face.rings]
    if max(abs(signed_area(ring[:, :2])) for ring in rings) < _SEEN_MM2:
        return None
    slope = -normal[:2] / normal[2]
    level = float(rings[0][0, 2] - slope @ rings[0][0, :2])
    return Flat(tuple(ring[:, :2] for ring in rings), np.array([*slope, level]))


def matrix_on(wall: WallPlan, bricks: Bricks, paper: float) -> Array:
    """Return the matrix from the frame of lines on a face to paper, shape (2, 3)."""
    origin = in_wall(wall, bricks.origin[None, :])[0, :2]
    steps = [in_wall(wall, (bricks.origin + step)[None, :])[0, :2] - origin for step in (bricks.along, bricks.up)]
    return np.asarray(np.column_stack([*steps, origin]) * paper)
