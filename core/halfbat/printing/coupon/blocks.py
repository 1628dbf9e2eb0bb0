"""What a coupon is put together of: small blocks side by side in rows on one plate."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from halfbat.errors import KitError
from halfbat.parts.glyphs import text_size, text_strokes
from halfbat.printing.sections import Array
from halfbat.solids.figure import Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.relief import Relief
from halfbat.solids.solid import Solid

EDGE_MM = 1.5
BETWEEN_MM = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class Shape:
    """Rings at one height over the foot of a coupon; later shapes lie over earlier ones.

    Parameters
    ----------
    height_mm : float or None
        None makes a hole through it.
    rings_mm : tuple of ndarray (K, 2)
        From the block's lower left corner; they may overlap.
    """

    height_mm: float | None
    rings_mm: tuple[Array, ...]

    def moved(self, x: float, y: float) -> Shape:
        """Return it elsewhere."""
        return Shape(self.height_mm, tuple(ring + np.array([x, y]) for ring in self.rings_mm))


@dataclass(frozen=True, slots=True, eq=False)
class Block:
    """One test with its label.

    Parameters
    ----------
    size_mm : tuple of float
        Width and height it takes.
    shapes : tuple of Shape
        What is cut into the plate or stands on it.
    starts_row : bool
        It begins a row of its own.
    """

    size_mm: tuple[float, float]
    shapes: tuple[Shape, ...]
    starts_row: bool = False


def box(x0: float, y0: float, x1: float, y1: float) -> Array:
    """Return an upright rectangle."""
    return np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])


def disc(x: float, y: float, across: float, sides: int) -> Array:
    """Return a regular polygon as wide between opposite sides as the disc is across."""
    turn = (np.arange(sides) + 0.5) * (2 * np.pi / sides)
    radius = across / 2 / np.cos(np.pi / sides)
    return np.stack([x + radius * np.cos(turn), y + radius * np.sin(turn)], axis=1)


def text_block(text: str, height_mm: float, stroke_mm: float, level_mm: float, *, starts_row: bool = False) -> Block:
    """Return text whose strokes end at a level; all text in a row stands on one line, underlines hang below it."""
    wide, high = text_size(text, height_mm, stroke_mm)
    letters = Shape(level_mm, tuple(text_strokes(text, height_mm, stroke_mm))).moved(0.0, height_mm - high)
    return Block((wide, height_mm), (letters,), starts_row)


def labelled(label: Block, above: Block, gap_mm: float) -> Block:
    """Put a block over its label, both in the middle."""
    width = max(label.size_mm[0], above.size_mm[0])
    lift = label.size_mm[1] + gap_mm
    shapes = [
        *(shape.moved((width - label.size_mm[0]) / 2, 0.0) for shape in label.shapes),
        *(shape.moved((width - above.size_mm[0]) / 2, lift) for shape in above.shapes),
    ]
    return Block((width, lift + above.size_mm[1]), tuple(shapes))


@dataclass(frozen=True, slots=True, eq=False)
class Sheet:
    """Blocks laid out: shapes in place, and the height they take."""

    shapes: tuple[Shape, ...]
    height_mm: float


def in_rows(blocks: Sequence[Block], width_mm: float, between_mm: float) -> Sheet:
    """Lay blocks out in rows from the foot, each as wide as the coupon.

    Raises
    ------
    KitError
        A block is wider than the coupon.
    """
    shapes: list[Shape] = []
    x, y, row = EDGE_MM, EDGE_MM, 0.0
    for block in blocks:
        wide, high = block.size_mm
        if wide > width_mm - 2 * EDGE_MM:
            raise KitError("the printer is too small for a coupon", "coupon", "give it a larger usable size")
        full = x + wide > width_mm - EDGE_MM + 1e-9
        if full or (block.starts_row and x > EDGE_MM):
            x, y, row = EDGE_MM, y + row + between_mm, 0.0
        shapes += [shape.moved(x, y) for shape in block.shapes]
        x, row = x + wide + between_mm, max(row, high)
    return Sheet(tuple(shapes), y + row + EDGE_MM)


def solid_of(outline_mm: ArrayLike, thickness_mm: float, shapes: Sequence[Shape]) -> Solid:
    """Return one closed solid: a plate with everything cut into it and standing on it."""
    holes = [ring[::-1] for shape in shapes if shape.height_mm is None for ring in shape.rings_mm]
    base = Layer.union([np.asarray(outline_mm, dtype=np.float64), *holes], 0)
    heights, layers = [thickness_mm], []
    for shape in shapes:
        if shape.height_mm is not None and shape.rings_mm:
            layers.append(Layer.patches(shape.rings_mm, len(heights)))
            heights.append(shape.height_mm)
    return plate(Relief.flat(Figure((base, *layers)), heights), Relief.flat(Figure((base,)), [0.0]))
