"""Where on a part a check found something: boxes in its print frame."""

from __future__ import annotations

import numpy as np

from halfbat.findings import Place
from halfbat.parts.part import Part
from halfbat.parts.seats import box_of, place_between
from halfbat.printing.rasters import Grid, Mask, pieces
from halfbat.printing.sections import Array


def place_of(
    part: Part, mask: Mask, grid: Grid, low_mm: float | None = None, high_mm: float | None = None
) -> Place | None:
    """Return where the largest piece of some pixels is.

    Parameters
    ----------
    part : Part
        The pixels are of.
    mask : ndarray of bool
        Seen from above the plate; its size may be less than the grid's.
    grid : Grid
        Of the pixels.
    low_mm, high_mm : float, optional
        Heights over the plate; by default those of the part.
    """
    found = pieces(mask, diagonal=True)
    if not found.count:
        return None
    largest = found.piece == int(np.argmax(found.sizes_px))
    row, start, end = (values[largest] for values in (found.row, found.start, found.end))
    x0, x1 = ((edge + grid.first[0]) * grid.pitch_mm[0] for edge in (int(start.min()), int(end.max())))
    y0, y1 = ((edge + grid.first[1]) * grid.pitch_mm[1] for edge in (int(row.min()), int(row.max()) + 1))
    floor, top = (float(value) for value in part.solid.bounds_mm[:, 2])
    heights = floor if low_mm is None else low_mm, top if high_mm is None else high_mm
    return place_between(part.number, np.array([[x0, y0, heights[0]], [x1, y1, heights[1]]]))


def place_of_triangles(part: Part, which: Mask, areas: Array) -> Place | None:
    """Return where those of some triangles are that hang together with the largest.

    Parameters
    ----------
    part : Part
        They belong to.
    which : ndarray of bool (T,)
        The triangles.
    areas : ndarray (T,)
        How large each is.
    """
    chosen = part.solid.triangles[which]
    if not len(chosen):
        return None
    reached = np.zeros(len(part.solid.vertices), dtype=np.bool_)
    reached[chosen[int(np.argmax(areas[which]))]] = True
    while True:
        joined = chosen[reached[chosen].any(axis=1)]
        if reached[joined].all():
            return place_between(part.number, box_of(part.solid.vertices[reached]))
        reached[joined] = True


def place_in_building(part: Part, points_mm: Array) -> Place:
    """Return where on a part some points (N, 3) of the building's frame are."""
    return place_between(part.number, box_of((points_mm - part.place[:3, 3]) @ part.place[:3, :3]))
