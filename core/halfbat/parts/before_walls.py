"""What of the roof stands before a wall, where something that runs up the wall must end: boards, and runs of tiles."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.clearing import clipped
from halfbat.parts.ridge_tiles import Ridge, ridge_tiles
from halfbat.parts.roof_boards import Board
from halfbat.parts.skins import Facing
from halfbat.settings import Settings
from halfbat.units import Scale

Array = NDArray[np.float64]
ASIDE_MM = 0.1
"""What passes a cover as near as this counts as before it."""
OFF_MM = 0.1
"""Left between the end of a cover and what it ends at."""


def board_faces(board: Board) -> list[Array]:
    """Return the faces of a board, each a ring (N, 3) in the building's frame."""
    section = board.start + board.section_mm @ np.stack([board.outward, board.up])
    ends = [section + np.outer(board.cut(end), board.along) for end in board.ends]
    return _faces(ends[0], ends[1])


def ridge_faces(ridge: Ridge, settings: Settings, scale: Scale) -> list[Array]:
    """Return the faces of a run of ridge or hip tiles, each a ring (N, 3) in the building's frame."""
    section = ridge_tiles(ridge, settings, scale, ridge.kind.value).section_mm
    ends = [end + section @ np.stack([ridge.across, ridge.up]) for end in (ridge.start, ridge.end)]
    return _faces(ends[0], ends[1])


def _faces(start: Array, end: Array) -> list[Array]:
    """Both ends and every side of what is drawn out from one ring to another."""
    following = np.roll(start, -1, axis=0), np.roll(end, -1, axis=0)
    return [start, end, *np.stack([start, following[0], following[1], end], axis=1)]


def room_beside_mm(
    facing: Facing,
    bodies: Sequence[Sequence[Array]],
    span: tuple[float, float],
    out_mm: float,
    room: tuple[float, float],
) -> tuple[float, float]:
    """Find how much of the height between two places along a wall bodies before it leave free.

    Parameters
    ----------
    facing : Facing
        The wall.
    bodies : sequence of sequence of ndarray (N, 3)
        Faces of each body, in the building's frame.
    span : tuple of float
        From where to where along the wall, mm.
    out_mm : float
        How far what runs there stands out of the wall.
    room : tuple of float
        From which height to which over the foot of the wall it may run without the bodies.

    Returns
    -------
    float, float
        The same with them: what a body leaves above or below itself, whichever is longer.
    """
    low, high = room
    for foot, top in sorted(_heights_before(facing, bodies, span, out_mm)):
        under, over = foot - OFF_MM, top + OFF_MM
        if under >= high or over <= low:
            continue
        if under - low >= high - over:
            high = under
        else:
            low = over
    return low, high


def _heights_before(
    facing: Facing, bodies: Sequence[Sequence[Array]], span: tuple[float, float], out_mm: float
) -> Iterator[tuple[float, float]]:
    """Lowest and highest place of each body before a stretch of a wall, over its foot."""
    limits = ((0, 1.0, span[0] - ASIDE_MM), (0, -1.0, span[1] + ASIDE_MM), (1, 1.0, 0.0), (1, -1.0, out_mm + ASIDE_MM))
    for faces in bodies:
        heights = []
        for face in faces:
            off = face - facing.foot_mm
            ring = np.column_stack([off[:, :2] @ facing.along, off[:, :2] @ facing.outward, off[:, 2]])
            for axis, sign, limit in limits:
                if len(ring):
                    ring = clipped(ring, sign * (ring[:, axis] - limit))
            heights += ring[:, 2].tolist()
        if heights:
            yield min(heights), max(heights)
