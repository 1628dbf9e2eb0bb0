"""Shaded pictures of parts, alone and together, as areas and lines."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from halfbat.drawings.drawing import Array, Brickwork, Item, Shape, signed_area
from halfbat.drawings.face import Face
from halfbat.drawings.painting import Flat, painting_order
from halfbat.drawings.view import View, tone

COLOURS: Mapping[str, tuple[int, int, int]] = {
    "resin": (240, 219, 206),
    "filament": (222, 226, 232),
    "bought": (226, 233, 216),
}
"""Light enough that lines and numbers stay readable, and greys of their own in black and white."""
SMALLEST_MM = 0.2
LEAST_COURSE_MM = 0.3
"""Lower courses on paper run together to a grey that hides the part's number, and are left out."""


@dataclass(frozen=True, slots=True, eq=False)
class Shown:
    """Faces of one part in a picture.

    Parameters
    ----------
    faces : tuple of Face
        Where they stand.
    process : str
        Chooses the colour.
    ghost : bool
        True draws white areas and grey lines: what is there already.
    """

    faces: tuple[Face, ...]
    process: str
    ghost: bool = False


def picture(shown: Iterable[Shown], view: View, paper_per_mm: float) -> tuple[Item, ...]:
    """Draw faces seen from a direction, nearer over farther.

    Parameters
    ----------
    shown : iterable of Shown
        Parts.
    view : View
        From where.
    paper_per_mm : float
        Millimetres on paper for one on the model.
    """
    seen: list[tuple[Shown, Face, Flat]] = []
    for one in shown:
        for face in one.faces:
            flat = _flat(face, view, paper_per_mm)
            if flat is not None:
                seen.append((one, face, flat))
    items: list[Item] = []
    for index in painting_order([flat for _, _, flat in seen]):
        one, face, flat = seen[index]
        fill = "#ffffff" if one.ghost else tone(face.normal, view, COLOURS[one.process])
        items.append(Shape(flat.rings, "ghost" if one.ghost else "face", fill=fill))
        bricks = face.bricks
        if bricks is not None and not one.ghost and bricks.bond.gauge_mm * paper_per_mm >= LEAST_COURSE_MM:
            frame = np.array([bricks.origin, bricks.along, bricks.up])
            on_paper = view.flat(frame) * paper_per_mm
            matrix = np.column_stack([on_paper[1], on_paper[2], on_paper[0]])
            items.append(Brickwork(bricks.bond, matrix, bricks.clips, bricks.clip_key))
    return tuple(items)


def _flat(face: Face, view: View, paper_per_mm: float) -> Flat | None:
    """Return a face on paper, or None where it looks away or is too small to be seen."""
    toward = float(face.normal @ view.toward)
    if toward < 1e-3:
        return None
    rings = tuple(view.flat(ring) * paper_per_mm for ring in face.rings)
    largest = max(range(len(rings)), key=lambda i: abs(signed_area(rings[i])))
    rings = (rings[largest], *(ring for i, ring in enumerate(rings) if i != largest and _seen(ring)))
    if not _seen(rings[0]):
        return None
    level = float(face.normal @ face.rings[0][0])
    slope = -np.array([face.normal @ view.right, face.normal @ view.up]) / toward
    return Flat(rings, np.array([slope[0], slope[1], level / toward * paper_per_mm]))


def _seen(ring: Array) -> bool:
    return float(np.ptp(ring, axis=0).max()) >= SMALLEST_MM


def spread(faces: Iterable[Face], view: View) -> Array:
    """Return the size of faces on paper at the size of the model, shape (2,)."""
    points = np.concatenate([view.flat(ring) for face in faces for ring in face.rings])
    return np.asarray(np.ptp(points, axis=0), dtype=np.float64)


def fitting(shown: Sequence[Shown], view: View, room_mm: tuple[float, float]) -> float:
    """Return how large parts are drawn to fit into a room on paper."""
    wide, tall = spread((face for one in shown for face in one.faces), view)
    return float(min(room_mm[0] / max(wide, 1e-6), room_mm[1] / max(tall, 1e-6)))
