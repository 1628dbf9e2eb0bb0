"""Ridge and hip tiles: their section over two slopes, and how many make a run."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, radians, sqrt, tan

import numpy as np
from numpy.typing import NDArray

from halfbat.errors import KitError
from halfbat.units import Scale

Array = NDArray[np.float64]
_EXACT = 1e-6
HALF_ROUND_RADIUS_M = 0.125
ANGLE_WING_M = 0.150
THICKNESS_M = 0.015
LEAST_COVER_M = 0.075
"""How far a ridge tile covers the top course on each side, at least (published trade pages)."""
_ARC_STEPS = 12


@dataclass(frozen=True, slots=True, eq=False)
class RidgeRun:
    """A run of ridge or hip tiles, model millimetres.

    Parameters
    ----------
    section_mm : ndarray (K, 2)
        Anticlockwise section of a solid that sits on both slopes: across the run (to the right, seen along it) and up,
        from the line where the two finished surfaces meet.
    joints_mm : ndarray (count - 1,)
        Where one tile meets the next along the run.
    count : int
        Tiles.
    tile_mm : float
        Length of each as laid.
    wings_mm : tuple of float
        How far down the left and right slope the section reaches.
    """

    section_mm: Array
    joints_mm: Array
    count: int
    tile_mm: float
    wings_mm: tuple[float, float]


def ridge_run(
    length_mm: float,
    kind: str,
    scale: Scale,
    slopes_deg: tuple[float, float],
    *,
    tile_length_m: float = 0.450,
    least_thickness_mm: float = 0.0,
    where: str = "ridge",
) -> RidgeRun:
    """Set out ridge or hip tiles.

    Parameters
    ----------
    length_mm : float
        Of the run.
    kind : {"half round", "angle"}
        Shape of the tiles.
    scale : Scale
        How small.
    slopes_deg : tuple of float
        How steeply the two slopes fall away to the left and right, in the section across the run: their pitches at a
        ridge, less at a hip.
    tile_length_m : float
        Length of one tile, full size; usual 0.300 to 0.450.
    least_thickness_mm : float
        Thinnest the printer makes at the crown.
    where : str
        Name of the run for refusals.

    Returns
    -------
    RidgeRun
        Tiles of one length, the largest not over that asked for that fills the run.

    Raises
    ------
    KitError
        There is no run, or the slopes do not fall away.
    """
    left, right = slopes_deg
    if not length_mm > 0 or not -_EXACT <= min(left, right) <= max(left, right) < 85:
        raise KitError("no ridge tiles fit here", where, "leave them out with ridge = none")
    count = max(1, ceil(length_mm / scale.to_mm(tile_length_m) - _EXACT))
    thick = max(scale.to_mm(THICKNESS_M), least_thickness_mm)
    draw = _half_round if kind == "half round" else _angle
    section = draw(scale, (tan(radians(left)), tan(radians(right))), thick)
    feet = section[[0, 2]]
    wings = np.abs(feet[:, 0]) / np.cos(np.radians([left, right]))
    tile_mm = length_mm / count
    joints: Array = tile_mm * np.arange(1, count, dtype=np.float64)
    return RidgeRun(section, joints, count, tile_mm, (float(wings[0]), float(wings[1])))


def angle_for_deg(rafter_pitches_deg: tuple[float, float], tile_pitch_less_deg: float = 0.0) -> float:
    """Return the angle an angle ridge needs before the next smaller stock angle is taken (a maker's published rule).

    Parameters
    ----------
    rafter_pitches_deg : tuple of float
        Pitches of the rafters on both sides.
    tile_pitch_less_deg : float
        How much flatter the tiles lie than the rafters.
    """
    return 180.0 - sum(rafter_pitches_deg) + 2 * tile_pitch_less_deg


def _angle(scale: Scale, falls: tuple[float, float], thick: float) -> Array:
    """Two wings along the slopes."""
    reach = [scale.to_mm(ANGLE_WING_M) / sqrt(1 + fall**2) for fall in falls]
    up = [thick * sqrt(1 + fall**2) for fall in falls]
    left, right = (-reach[0], -reach[0] * falls[0]), (reach[1], -reach[1] * falls[1])
    # Where the upper sides of the wings meet.
    across = (up[1] - up[0]) / (falls[0] + falls[1]) if falls[0] + falls[1] > _EXACT else 0.0
    crown = (across, up[0] + across * falls[0])
    outer = [(right[0], right[1] + up[1]), crown, (left[0], left[1] + up[0])]
    return np.array([left, (0.0, 0.0), right, *outer])


def _half_round(scale: Scale, falls: tuple[float, float], thick: float) -> Array:
    """An arc resting on the slopes, raised where they are so steep that they would come through it."""
    radius = scale.to_mm(HALF_ROUND_RADIUS_M)
    centre = max(-radius * sum(falls) / 2, thick - radius)
    feet = []
    for fall in falls:
        a, b, c = 1 + fall**2, fall * centre, centre**2 - radius**2
        feet.append((-b + sqrt(b * b - a * c)) / a)
    left, right = (-feet[0], -feet[0] * falls[0]), (feet[1], -feet[1] * falls[1])
    start = np.arctan2(right[1] - centre, right[0])
    end = np.arctan2(left[1] - centre, left[0])
    end += 2 * np.pi if end < start else 0.0
    turn = np.linspace(start, end, _ARC_STEPS + 1)[1:-1]
    arc = np.column_stack([radius * np.cos(turn), centre + radius * np.sin(turn)])
    return np.concatenate([[left, (0.0, 0.0), right], arc])
