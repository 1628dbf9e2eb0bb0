"""Cable runs that are bent by hand: told by their points, and written down as the path of their text."""

from __future__ import annotations

from typing import Any

import numpy as np
from bpy.types import Object
from numpy.typing import NDArray

from halfbat.settings import CableRunRequest, SeamRequest
from halfbat.sites.moving import bend_m
from halfbat.sites.paths import aligned, bent, corners_m
from halfbat.sites.walls import Sites
from halfbat.units import LengthStyle

from .placed import request_of, write_request
from .placed_properties import placed_data
from .placed_shapes import words_of

LEFT_WALL = "It had left its wall and was brought back onto it: cable runs lie on walls"
OFF_PLANE_M = 0.005
"""A line that is nearer to its wall than this never left it."""


def was_bent(item: Object, line: NDArray[np.float64]) -> bool:
    """Tell whether the line of a seam, run or pipe, points (K, 3) in metres, is another than was drawn."""
    data = placed_data(item)
    if data.drawn:
        return bool(words_of(line) != data.drawn)
    return bend_m(line[:, [0, 2]]) is not None  # of a file that did not say yet what was drawn


def aligned_request(item: Object, sites: Sites, style: LengthStyle) -> Any:  # noqa: ANN401 - a request of one of the lists
    """Return what an object is, its path moved to begin where its place was typed."""
    request = request_of(item)
    if isinstance(request, SeamRequest | CableRunRequest) and request.path:
        given: Any = request
        there = aligned(sites, given, style)
        if there != request:
            write_request(item, there)
        return there
    return request


def write_bend(item: Object, line: NDArray[np.float64], sites: Sites, *, snap: bool, style: LengthStyle) -> str:
    """Write down how a cable run, or a seam under one, was bent by hand, and return what is worth a word.

    Parameters
    ----------
    item : Object
        On a wall.
    line : ndarray, shape (K, 3)
        Its points in its own frame, metres: along the wall, into it and up.
    sites, snap, style
        As for `halfbat.sites.paths.bent`.

    Raises
    ------
    KitError
        Its wall is not there, or its path before cannot be read.
    """
    request = request_of(item)
    start = corners_m(sites, request)[0]
    write_request(item, bent(sites, request, line[:, [0, 2]] + start, snap=snap, style=style))
    return LEFT_WALL if np.abs(line[:, 1]).max() > OFF_PLANE_M else ""
