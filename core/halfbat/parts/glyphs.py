"""Text as polygons for engraving: strokes of one constant width, mitred at their corners and flat at their ends.

A mark must stay readable in a small print: every stroke has the width asked for, and what lies between two strokes
that do not touch is at least as wide as a stroke. `LEAST_HEIGHT` times the stroke is the lowest text that keeps this.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfbat.errors import KitError
from halfbat.parts.font import CAP_UNITS, LINES, UP_ARROW, Line

__all__ = ["LEAST_HEIGHT", "UP_ARROW", "TextPlacement", "fit_text", "text_size", "text_strokes"]

Polygon = NDArray[np.float64]

LEAST_HEIGHT = CAP_UNITS + 1.0
_LETTER_GAP = 1.25
_WORD_GAP = 2.5
_MITRE_LIMIT = 1.1
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class TextPlacement:
    """Text that fits a room, centred in it.

    Parameters
    ----------
    strokes : tuple of ndarray, each shape (K, 2), float64
        Anticlockwise polygons in mm, from the lower left corner of the room. They may overlap.
    height_mm : float
        Height of a capital letter.
    stroke_mm : float
        Width of the strokes.
    size_mm : tuple of float
        Width and height of all of it, underlines included.
    """

    strokes: tuple[Polygon, ...]
    height_mm: float
    stroke_mm: float
    size_mm: tuple[float, float]


def text_strokes(text: str, height_mm: float, stroke_mm: float) -> list[Polygon]:
    """Draw a line of text.

    Parameters
    ----------
    text : str
        Digits, capital letters without I, O and Q, hyphen, space, and `UP_ARROW`.
    height_mm : float
        Height of a capital letter, outside to outside, mm; at least `LEAST_HEIGHT` times the stroke.
    stroke_mm : float
        Width of every stroke, mm.

    Returns
    -------
    list of ndarray, each shape (K, 2), float64
        Simple anticlockwise polygons in mm that may overlap or share sides; the lower left corner of the box round
        all of them is the origin.

    Raises
    ------
    KitError
        A character has no drawing, there is nothing to draw, or the text is too low for its stroke.
    """
    _check(text, height_mm, stroke_mm)
    drawn: list[Polygon] = []
    right = 0.0
    for character in text:
        if character == " ":
            right += _WORD_GAP * stroke_mm
            continue
        polygons = _character(character, height_mm, stroke_mm)
        left = min(float(polygon[:, 0].min()) for polygon in polygons)
        shift = np.array([right + (_LETTER_GAP * stroke_mm if drawn else 0.0) - left, stroke_mm / 2])
        placed = [polygon + shift for polygon in polygons]
        right = max(float(polygon[:, 0].max()) for polygon in placed)
        drawn += placed
    corner = np.concatenate(drawn).min(axis=0)
    return [polygon - corner for polygon in drawn]


def text_size(text: str, height_mm: float, stroke_mm: float) -> tuple[float, float]:
    """Measure the box round a line of text.

    Parameters
    ----------
    text : str
        As for `text_strokes`.
    height_mm, stroke_mm : float
        Height of a capital letter and width of the strokes, mm.

    Returns
    -------
    tuple of float
        Width and height in mm. The underline of a 6 or a 9 makes the box higher than a capital letter.

    Raises
    ------
    KitError
        As for `text_strokes`.
    """
    size = np.concatenate(text_strokes(text, height_mm, stroke_mm)).max(axis=0)
    return float(size[0]), float(size[1])


def fit_text(
    text: str, room_w_mm: float, room_h_mm: float, height_mm: float, min_stroke_mm: float
) -> TextPlacement | None:
    """Draw a line of text as large as the room lets it be, up to a wanted height.

    Strokes keep the least width at every height: thin strokes far apart stay open where thick ones would run together.

    Parameters
    ----------
    text : str
        As for `text_strokes`.
    room_w_mm, room_h_mm : float
        Free width and height, mm.
    height_mm : float
        Wanted height of a capital letter, mm.
    min_stroke_mm : float
        Narrowest stroke the printer makes, mm.

    Returns
    -------
    TextPlacement or None
        None where even the lowest readable text is too large for the room, or higher than wanted.

    Raises
    ------
    KitError
        A character has no drawing, or the stroke is not above zero.
    """
    least = LEAST_HEIGHT * min_stroke_mm
    _check(text, least, min_stroke_mm)
    if height_mm < least * (1 - _ROUNDING):
        return None
    low_w, low_h = text_size(text, least, min_stroke_mm)
    grow_w, grow_h = (
        large - small for large, small in zip(text_size(text, 2 * least, min_stroke_mm), (low_w, low_h), strict=True)
    )
    if low_w > room_w_mm + _ROUNDING or low_h > room_h_mm + _ROUNDING:
        return None
    # The box grows in proportion to the height, since only the lines' lengths change.
    share = min(
        (room_w_mm - low_w) / grow_w if grow_w > _ROUNDING else np.inf,
        (room_h_mm - low_h) / grow_h if grow_h > _ROUNDING else np.inf,
    )
    height = min(height_mm, least * (1 + max(0.0, float(share))))
    height = max(height, least)
    strokes = text_strokes(text, height, min_stroke_mm)
    size = np.concatenate(strokes).max(axis=0)
    offset = (np.array([room_w_mm, room_h_mm]) - size) / 2
    return TextPlacement(
        tuple(stroke + offset for stroke in strokes), height, min_stroke_mm, (float(size[0]), float(size[1]))
    )


def _check(text: str, height_mm: float, stroke_mm: float) -> None:
    if not text.strip():
        raise KitError("there is no text to engrave", "", "give at least one character")
    for character in text:
        if character != " " and character not in LINES:
            known = "".join(sorted(LINES))
            raise KitError(f"the character {character!r} cannot be engraved", text, f"use only {known}")
    if not (stroke_mm > 0 and np.isfinite(height_mm) and height_mm >= LEAST_HEIGHT * stroke_mm * (1 - _ROUNDING)):
        raise KitError(
            f"text {height_mm:g} mm high closes up with strokes of {stroke_mm:g} mm",
            text,
            f"make it at least {LEAST_HEIGHT:g} times as high as its stroke",
        )


def _character(character: str, height_mm: float, stroke_mm: float) -> list[Polygon]:
    """Polygons of one character; the middle of its lowest capital stroke lies at v = 0."""
    unit = (height_mm - stroke_mm) / CAP_UNITS
    polygons: list[Polygon] = []
    for line in LINES[character]:
        polygons += _expand(line, unit, stroke_mm / 2)
    return polygons


def _expand(line: Line, unit: float, half: float) -> list[Polygon]:
    """Give a line its width: one polygon, or two that share their ends where the line runs back into itself."""
    points = np.array(line, dtype=np.float64) * unit
    if not np.array_equal(points[0], points[-1]):
        return [_ribbon(points, None, None, half)]
    middle = len(points) // 2
    return [
        _ribbon(points[: middle + 1], points[-2], points[middle + 1], half),
        _ribbon(points[middle:], points[middle - 1], points[1], half),
    ]


def _ribbon(points: Polygon, before: Polygon | None, after: Polygon | None, half: float) -> Polygon:
    """Polygon along an open line; ends are flat half a stroke beyond the last point, or mitred to a neighbour."""
    left: list[Polygon] = []
    right: list[Polygon] = []
    count = len(points)
    for i, point in enumerate(points):
        previous = points[i - 1] if i else before
        following = points[i + 1] if i + 1 < count else after
        if previous is None or following is None:
            ends = _flat_end(point, points[1] if i == 0 else points[-2], half)
            on_left, on_right = ([ends[0]], [ends[1]]) if i == 0 else ([ends[1]], [ends[0]])
        else:
            on_left, on_right = _corner(previous, point, following, half)
        left += on_left
        right += on_right
    return np.array(right + left[::-1])


def _flat_end(point: Polygon, inner: Polygon, half: float) -> tuple[Polygon, Polygon]:
    """Left and right corner of an end, seen walking from the end inwards, cut level or upright."""
    along = (inner - point) / np.linalg.norm(inner - point)
    if abs(along[1]) >= abs(along[0]) - _ROUNDING:
        tip = point - along * (half / abs(along[1]))
        side = np.array([-np.sign(along[1]) * half / abs(along[1]), 0.0])
    else:
        tip = point - along * (half / abs(along[0]))
        side = np.array([0.0, np.sign(along[0]) * half / abs(along[0])])
    return tip + side, tip - side


def _corner(previous: Polygon, point: Polygon, following: Polygon, half: float) -> tuple[list[Polygon], list[Polygon]]:
    """Points on the left and on the right of a bend: mitred, but cut off on the outside of a sharp one."""
    a = (point - previous) / np.linalg.norm(point - previous)
    b = (following - point) / np.linalg.norm(following - point)
    normal_a, normal_b = np.array([-a[1], a[0]]), np.array([-b[1], b[0]])
    mitre = (normal_a + normal_b) / (1 + float(normal_a @ normal_b)) * half
    if np.linalg.norm(mitre) <= _MITRE_LIMIT * 2 * half:
        return [point + mitre], [point - mitre]
    turns_left = a[0] * b[1] - a[1] * b[0] > 0
    outer = -half if turns_left else half
    cut = [point + normal_a * outer, point + normal_b * outer]
    return ([point + mitre], cut) if turns_left else (cut, [point - mitre])
