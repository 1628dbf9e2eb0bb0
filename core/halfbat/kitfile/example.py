"""A small invented building to try everything with: a gate lodge with a door, a window and a slate roof."""

from __future__ import annotations

import numpy as np

from halfbat.building import Mesh
from halfbat.settings import BrickSettings, FeatureRequest, KitSettings, RoofSettings, Settings

LENGTH_M, WIDTH_M, EAVES_M, RIDGE_M, REVEAL_M = 6.29, 4.04, 2.7, 4.5, 0.1
DOOR_M = (0.89, 1.8, 2.1)
"""Left and right jamb from the left end of the front, and height of the head."""
WINDOW_M = (3.59, 4.95, 0.9, 2.1)
"""Left and right jamb, sill and head."""

_FRONT_LOW = (0, 10, 11, 12, 13, 1, 15, 14, 17, 4)
_FRONT_HIGH = (1, 5, 4, 17, 16, 15)


def example_mesh() -> Mesh:
    """Return the example building at full size.

    The front is two polygons that meet at the corners of the window, as a modeller would cut it, for a polygon with a
    hole is not to be had in Blender.

    Returns
    -------
    Mesh
        Closed, with outward faces; the front looks along -y.
    """
    x, y, z = LENGTH_M, WIDTH_M, EAVES_M
    body = [(0, 0, 0), (x, 0, 0), (x, y, 0), (0, y, 0), (0, 0, z), (x, 0, z), (x, y, z), (0, y, z)]
    ridge = [(0, y / 2, RIDGE_M), (x, y / 2, RIDGE_M)]
    left, right, top = DOOR_M
    door = [(left, 0.0), (left, top), (right, top), (right, 0.0)]
    left, right, sill, top = WINDOW_M
    window = [(left, sill), (right, sill), (right, top), (left, top)]
    front = [(u, 0.0, v) for u, v in (*door, *window)]
    behind = [(u, REVEAL_M, v) for u, v in (*door, *window)]
    faces = [
        _FRONT_LOW,
        _FRONT_HIGH,
        (1, 2, 6, 9, 5),
        (2, 3, 7, 6),
        (3, 0, 4, 8, 7),
        (4, 5, 9, 8),
        (6, 7, 8, 9),
        (3, 2, 1, 13, 21, 18, 10, 0),
        *((i, i + 8, i + 9, i + 1) for i in (10, 11, 12)),
        *((i, i + 8, j + 8, j) for i, j in ((15, 14), (16, 15), (17, 16), (14, 17))),
        (21, 20, 19, 18),
        (22, 23, 24, 25),
    ]
    vertices = np.array([*body, *ridge, *front, *behind], dtype=np.float64)
    return Mesh(vertices, tuple(faces), "gate lodge")


def example_settings() -> Settings:
    """Return settings that suit the example building."""
    return Settings(
        kit=KitSettings(name="Gate lodge", scale="1:76.2"),
        brick=BrickSettings(bond="english_garden_wall"),
        roof=RoofSettings(covering="slate", slate_size="countess"),
        features=(FeatureRequest("all", "plinth", height="3 courses"),),
    )
