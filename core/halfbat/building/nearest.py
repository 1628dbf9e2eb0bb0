"""Which wall a point belongs to."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from halfbat.building.structure import FaceOfWall, Structure
from halfbat.building.wall import Building, Wall


@dataclass(frozen=True, slots=True, eq=False)
class PointOnWall:
    """A point brought onto the nearest wall.

    Parameters
    ----------
    wall : Wall or FaceOfWall
        The nearest wall.
    along_m : float
        Distance from the wall's left end seen from outside, metres, within the wall.
    up_m : float
        Height above the wall's foot, metres, within the wall.
    distance_m : float
        How far the point was from there, metres.
    """

    wall: Wall | FaceOfWall
    along_m: float
    up_m: float
    distance_m: float


def nearest_wall(building: Building | Structure, point_m: npt.ArrayLike) -> PointOnWall:
    """Bring a point onto the nearest wall; of walls equally near, such as at a corner, onto the first.

    Parameters
    ----------
    building : Building or Structure
        With at least one wall.
    point_m : array_like, shape (3,)
        In the building's frame, metres.

    Returns
    -------
    PointOnWall
    """
    x, y, z = (float(value) for value in np.asarray(point_m, dtype=np.float64))
    return min((_onto(wall, x, y, z) for wall in building.walls), key=lambda found: found.distance_m)


def _onto(wall: Wall | FaceOfWall, x: float, y: float, z: float) -> PointOnWall:
    offset = np.array([x, y]) - wall.start_m
    along = float(np.clip(offset @ wall.along, 0.0, wall.length_m))
    up = float(np.clip(z - wall.base_m, 0.0, wall.height_m))
    in_plan = float(np.hypot(*(offset - along * wall.along)))
    return PointOnWall(wall, along, up, float(np.hypot(in_plan, z - wall.base_m - up)))
