"""Which place on which wall or slope a point or a ray of sight means."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from halfbat.sites.slopes import SlopeSite
from halfbat.sites.walls import Sites, WallSite

REACH_M = 2.0
"""A thing further from every wall than this stands on none."""
HOLD = 0.25
"""Share of its distance that counts for the wall a thing is on already, so that it does not jump to the next one."""
BESIDE_M = 0.3
_LEVEL = 1e-9


@dataclass(frozen=True, slots=True)
class Spot:
    """A place on a wall or a slope, full size.

    Parameters
    ----------
    wall : str
        Letter of the wall or the slope.
    along_m, up_m : float
        From its left end seen from outside, and from its foot or its eaves.
    """

    wall: str
    along_m: float
    up_m: float


def spot_at_point(sites: Sites, point_m: npt.ArrayLike, held: str = "", *, on_slopes: bool = False) -> Spot | None:
    """Return the place on the nearest wall, or slope.

    Parameters
    ----------
    sites : Sites
        The building.
    point_m : array_like, shape (3,)
        In the building's frame, metres.
    held : str
        Letter of the wall the thing is on already; it is left only for a wall that is much nearer.
    on_slopes : bool
        Look at slopes and not at walls.

    Returns
    -------
    Spot or None
        None where every wall is further away than `REACH_M`.
    """
    best: tuple[float, Spot] | None = None
    point = np.asarray(point_m, dtype=np.float64)
    for site in sites.slopes if on_slopes else sites.walls:
        distance, spot = _onto(site, point) if isinstance(site, WallSite) else _onto_slope(site, point)
        counts = distance * (HOLD if site.letter == held else 1.0)
        if counts <= REACH_M and (best is None or counts < best[0]):
            best = counts, spot
    return best[1] if best else None


def spot_on_ray(
    sites: Sites, origin_m: npt.ArrayLike, direction: npt.ArrayLike, *, on_slopes: bool = False
) -> Spot | None:
    """Return the place on the first wall, or slope, that a ray of sight meets from outside.

    Parameters
    ----------
    sites : Sites
        The building.
    origin_m, direction : array_like, shape (3,)
        In the building's frame; the direction may have any length.
    on_slopes : bool
        Look at slopes and not at walls.

    Returns
    -------
    Spot or None
        None where it meets no wall.
    """
    origin, ray = np.asarray(origin_m, dtype=np.float64), np.asarray(direction, dtype=np.float64)
    best: tuple[float, Spot] | None = None
    for site in sites.slopes if on_slopes else sites.walls:
        frame = site.frame()
        towards = -float(ray @ frame[:3, 1])
        if towards > -_LEVEL:
            continue
        reach = -float((frame[:3, 3] - origin) @ frame[:3, 1]) / towards
        met = origin + reach * ray - frame[:3, 3]
        along, up = float(met @ frame[:3, 0]), float(met @ frame[:3, 2])
        ring = site.wall.outline_m if isinstance(site, WallSite) else site.slope.outline_m
        if reach > 0 and _inside(ring, along, up) and (best is None or reach < best[0]):
            best = reach, Spot(site.letter, along, up)
    return best[1] if best else None


def _onto(site: WallSite, point: npt.NDArray[np.float64]) -> tuple[float, Spot]:
    """Return the distance of a point from a wall, and the nearest place on it."""
    wall = site.wall
    offset = point[:2] - wall.start_m
    along = float(np.clip(offset @ wall.along, 0.0, wall.length_m))
    up = float(np.clip(point[2] - wall.base_m, 0.0, site.top_m(along)))
    in_plan = float(np.hypot(*(offset - along * wall.along)))
    return float(np.hypot(in_plan, point[2] - wall.base_m - up)), Spot(site.letter, along, up)


def _onto_slope(site: SlopeSite, point: npt.NDArray[np.float64]) -> tuple[float, Spot]:
    """Return the distance of a point from a slope, and the nearest place in the box round it."""
    frame, ring = site.frame(), site.slope.outline_m
    offset = (point - frame[:3, 3]) @ frame[:3, :3]
    along, up = np.clip(offset[[0, 2]], ring.min(axis=0), ring.max(axis=0)).tolist()
    away = float(np.linalg.norm(offset - (along, 0.0, up)))
    # Of slopes whose boxes both hold it, the one it lies over counts.
    return away + (0.0 if _inside(ring, along, up) else BESIDE_M), Spot(site.letter, along, up)


def _inside(ring: npt.NDArray[np.float64], along: float, up: float) -> bool:
    """Tell whether a place lies within an outline, counting the edges above it."""
    a, b = ring, np.roll(ring, -1, axis=0)
    crosses = (a[:, 0] <= along) != (b[:, 0] <= along)
    a, b = a[crosses], b[crosses]
    heights = a[:, 1] + (along - a[:, 0]) / (b[:, 0] - a[:, 0]) * (b[:, 1] - a[:, 1])
    return int((heights > up).sum()) % 2 == 1
