"""Which colour each triangle of a part is shown in: bricks in tones that vary a little, mortar, stone, and the rest."""

from __future__ import annotations

from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.part import Part

Array = NDArray[np.float64]
BRICK_TONES = 4
_FLOOR_MM = 0.005
_ROUNDS = 64
_STONE_TIMES = 4.0
"""A unit so many times larger than the middle one is a stone or a lintel, not a brick."""


class Tone(IntEnum):
    """What a triangle shows; the bricks' own tones follow from `BRICK` on."""

    PLAIN = 0
    MORTAR = 1
    STONE = 2
    BRICK = 3


def tones_of(part: Part) -> NDArray[np.int32]:
    """Return the tone of each triangle of a part.

    Parameters
    ----------
    part : Part
        Skins have bricks and mortar; other parts are plain.

    Returns
    -------
    ndarray of int32, shape (T,)
        `Tone.PLAIN`, `MORTAR`, `STONE`, or ``Tone.BRICK`` to ``Tone.BRICK + BRICK_TONES - 1``. A brick keeps its tone
        for as long as it stays where it is in the building.
    """
    solid = part.solid
    tones = np.full(len(solid.triangles), Tone.PLAIN, dtype=np.int32)
    if part.relief_mm is None or not len(tones):
        return tones
    floor = part.relief_mm[0]
    heights = solid.vertices[:, 2]
    corners = heights[solid.triangles]
    level = np.abs(corners - floor).max(axis=1) < _FLOOR_MM
    tones[level & (_normals(solid.vertices, solid.triangles)[:, 2] > 0)] = Tone.MORTAR
    raised = corners.max(axis=1) > floor + _FLOOR_MM
    owners = _pieces(solid.triangles[raised], heights > floor + _FLOOR_MM)
    tones[raised] = _tones(part, solid.triangles[raised], owners)
    return tones


def _normals(vertices: Array, triangles: NDArray[np.int64]) -> Array:
    a, b, c = (vertices[triangles[:, k]] for k in range(3))
    normals: Array = np.cross(b - a, c - a)
    return normals


def _pieces(triangles: NDArray[np.int64], raised: NDArray[np.bool_]) -> NDArray[np.int64]:
    """Number the piece that each triangle belongs to: triangles joined by raised vertices are one piece."""
    label = np.arange(len(raised))
    corner_raised = raised[triangles]
    for _ in range(_ROUNDS):
        own = np.where(corner_raised, label[triangles], len(label)).min(axis=1)
        lower = label.copy()
        for k in range(3):
            held = corner_raised[:, k]
            np.minimum.at(lower, triangles[held, k], own[held])
        lower = lower[lower]
        if (lower == label).all():
            break
        label = lower
    return np.unique(np.where(corner_raised, label[triangles], len(label)).min(axis=1), return_inverse=True)[1]


def _tones(part: Part, triangles: NDArray[np.int64], owners: NDArray[np.int64]) -> NDArray[np.int32]:
    """Give each piece a tone by where its middle lies in the building, and large ones that of stone."""
    count = int(owners.max()) + 1 if len(owners) else 0
    points = part.solid.vertices[triangles].reshape(-1, 3)
    low, high = np.full((count, 2), np.inf), np.full((count, 2), -np.inf)
    each = np.repeat(owners, 3)
    for axis in range(2):
        np.minimum.at(low[:, axis], each, points[:, axis])
        np.maximum.at(high[:, axis], each, points[:, axis])
    middles = np.column_stack([(low + high) / 2, np.zeros(count)])
    placed = middles @ part.place[:3, :3].T + part.place[:3, 3]
    tones = (Tone.BRICK + _scattered(placed) % BRICK_TONES).astype(np.int32)
    areas = np.prod(high - low, axis=1)
    if count:
        tones[areas > _STONE_TIMES * np.median(areas)] = Tone.STONE
    shown: NDArray[np.int32] = tones[owners]
    return shown


def _scattered(places_mm: Array) -> NDArray[np.int64]:
    """Return a number for each place, shape (N,), without any pattern: the tenths of millimetres, well mixed."""
    mixed = np.zeros(len(places_mm), dtype=np.uint64)
    for tenths in np.floor(places_mm.T * 10.0 + 0.5).astype(np.int64).astype(np.uint64):
        mixed = (mixed + tenths) * np.uint64(0xBF58476D1CE4E5B9)
        mixed ^= mixed >> np.uint64(31)
        mixed *= np.uint64(0x94D049BB133111EB)
        mixed ^= mixed >> np.uint64(29)
    return (mixed >> np.uint64(8)).astype(np.int64)
