"""Openings found in the mesh are hung into the walls of the structure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from halfbat.building.openings_found import FoundOpening
from halfbat.building.rings import inside_rings, ring_area
from halfbat.building.structure import FaceOfWall, HoleOpening

Array = npt.NDArray[np.float64]

#: A wall may have moved this far since its opening was found, metres.
_MOVED_M = 0.15
#: An opening that reaches further past an end of a wall belongs to no wall as it came out.
_BEYOND_M = 0.05


def with_openings(
    walls: Sequence[FaceOfWall], openings: Sequence[FoundOpening]
) -> tuple[list[FaceOfWall], list[FoundOpening]]:
    """Give each wall its openings.

    Parameters
    ----------
    walls : sequence of FaceOfWall
        Without openings.
    openings : sequence of FoundOpening
        From the mesh.

    Returns
    -------
    walls : list of FaceOfWall
        Openings from left to right.
    homeless : list of FoundOpening
        Those in no wall of the structure.
    """
    of_wall: list[list[HoleOpening]] = [[] for _ in walls]
    homeless = []
    for opening in openings:
        near = [(off, wall) for wall in walls if (off := _distance(wall, opening)) < _MOVED_M]
        if not near:
            homeless.append(opening)
            continue
        wall = min(near, key=lambda found: found[0])[1]
        of_wall[wall.index].append(HoleOpening(_ring(wall, opening), opening.depth_m))
    hung = [
        replace(wall, openings=tuple(sorted(found, key=lambda one: one.ring_m.min(axis=0).tolist())))
        for wall, found in zip(walls, of_wall, strict=True)
    ]
    return hung, homeless


def _flat(wall: FaceOfWall, points: Array) -> Array:
    return np.stack([(points[:, :2] - wall.start_m) @ wall.along, points[:, 2] - wall.base_m], axis=1)


def _ring(wall: FaceOfWall, opening: FoundOpening) -> Array:
    """Return the ring in the wall's frame, counter-clockwise; a doorway reaches down to the foot."""
    ring = _flat(wall, opening.ring_m)
    return ring if ring_area(ring) > 0.0 else ring[::-1]


def _distance(wall: FaceOfWall, opening: FoundOpening) -> float:
    """Return how far an opening is from the plane of a wall; infinite if it does not look its way or lie in it."""
    middle = opening.ring_m.mean(axis=0, keepdims=True)
    along = _flat(wall, opening.ring_m)[:, 0]
    if along.min() < -_BEYOND_M or along.max() > wall.length_m + _BEYOND_M:
        return float("inf")
    if float(opening.normal[:2] @ wall.outward) < 0.97 or not inside_rings([wall.outline_m], _flat(wall, middle))[0]:
        return float("inf")
    return abs(float((middle[0, :2] - wall.start_m) @ wall.outward))
