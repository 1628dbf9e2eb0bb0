"""The outline of a wall plane: an upright rectangle, or why it is none."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from halfbat.building.planes import LEVEL_DEG, PlaneFace

Array = npt.NDArray[np.float64]

#: Heights that differ by less than this are one height: two thirds of a brick course.
LEVEL_M = 0.05
#: A wall may lean by this much and still be taken as upright.
LEAN_DEG = 2.0


class Fault(StrEnum):
    """Why the outline of a wall is not a plain rectangle."""

    HOLES = "holes"
    TOP = "top"
    STEP = "step"
    FOOT = "foot"
    NOTCH = "notch"
    LEAN = "lean"


@dataclass(frozen=True, slots=True, eq=False)
class WallFace:
    """A wall plane measured.

    Parameters
    ----------
    plane : PlaneFace
        Outward.
    left_m, right_m : ndarray, shape (2,)
        Its ends in plan at the foot, left and right seen from outside.
    foot_m, top_m : tuple of float
        Lowest and highest height at its left and at its right end.
    low_m, high_m : float
        Lowest and highest height of all its corners.
    fault : Fault or None
        Why it is not a rectangle.
    """

    plane: PlaneFace
    left_m: Array
    right_m: Array
    foot_m: tuple[float, float]
    top_m: tuple[float, float]
    low_m: float
    high_m: float
    fault: Fault | None

    @property
    def length_m(self) -> float:
        """Length in plan."""
        return float(np.hypot(*(self.right_m - self.left_m)))

    @property
    def lean_deg(self) -> float:
        """Angle from upright; above 0 it leans back, its face looking up."""
        return 90.0 - self.plane.tilt_deg


def measure_wall(points: Array, plane: PlaneFace) -> WallFace:
    """Measure a wall plane.

    Parameters
    ----------
    points : ndarray, shape (N, 3)
        Points of the planes, metres.
    plane : PlaneFace
        An upright one, outward.

    Returns
    -------
    WallFace
    """
    corners = points[np.concatenate(plane.rings)]
    u = plane.axes[0][:2]
    along = corners[:, :2] @ u
    left_at, right_at = float(along.min()), float(along.max())
    # A leaning neighbour carries the corner along with it, so the sides may lean too.
    play = 0.02 + math.tan(math.radians(LEAN_DEG)) * float(np.ptp(corners[:, 2]))
    play = min(play, (right_at - left_at) / 3.0)
    left, right = along <= left_at + play, along >= right_at - play
    z = corners[:, 2]
    foot = (float(z[left].min()), float(z[right].min()))
    top = (float(z[left].max()), float(z[right].max()))
    ends = [corners[side][np.argmin(z[side])][:2] for side in (left, right)]
    ring = points[plane.rings[0]]
    fault = _fault(plane, np.stack([ring[:, :2] @ u, ring[:, 2]], axis=1), play, foot)
    return WallFace(plane, ends[0], ends[1], foot, top, float(z.min()), float(z.max()), fault)


def _fault(plane: PlaneFace, ring: Array, play: float, foot: tuple[float, float]) -> Fault | None:
    """Say why a ring of lengths and heights, counter-clockwise, is not a rectangle."""
    ahead = np.roll(ring, -1, axis=0)
    run, rise = (ahead - ring).T
    # Counter-clockwise, the foot is walked to the right and the top to the left.
    below, above = run > play, run < -play
    raking = np.abs(rise) > np.maximum(LEVEL_M, math.tan(math.radians(LEVEL_DEG)) * np.abs(run))
    left_at, right_at = float(ring[:, 0].min()), float(ring[:, 0].max())
    low = float(ring[:, 1].min())
    raised = bool(np.any(np.minimum(ring[:, 1], ahead[:, 1])[below] > low + LEVEL_M))
    doorway = raised and (run[below].sum() > 1.05 * (right_at - left_at) or abs(foot[1] - foot[0]) <= LEVEL_M)
    middle = np.minimum(ring[:, 0] - left_at, right_at - ring[:, 0]) > play
    steps = middle & ~below & ~above & (np.abs(rise) > LEVEL_M)
    whole = (right_at - left_at) * (float(ring[:, 1].max()) - low)
    checks = (
        (len(plane.rings) > 1, Fault.HOLES),
        (abs(90.0 - plane.tilt_deg) > LEAN_DEG, Fault.LEAN),
        (bool(np.any(raking & above)), Fault.TOP),
        (doorway, Fault.NOTCH),
        (raised or bool(np.any((np.abs(rise) > LEVEL_M) & below)), Fault.FOOT),
        (bool(np.any(steps)), Fault.STEP),
        (plane.area_m2 < 0.75 * whole, Fault.NOTCH),
    )
    return next((fault for wrong, fault in checks if wrong), None)
