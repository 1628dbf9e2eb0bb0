"""The cuts that a maker asks for on a wall: seams, and cable runs with a seam under them, upright or bent."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np

from halfbat.errors import KitError
from halfbat.parts.asked_cuts import CutRequest
from halfbat.parts.bent_line import Point, plain_points
from halfbat.parts.bent_paths import OnWall, bent_line, path_on_wall, require_seam
from halfbat.parts.cuts import SeamStyle
from halfbat.parts.wall_run import WallRun
from halfbat.settings import Settings
from halfbat.surfaces.chosen import length_in_bricks_m
from halfbat.units import Scale

_SAME_MM = 1e-6


def cut_requests(
    letter: str, wall: WallRun, settings: Settings, scale: Scale, top_mm: Callable[[float], float]
) -> Iterator[CutRequest]:
    """Yield the cuts asked for on a wall.

    Parameters
    ----------
    letter : str
        Of the wall.
    wall : WallRun
        What is cut.
    settings, scale
        Of the kit.
    top_mm : callable
        Height of the wall at a place along it.

    Raises
    ------
    KitError
        No seam can follow a path, or one is asked for that no cable run hides.
    """
    for seam in settings.seams:
        if seam.wall == letter:
            style = SeamStyle(seam.hide) if seam.hide else None
            usual = style or SeamStyle(settings.seam.hide)
            if seam.path and usual is not SeamStyle.CABLE_RUN:
                raise KitError(
                    f"a seam that bends cannot be hidden as '{usual}'",
                    f"wall {letter}",
                    "hide it under a cable run, or let it go straight up",
                )
            yield _request(seam, style, wall, settings, scale, top_mm)
    for run in settings.cable_runs:
        if run.wall == letter and run.seam:
            yield _request(run, SeamStyle.CABLE_RUN, wall, settings, scale, top_mm)


def _request(
    asked: OnWall,
    style: SeamStyle | None,
    wall: WallRun,
    settings: Settings,
    scale: Scale,
    top_mm: Callable[[float], float],
) -> CutRequest:
    straight = CutRequest(scale.to_mm(length_in_bricks_m(asked.at, settings.brick)), style)
    path = path_on_wall(asked, settings, scale, top_mm, wall.where)
    if not path:
        return straight
    require_seam(path, top_mm(path[-1][0]), scale, wall.where)
    corners = on_pixels(path, wall)
    if len(corners) == 2:
        return replace(straight, position_mm=corners[0][0])
    line = bent_line(corners, settings.seam.cover_width_mm, scale, wall.where)
    return CutRequest(line.points[0][0], SeamStyle.CABLE_RUN, line)


def on_pixels(path: tuple[Point, ...], wall: WallRun) -> tuple[Point, ...]:
    """Set the corners of a path on pixels, as straight cuts are, and its ends on the foot and the top of the bricks."""
    along, up = np.array(path).T
    levels = np.clip(wall.lattice_v.round(up), 0.0, wall.height_mm)
    found = list(zip(wall.lattice_u.round(along).tolist(), levels.tolist(), strict=True))
    found[0], found[-1] = (found[0][0], 0.0), (found[-1][0], wall.height_mm)
    return plain_points(found, _SAME_MM)
