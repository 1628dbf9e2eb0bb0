"""How large things are drawn on paper, and the bar that shows it."""

from __future__ import annotations

from fractions import Fraction

import numpy as np

from halfbat.drawings.drawing import Array, Item, Label, Shape, rectangle
from halfbat.units import Scale

ROOM_MM = (176.0, 215.0)
"""Room for one drawing on A4 and on Letter alike, inside margins of 15 mm."""
SIZES = tuple(Fraction(text) for text in ("2", "1", "1/2", "1/4", "1/5", "1/10", "1/20", "1/50", "1/100", "1/200"))
"""Paper for model, largest first; model size wherever it fits, twice that for small models."""
_BARS = (1000.0, 500.0, 200.0, 100.0, 50.0, 20.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1)


def paper_size(model_mm: Array | tuple[float, float], room_mm: tuple[float, float]) -> Fraction:
    """Return the largest round size at which something fits into a room on paper.

    Parameters
    ----------
    model_mm : array_like (2,)
        Width and height at model size.
    room_mm : (float, float)
        Room on paper.

    Returns
    -------
    Fraction
        Millimetres on paper for one on the model.
    """
    wide, tall = (float(value) for value in model_mm)
    for size in SIZES:
        if wide * size <= room_mm[0] and tall * size <= room_mm[1]:
            return size
    return SIZES[-1]


def size_text(size: Fraction) -> str:
    """Say how large a drawing is against the model."""
    if size == 1:
        return "drawn at the size of the model"
    return f"drawn {size} times the size of the model" if size > 1 else f"drawn at {size} of the size of the model"


def scale_bar(corner: tuple[float, float], size: Fraction, scale: Scale, room_mm: float) -> tuple[Item, ...]:
    """Draw a bar of a round full-size length, with what it is on the model.

    Parameters
    ----------
    corner : (float, float)
        Its lower left corner on paper.
    size : Fraction
        Millimetres on paper for one on the model.
    scale : Scale
        Of the model.
    room_mm : float
        Longest it may be on paper.
    """
    per_m = scale.mm_per_m * float(size)
    metres = next((bar for bar in _BARS if bar * per_m <= room_mm), _BARS[-1])
    long, (x, y) = metres * per_m, corner
    items: list[Item] = []
    for part in range(4):
        ring = rectangle(x + long * part / 4, y, x + long * (part + 1) / 4, y + 1.2)
        items.append(Shape((ring,), "bar" if part % 2 == 0 else "blank"))
    text = f"{metres:g} m full size = {metres * scale.mm_per_m:.2f} mm on the model"
    items.append(Label((x + long + 1.5, y + 0.6), text, 2.2, "start"))
    return tuple(items)


def on_paper(points: Array, size: Fraction) -> Array:
    """Return points of the model on paper."""
    return np.asarray(points * float(size), dtype=np.float64)
