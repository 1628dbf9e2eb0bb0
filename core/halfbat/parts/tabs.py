"""Tabs that carry the number of a part too small for it, and are cut off when the part is glued on."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.glyphs import LEAST_HEIGHT, text_size, text_strokes
from halfbat.parts.placing import Matrix
from halfbat.settings import ResinProcess
from halfbat.solids.solid import Solid

Ring = NDArray[np.float64]
NECK_MM = 0.8
INTO_PART_MM = 0.2
TAB_THICKNESS_MM = 1.0
TAB_MARGIN_MM = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class Tab:
    """Outlines of a tab, mm.

    Parameters
    ----------
    neck, plate : ndarray (4, 2)
        What holds it to the part, reaching `INTO_PART_MM` into it, and the tab itself.
    strokes : tuple of ndarray (K, 2)
        Number to be engraved in its front.
    depth_mm : float
        How deep.
    length_mm : float
        How far it reaches out of the part.
    """

    neck: Ring
    plate: Ring
    strokes: tuple[Ring, ...]
    depth_mm: float
    length_mm: float

    @property
    def neck_outside(self) -> Ring:
        """Neck of a tab that stands on a part, without what reaches into that."""
        return np.maximum(self.neck, (-np.inf, float(self.neck[:, 1].min()) + INTO_PART_MM))

    def placed(self, quarters: int, to_mm: tuple[float, float]) -> Tab:
        """Turn the tab anticlockwise by quarters and move the point where it meets its part."""
        cos, sin = ((1, 0), (0, 1), (-1, 0), (0, -1))[quarters % 4]
        turn = np.array([[cos, sin], [-sin, cos]], dtype=np.float64)
        neck, plate, *strokes = (
            np.asarray(ring @ turn + np.array(to_mm)) for ring in (self.neck, self.plate, *self.strokes)
        )
        return Tab(neck, plate, tuple(strokes), self.depth_mm, self.length_mm)


def number_tab(number: str, height_mm: float, resin: ResinProcess) -> Tab:
    """Draw a tab that reaches from the origin along negative x; its number reads along x from the front.

    Parameters
    ----------
    number : str
        What is engraved.
    height_mm : float
        Wanted height of the digits.
    resin : ResinProcess
        Its least stroke and depth.
    """
    stroke = max(resin.min_stroke_mm, resin.min_gap_mm)
    size = max(height_mm, LEAST_HEIGHT * stroke)
    wide, tall = text_size(number, size, stroke)
    length = NECK_MM + wide + 2 * TAB_MARGIN_MM
    neck = box(-NECK_MM - INTO_PART_MM, -NECK_MM / 2, INTO_PART_MM, NECK_MM / 2)
    plate = box(-length, -tall / 2 - TAB_MARGIN_MM, -NECK_MM, tall / 2 + TAB_MARGIN_MM)
    corner = np.array([TAB_MARGIN_MM - length, -tall / 2])
    strokes = tuple(ring + corner for ring in text_strokes(number, size, stroke))
    layers = max(1, round(resin.min_mark_depth_mm / resin.part_layer_mm))
    return Tab(neck, plate, strokes, min(layers * resin.part_layer_mm, TAB_THICKNESS_MM / 2), length)


def cut_off_mm(tab: Tab, solid: Solid, place: Matrix) -> Ring:
    """Return the corners of the boxes that a tab and its neck take up, which are cut off.

    Parameters
    ----------
    tab : Tab
        In its place.
    solid : Solid
        The part with the tab, in the frame that the tab is drawn in.
    place : ndarray (4, 4)
        Matrix from that frame to the building.

    Returns
    -------
    ndarray (2, 8, 3)
        In the building's frame, the last coordinate changing first. The neck's box takes in what of it is inside the
        part, which may lie over the end of that.
    """
    low, high = solid.bounds_mm[:, 2]
    boxes = []
    for ring in (tab.plate, tab.neck):
        ends = np.stack([[*ring.min(axis=0), low], [*ring.max(axis=0), high]])
        boxes.append(np.array(list(product(*ends.T.tolist()))) @ place[:3, :3].T + place[:3, 3])
    return np.stack(boxes)


def box(x0: float, y0: float, x1: float, y1: float) -> Ring:
    """Return the ring of an upright rectangle."""
    return np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])
