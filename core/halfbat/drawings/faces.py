"""The flat faces of a part, for pictures.

A skin is drawn from its outline, thickness and corners, and its bricks as lines: its thousands of triangles would say
no more on paper. Other parts are drawn from their own solids, triangles in one plane joined to one face.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from halfbat.drawings.brickwork import bond_lines
from halfbat.drawings.contents import DrawnKit
from halfbat.drawings.drawing import Array, BondLines
from halfbat.drawings.face import Bricks, Face
from halfbat.drawings.panels import SkinPanel, skin_panels
from halfbat.drawings.roofing import roof_faces
from halfbat.parts.cells import Side
from halfbat.parts.corners import End
from halfbat.parts.part import Part
from halfbat.parts.walls import WallPlan
from halfbat.solids.solid import Solid

_SAME_PLANE, _OFF_PLANE_MM = 5e-3, 2e-2
"""Triangles lie in one plane where their normals agree so far and no corner of one is further off the other: corners
that two planes share have the height of one of them, and tilt long triangles of the other by as much."""
_NARROW_MM, _HAIR_MM = 0.05, 2e-3
"""The normal of a triangle so narrow says nothing: it counts to a plane that its corners lie in but for a hair."""
_TAB_HAIR_MM = 0.02
MOST_OF_ROOF = 1_500
"""Triangles up to which a roof skin is drawn from its own solid."""
MOST_TRIANGLES = 20_000
"""Solids with more show their larger faces only, so that one part cannot make a booklet heavy."""


def kit_faces(kit: DrawnKit) -> Mapping[str, tuple[Face, ...]]:
    """Return the faces of each part of a kit where it stands in the building, by number."""
    panels = skin_panels(kit)
    bonds = {wall.wall.letter: bond_lines(wall) for wall in kit.plan.walls}
    return {part.number: _part_faces(part, panels.get(part.number), bonds) for part in kit.parts}


def _part_faces(part: Part, panel: SkinPanel | None, bonds: Mapping[str, BondLines]) -> tuple[Face, ...]:
    if panel is not None:
        return skin_faces(panel, bonds[panel.wall.wall.letter])
    if part.kind == "roof skin" and len(part.solid.triangles) > MOST_OF_ROOF:
        return roof_faces(part)
    return tuple(face.turned(part.place) for face in solid_faces(part.solid))


def skin_faces(panel: SkinPanel, bond: BondLines) -> tuple[Face, ...]:
    """Return front, edges and back of a skin as smooth faces, its bricks as lines on the front."""
    facing, outline = panel.wall.facing, panel.outline_mm
    deep = facing.depth_mm
    # Only of a plain panel the outline is that of its cell; of others all edges are drawn upright.
    sides = panel.cell.sides if panel.plain else (Side.SEAM,) * len(outline)
    profiles: list[Array] = []
    for before, after in zip((sides[-1], *sides), sides, strict=False):
        if Side.LEFT in (before, after):
            profiles.append(_profile(facing.left, deep, 1.0))
        elif Side.RIGHT in (before, after):
            profiles.append(_profile(facing.right, deep, -1.0))
        else:
            profiles.append(np.array([[0.0, 0.0], [0.0, deep]]))
    along, up = np.array([*facing.along, 0.0]), np.array([0.0, 0.0, 1.0])
    outward = np.array([*facing.outward, 0.0])

    def placed(ring: list[tuple[float, float, float]]) -> Array:
        u, v, depth = np.array(ring).T
        return np.asarray(facing.foot_mm + np.outer(u, along) + np.outer(v, up) - np.outer(depth, outward))

    def down(corner: int) -> list[tuple[float, float, float]]:
        u, v = outline[corner].tolist()
        return [(u + shift, v, depth) for shift, depth in profiles[corner].tolist()]

    holes = panel.holes_mm
    bricks = Bricks(bond, facing.foot_mm, along, up, (outline, *holes), panel.part.number)
    front = placed([(u, v, 0.0) for u, v in outline.tolist()])
    back = placed([down(corner)[-1] for corner in range(len(outline))])[::-1]
    through = [placed([(u, v, 0.0) for u, v in hole.tolist()]) for hole in holes]
    beyond = [placed([(u, v, deep) for u, v in hole.tolist()])[::-1] for hole in holes]
    faces = [Face((front, *through), outward, bricks), Face((back, *beyond), -outward)]
    for hole in holes:
        for (u0, v0), (u1, v1) in zip(hole.tolist(), np.roll(hole, -1, axis=0).tolist(), strict=True):
            reveal = placed([(u0, v0, 0.0), (u0, v0, deep), (u1, v1, deep), (u1, v1, 0.0)])
            normal = _normal(reveal)
            if normal is not None:
                faces.append(Face((reveal,), normal))
    for corner, side in enumerate(sides):
        a, b = down(corner), down((corner + 1) % len(outline))
        if side in (Side.LEFT, Side.RIGHT):
            strips = [[a[i], a[i + 1], b[i + 1], b[i]] for i in range(len(a) - 1)]
        else:
            strips = [[*a, *b[::-1]]]
        for strip in strips:
            ring = placed(strip)
            normal = _normal(ring)
            if normal is not None:
                faces.append(Face((ring,), normal))
    return tuple(faces)


def _profile(end: End, deep: float, sign: float) -> Array:
    """Return how the end of a skin runs from its face to its back: shift along the wall and depth, shape (K, 2)."""
    points = [(0.0, 0.0)]
    points += [(sign * (offset - end.face_mm), depth) for offset, depth in end.profile_mm]
    if points[-1][1] < deep - 1e-9:
        points.append((sign * (end.reach_mm - end.face_mm), deep))
    return np.array(points)


def _normal(ring: Array) -> Array | None:
    """Return the unit normal of a ring, or None where it has no area."""
    total = np.cross(ring, np.roll(ring, -1, axis=0)).sum(axis=0)
    size = float(np.linalg.norm(total))
    return None if size < 1e-9 else np.asarray(total / size)


def solid_faces(solid: Solid) -> tuple[Face, ...]:
    """Return the flat faces of a solid in its own frame, neighbouring triangles of one plane joined."""
    if len(solid.triangles) == 0:
        return ()
    corners = solid.vertices[solid.triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    sizes = np.linalg.norm(normals, axis=1)
    normals = normals / np.where(sizes > 0, sizes, 1.0)[:, None]
    labels = _joined(solid.triangles, normals, corners)
    order = np.argsort(labels, kind="stable")
    starts = np.flatnonzero(np.diff(labels[order], prepend=-1))
    groups = np.split(order, starts[1:])
    if len(solid.triangles) > MOST_TRIANGLES:
        groups = sorted(groups, key=lambda group: -float(sizes[group].sum()))[: MOST_TRIANGLES // 100]
    faces = []
    for group in groups:
        rings = _rings(solid.triangles[group])
        faces.append(Face(tuple(solid.vertices[ring] for ring in rings), normals[group[int(np.argmax(sizes[group]))]]))
    return tuple(faces)


def _joined(triangles: NDArray[np.int64], normals: Array, corners: Array) -> NDArray[np.int64]:
    """Label triangles so that those joined by an edge within one plane share a label, shape (M,)."""
    count = len(triangles)
    edges = np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    owner = np.tile(np.arange(count), 3)
    key = np.sort(edges, axis=1)
    order = np.lexsort((key[:, 1], key[:, 0]))
    same = (key[order][1:] == key[order][:-1]).all(axis=1)
    a, b = owner[order[:-1][same]], owner[order[1:][same]]
    # The plane of a narrow triangle says little of places far from it: that of one of the two must hold the other.
    off = [
        np.abs(np.einsum("ij,ikj->ik", normals[one], corners[other] - corners[one][:, :1])).max(axis=1)
        for one, other in ((a, b), (b, a))
    ]
    least = np.minimum(*off)
    longest = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2).max(axis=1)
    doubled = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1)
    narrow = doubled < _NARROW_MM * longest
    flat = (np.abs(normals[a] - normals[b]).max(axis=1) < _SAME_PLANE) & (least < _OFF_PLANE_MM)
    flat |= (narrow[a] | narrow[b]) & (np.einsum("ij,ij->i", normals[a], normals[b]) > 0.5) & (least < _HAIR_MM)
    a, b = a[flat], b[flat]
    labels = np.arange(count)
    while True:
        least = np.minimum(labels[a], labels[b])
        before = labels.copy()
        np.minimum.at(labels, a, least)
        np.minimum.at(labels, b, least)
        labels = labels[labels]
        if (labels == before).all():
            return labels


def _rings(triangles: NDArray[np.int64]) -> list[NDArray[np.int64]]:
    """Return the rim of joined triangles as rings of vertices, walked as the triangles are."""
    edges = np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]]).tolist()
    inner = {(a, b) for a, b in edges}
    follow: dict[int, list[int]] = {}
    for a, b in edges:
        if (b, a) not in inner:
            follow.setdefault(a, []).append(b)
    rings = []
    while follow:
        start = next(iter(follow))
        ring = [start]
        while True:
            choices = follow[ring[-1]]
            following = choices.pop()
            if not choices:
                del follow[ring[-1]]
            if following == start:
                break
            ring.append(following)
        rings.append(np.array(ring))
    return rings


def above(faces: tuple[Face, ...], level_mm: float) -> tuple[Face, ...]:
    """Return what of faces lies above a level, as after cutting off a tab; the cut itself is left open."""
    kept = []
    for face in faces:
        rings = tuple(ring for ring in (_clipped(ring, level_mm) for ring in face.rings) if len(ring) >= 3)
        if rings:
            kept.append(replace(face, rings=rings))
    return tuple(kept)


def without_tab(faces: tuple[Face, ...], part: Part, wall: WallPlan) -> tuple[Face, ...]:
    """Return the faces of a cover without those of a tab beside it, which is cut off."""
    if part.tab_mm is None:
        return faces
    facing = wall.facing
    u0, v0, u1, v1 = part.tab_mm
    low, high = np.array([u0, v0]) - _TAB_HAIR_MM, np.array([u1, v1]) + _TAB_HAIR_MM
    kept = []
    for face in faces:
        points = np.concatenate(face.rings) - facing.foot_mm
        spots = np.column_stack([points[:, :2] @ facing.along, points[:, 2]])
        if not ((spots > low) & (spots < high)).all():
            kept.append(face)
    return tuple(kept)


def _clipped(ring: Array, level: float) -> Array:
    heights = ring[:, 2] - level
    if (heights >= -1e-9).all():
        return ring
    points = []
    for a, b, rise, follow in zip(ring, np.roll(ring, -1, axis=0), heights, np.roll(heights, -1), strict=True):
        if rise >= 0:
            points.append(a)
        if (rise >= 0) != (follow >= 0):
            points.append(a + (b - a) * (rise / (rise - follow)))
    return np.array(points).reshape(-1, 3)
