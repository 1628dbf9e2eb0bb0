"""Looking at the model from a direction, without perspective."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from halfbat.drawings.drawing import Array
from halfbat.parts.kit_plan import Plan

LIGHT = (-0.64, 0.48, 0.61)
"""Where the light comes from, along right, up and toward of a view: over the left shoulder, so that front, side and
top of a building differ in tone, and every picture is lit alike."""
_SHADE = 0.74


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """A direction of looking.

    Parameters
    ----------
    right, up, toward : ndarray (3,)
        Unit vectors in the building's frame: along x and y of the paper, and towards the eye.
    """

    right: Array
    up: Array
    toward: Array

    def flat(self, points: Array) -> Array:
        """Return points on paper at their true size, shape (K, 2)."""
        return np.asarray(points @ np.column_stack([self.right, self.up]), dtype=np.float64)


def view_from(toward: tuple[float, float, float] | Array) -> View:
    """Return the view of an eye in a direction, upright things upright."""
    eye = np.asarray(toward, dtype=np.float64)
    eye = eye / np.linalg.norm(eye)
    right = np.cross([0.0, 0.0, 1.0], eye)
    right = np.array([1.0, 0.0, 0.0]) if np.linalg.norm(right) < 1e-9 else right / np.linalg.norm(right)
    return View(right, np.cross(eye, right), eye)


def of_building(plan: Plan) -> View:
    """Return a view of a building in which its longest wall and those to the right of it are seen, from above.

    Parameters
    ----------
    plan : Plan
        Its walls; without any, it is seen along its axes.
    """
    if not plan.walls:
        return view_from((0.62, -0.86, 0.62))
    longest = max(plan.walls, key=lambda wall: round(wall.facing.laying.length_mm, 3)).facing
    across = longest.outward * 0.86 + longest.along * 0.62
    return view_from((float(across[0]), float(across[1]), 0.62))


def facing(along: Array, outward: Array) -> View:
    """Return a view of a wall a little from its right and from above.

    Parameters
    ----------
    along, outward : ndarray (2,)
        Of the wall, in plan.
    """
    plan = outward * 0.9 + along * 0.42
    return view_from((float(plan[0]), float(plan[1]), 0.42))


def tone(normal: Array, view: View, colour: tuple[int, int, int]) -> str:
    """Return the colour of a face in the light as ``#rrggbb``."""
    light = np.column_stack([view.right, view.up, view.toward]) @ np.asarray(LIGHT)
    share = _SHADE + (1 - _SHADE) * max(0.0, float(normal @ light / np.linalg.norm(light)))
    return "#" + "".join(f"{min(255, round(part * share)):02x}" for part in colour)
