"""One drawing as data: lines, areas, labels, dimensions and brickwork on paper.

Everything is in millimetres on paper, x to the right and y up.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Point = tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False)
class Shape:
    """Lines or an area.

    Parameters
    ----------
    rings : tuple of ndarray (K, 2)
        Corners; a ring within a ring is a hole.
    style : str
        One of `halfbat.drawings.styles.STYLES`.
    closed : bool
        False for open lines.
    fill : str
        Colour such as ``"#d8d8d8"``, in place of the style's own.
    """

    rings: tuple[Array, ...]
    style: str
    closed: bool = True
    fill: str = ""


@dataclass(frozen=True, slots=True)
class Label:
    """A line of text.

    Parameters
    ----------
    at : (float, float)
        Middle of the text's height, and its left end, middle or right end.
    text : str
        What it says.
    height_mm : float
        Size of the letters.
    anchor : {"start", "middle", "end"}
        What of the text is at the point.
    angle_deg : float
        Turned anticlockwise.
    style : str
        ``"text"`` or ``"number"``.
    part : str
        Number of the part it names, if it names one.
    quantity : int
        How many of that part it stands for.
    """

    at: Point
    text: str
    height_mm: float
    anchor: str = "middle"
    angle_deg: float = 0.0
    style: str = "text"
    part: str = ""
    quantity: int = 0


@dataclass(frozen=True, slots=True)
class Dimension:
    """A dimension line with the model size over it and the full size under it.

    Parameters
    ----------
    start, end : (float, float)
        The two points measured.
    away_mm : float
        Distance of the dimension line from them, to the left when walking from start to end.
    model_mm, full_m : float
        What it measures.
    text_mm : float
        Height of the text.
    """

    start: Point
    end: Point
    away_mm: float
    model_mm: float
    full_m: float
    text_mm: float = 2.2

    @property
    def model_text(self) -> str:
        """Size on the model, in words."""
        return f"{self.model_mm:.2f} mm"

    @property
    def full_text(self) -> str:
        """Full size, in words."""
        return f"{self.full_m:.3f} m"


@dataclass(frozen=True, slots=True, eq=False)
class BondLines:
    """Joints of a wall, each drawn along its middle, in the wall's own frame: mm on the model.

    Parameters
    ----------
    key : str
        Letter of the wall.
    size_mm : (float, float)
        Length and height.
    beds_mm : ndarray (C,)
        Levels of the bed joints.
    gauge_mm : float
        Height of a perpend.
    patterns : tuple of ndarray
        Places of the perpends along the different courses.
    course_pattern : ndarray of int (C,)
        Pattern of each course.
    """

    key: str
    size_mm: Point
    beds_mm: Array
    gauge_mm: float
    patterns: tuple[Array, ...]
    course_pattern: NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class Brickwork:
    """The joints of a wall as they lie on paper.

    Parameters
    ----------
    bond : BondLines
        What is drawn.
    matrix : ndarray (2, 3)
        From the wall's frame to paper.
    clips : tuple of ndarray (K, 2)
        Outline in the wall's frame within which they show, and the holes in it.
    clip_key : str
        Name of the outline, unique in the kit.
    """

    bond: BondLines
    matrix: Array
    clips: tuple[Array, ...]
    clip_key: str


Item = Shape | Label | Dimension | Brickwork


@dataclass(frozen=True, slots=True, eq=False)
class Drawing:
    """One drawing.

    Parameters
    ----------
    key : str
        Name to ask for it by, such as ``"elevation-A"``.
    title : str
        Heading.
    description : str
        What is to be seen, for those who cannot see it.
    items : tuple
        Back to front.
    scale_text : str
        How large it is drawn; empty for pictures that are not to scale.
    margin_mm : float
        White round everything.
    data : mapping of str to str
        Facts for programs, such as millimetres on paper for one on the model.
    """

    key: str
    title: str
    description: str
    items: tuple[Item, ...]
    scale_text: str = ""
    margin_mm: float = 1.0
    data: Mapping[str, str] = field(default_factory=dict)

    @property
    def bounds(self) -> Array:
        """Lower left and upper right corner of all there is, shape (2, 2), mm."""
        points = [extent(item) for item in self.items]
        both = np.concatenate([part for part in points if len(part)] or [np.zeros((1, 2))])
        return np.array([both.min(axis=0) - self.margin_mm, both.max(axis=0) + self.margin_mm])


LETTER_WIDTH = 0.56
"""Mean width of a letter over its height, for a plain sans-serif face."""


def text_width(text: str, height_mm: float) -> float:
    """Return about how wide a text is, mm."""
    return len(text) * height_mm * LETTER_WIDTH


def extent(item: Item) -> Array:
    """Return points that enclose an item, shape (K, 2)."""
    if isinstance(item, Shape):
        return np.concatenate(item.rings) if item.rings else np.zeros((0, 2))
    if isinstance(item, Label):
        return _label_extent(item)
    if isinstance(item, Dimension):
        start, end, away = dimension_line(item)
        room = away * (item.text_mm * 1.8)
        along = (end - start) / (np.hypot(*(end - start)) or 1.0)
        over = max(0.0, text_width(item.model_text, item.text_mm) - float(np.hypot(*(end - start)))) / 2
        return np.array([start - along * over + room, end + along * over + room, start - room, end - room])
    corners = item.clips[0]
    return np.asarray(corners @ item.matrix[:, :2].T + item.matrix[:, 2], dtype=np.float64)


def _label_extent(label: Label) -> Array:
    wide = text_width(label.text, label.height_mm)
    left = {"start": 0.0, "middle": -wide / 2, "end": -wide}[label.anchor]
    turn = np.radians(label.angle_deg)
    matrix = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    half = label.height_mm * 0.6
    box = np.array([[left, -half], [left + wide, -half], [left + wide, half], [left, half]])
    return np.asarray(box @ matrix.T + np.array(label.at), dtype=np.float64)


def dimension_line(item: Dimension) -> tuple[Array, Array, Array]:
    """Return both ends of a dimension line on paper, and the unit vector from the measured points towards it."""
    start, end = np.array(item.start), np.array(item.end)
    along = (end - start) / (float(np.hypot(*(end - start))) or 1.0)
    left = np.array([-along[1], along[0]])
    away = left * (1.0 if item.away_mm >= 0 else -1.0)
    return start + left * item.away_mm, end + left * item.away_mm, away


def signed_area(ring: Array) -> float:
    """Return the area of a ring, positive where it runs anticlockwise."""
    x, y = ring.T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2


def rectangle(u0: float, v0: float, u1: float, v1: float) -> Array:
    """Return the corners of an upright rectangle, anticlockwise, shape (4, 2)."""
    return np.array([[u0, v0], [u1, v0], [u1, v1], [u0, v1]], dtype=np.float64)


def line(*points: Sequence[float]) -> Array:
    """Return points as an array, shape (K, 2)."""
    return np.array(points, dtype=np.float64)
