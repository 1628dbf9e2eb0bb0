"""The number engraved on a part."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.glyphs import LEAST_HEIGHT, UP_ARROW, fit_text
from halfbat.settings import FilamentProcess, ResinProcess

Rings = tuple[NDArray[np.float64], ...]
PLATE_STROKE_MM = 0.6
PLATE_HEIGHT_MM = 5.0
PLATE_STROKES_WIDE = 2.0
"""On the plate a stroke is so many times as wide as the process prints elsewhere, never under `PLATE_STROKE_MM`."""
LEFT_UNDER_MM = 0.5
RIM_MM = 2.0


@dataclass(frozen=True, slots=True)
class Room:
    """A free rectangle for a mark.

    Parameters
    ----------
    low, high : tuple of float
        Corners, mm.
    mirrored : bool
        The mark is read from the other side, as on a back drawn from the front.
    """

    low: tuple[float, float]
    high: tuple[float, float]
    mirrored: bool = False


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark in its place.

    Parameters
    ----------
    rings_mm : tuple of ndarray (K, 2)
        Strokes, which may overlap.
    depth_mm : float
        How deep they are cut.
    stroke_mm, height_mm : float
        Width of the strokes and height of the digits.
    """

    rings_mm: Rings
    depth_mm: float
    stroke_mm: float
    height_mm: float


def fitted_mark(
    number: str,
    room: Room,
    height_mm: float,
    process: ResinProcess | FilamentProcess,
    *,
    on_plate: bool,
    thickness_mm: float,
) -> Mark | None:
    """Fit a number with an arrow that points up into a free rectangle.

    Parameters
    ----------
    number : str
        What is engraved.
    room : Room
        Where; a margin is not kept off it.
    height_mm : float
        Wanted height of the digits.
    process : ResinProcess or FilamentProcess
        Its least stroke and depth.
    on_plate : bool
        The face lies on the printer's plate, whose first layers blur: wide strokes are tried first.
    thickness_mm : float
        Material under the face; at least `LEFT_UNDER_MM` of it is left.

    Returns
    -------
    Mark or None
        None where even the smallest readable number is too large, or the part too thin.
    """
    layers = int((thickness_mm - LEFT_UNDER_MM) / process.part_layer_mm + 1e-9)
    wanted = int(np.ceil(process.min_mark_depth_mm / process.part_layer_mm - 1e-9))
    if layers < wanted:
        return None
    # What lies between two strokes is at least as wide as a stroke.
    least = max(process.min_stroke_mm, process.min_gap_mm)
    sizes = [(max(height_mm, LEAST_HEIGHT * least), least)]
    wide = plate_stroke_mm(process)
    if on_plate and least < wide:
        sizes.insert(0, (max(PLATE_HEIGHT_MM, LEAST_HEIGHT * wide), wide))
    width, height = room.high[0] - room.low[0], room.high[1] - room.low[1]
    for size, stroke in sizes:
        # The arrow points up the part, so a number that is turned goes without.
        for text, turned in ((UP_ARROW + number, False), (number, False), (number, True)):
            across, up = (height, width) if turned else (width, height)
            placed = fit_text(text, across, up, size, stroke)
            if placed is not None:
                rings = tuple(_into(ring, room, turned, width) for ring in placed.strokes)
                return Mark(rings, wanted * process.part_layer_mm, placed.stroke_mm, placed.height_mm)
    return None


def plate_stroke_mm(process: ResinProcess | FilamentProcess) -> float:
    """Width of strokes in a face on the plate, whose first layers blur."""
    return max(PLATE_STROKE_MM, PLATE_STROKES_WIDE * process.min_stroke_mm)


def _into(ring: NDArray[np.float64], room: Room, turned: bool, width: float) -> NDArray[np.float64]:
    if turned:
        # A quarter turn anticlockwise: the text reads upward.
        ring = np.stack([width - ring[:, 1], ring[:, 0]], axis=1)
    if room.mirrored:
        ring = np.stack([width - ring[:, 0], ring[:, 1]], axis=1)[::-1]
    return np.asarray(ring + np.array(room.low), dtype=np.float64)
