"""Copings: stones along the top of a wall, level or raking, or bricks on edge along a level one."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from halfbat.settings import FeatureRequest
from halfbat.surfaces.dressing import Dressing, reach_of, void
from halfbat.surfaces.features.site import FeatureSite
from halfbat.surfaces.features.string_course import STONE_LENGTH_M
from halfbat.surfaces.laying import Array
from halfbat.surfaces.masonry import Masonry
from halfbat.surfaces.opening_units import OpeningUnits, Unit, ring

#: A coping throws water at least 40 mm clear of the wall (cast-stone guide citing a BS code); a little more is usual.
PROJECTION_M = 0.045
#: Height of coping stones where none is given: common practice, no source.
STONE_HEIGHT_M = 0.075
_LEVEL = 1e-6


def coping(request: FeatureRequest, site: FeatureSite, where: str) -> Dressing:
    """Lay a coping along the top of a wall.

    Parameters
    ----------
    request : FeatureRequest
        Height, projection, and stone or brick on edge.
    site : FeatureSite
        The wall.
    where : str
        Name for refusals.

    Returns
    -------
    Dressing
        A level coping of stone goes down to a bed joint; bricks on edge are three to the length of a brick, and as
        high as a brick is wide.
    """
    masonry = site.masonry
    stone = request.material == "stone"
    usual = STONE_HEIGHT_M if stone else masonry.brick.width_m
    height = site.mm(request.height, usual, where)
    if site.level_top and stone:
        bottoms = masonry.courses[0]
        height = site.height_mm - float(bottoms[np.argmin(np.abs(bottoms - (site.height_mm - height)))])
    proud = stone or bool(request.projection)
    level = site.raised(site.mm(request.projection, PROJECTION_M, where)) if proud else 0.0
    pitch = masonry.mm(STONE_LENGTH_M if stone else masonry.brick.height_m + masonry.brick.joint_m)
    line = _top_line(site.outline_mm)
    inner = _inside(line, height)
    bed = _inside(line, height + (0.0 if site.level_top and stone else masonry.joint_v_mm))
    kind = "coping stone" if stone else "coping brick"
    stones = _pieces(line, inner, pitch, masonry, Unit(line, kind, level))
    behind = -site.joint_depth_mm
    under, base = _between(line, bed, behind), _between(line, inner, level + behind)
    return Dressing("coping", where, (), (under, base, stones), _voids(line, bed, site))


def _pieces(line: Array, inner: Array, pitch: float, masonry: Masonry, like: Unit) -> tuple[Unit, ...]:
    """Divide a coping into equal pieces, with joints between them and at its corners."""
    joint = masonry.joint_u_mm
    pieces: list[Unit] = []
    edges = list(zip(pairwise(line), pairwise(inner), strict=True))
    for edge, ((a, b), (c, d)) in enumerate(edges):
        length = float(np.hypot(*(b - a)))
        count = max(1, min(int(length / (joint + 2 * masonry.least_mm)), round(length / pitch)))
        half = joint / 2 / length
        for place in range(count):
            open_left = place < count - 1 or edge < len(edges) - 1
            t0 = place / count + half * (place > 0)
            t1 = (place + 1) / count - half * open_left
            corners = [a + (b - a) * t0, c + (d - c) * t0, c + (d - c) * t1, a + (b - a) * t1]
            pieces.append(Unit(ring(corners), like.kind, like.level_mm))
    return tuple(pieces)


def _between(line: Array, inner: Array, level: float) -> tuple[Unit, ...]:
    """Return the strip between two lines at a level."""
    edges = zip(pairwise(line), pairwise(inner), strict=True)
    return tuple(Unit(ring([a, c, d, b]), "", level) for (a, b), (c, d) in edges)


def _top_line(outline: Array) -> Array:
    """Return the upper edges of an outline from right to left."""
    u = outline[:, 0]
    right = np.flatnonzero(np.abs(u - u.max()) < _LEVEL)
    start = int(right[np.argmax(outline[right, 1])])
    ordered = np.roll(outline, -start, axis=0)
    left = np.flatnonzero(np.abs(ordered[:, 0] - u.min()) < _LEVEL)
    end = int(left[np.argmax(ordered[left, 1])])
    line: Array = ordered[: end + 1]
    return line


def _inside(line: Array, height: float) -> Array:
    """Move a line from right to left inward; its ends go straight down, its corners along their bisectors."""
    along = np.diff(line, axis=0)
    along /= np.linalg.norm(along, axis=1)[:, None]
    inward = np.stack([-along[:, 1], along[:, 0]], axis=1)
    moved = line.copy()
    for place in range(len(line)):
        before, after = inward[max(place - 1, 0)], inward[min(place, len(inward) - 1)]
        if place in (0, len(line) - 1):
            moved[place] = line[place] + np.array([0.0, height / after[1] if place == 0 else height / before[1]])
        else:
            moved[place] = line[place] + (before + after) * (height / (1.0 + float(before @ after)))
    return moved


def _voids(line: Array, bed: Array, site: FeatureSite) -> tuple[OpeningUnits, ...]:
    """Where a level coping takes the place of bricks; under a raking one they are cut by it."""
    if not site.level_top:
        return ()
    u0, v0, u1, v1 = reach_of(np.concatenate([line, bed]))
    return (void(u0, v0, u1, v1),)
