"""Which side of each plane is outside."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from halfbat.building.planes import PlaneFace, PlaneKind
from halfbat.building.rings import inner_spot, inside_rings

Array = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

#: Rays leave this far off the plane, metres: more than its 2 mm of play.
_OFF_M = 0.003
#: Headings of the rays: no two alike by symmetry, none along an axis.
_HEADINGS = np.radians(7.3 + 360.0 / 9.0 * np.arange(9) + 2.1 * np.arange(9) ** 2)


@dataclass(frozen=True, slots=True, eq=False)
class Oriented:
    """Planes that look outward.

    Parameters
    ----------
    planes : tuple of PlaneFace
        Outward, inner ones left out.
    inner : tuple of PlaneFace
        Planes with the inside of the building on both sides, and those of rooms shut on all sides.
    turned : tuple of int
        Faces of the mesh as read that ran the wrong way round.
    """

    planes: tuple[PlaneFace, ...]
    inner: tuple[PlaneFace, ...]
    turned: tuple[int, ...]


def orient_planes(points: Array, planes: list[PlaneFace]) -> Oriented:
    """Turn planes outward by counting what level rays cross, and set inner ones apart.

    Level rays do not mind a missing floor or lid. Nine of them vote, so that a door left open
    or a ray along an edge does no harm.

    Parameters
    ----------
    points : ndarray, shape (N, 3)
        Points of the planes, metres.
    planes : list of PlaneFace
        Looking any way.

    Returns
    -------
    Oriented
    """
    # A partition hides the outside from a parity count, and all its edges meet two more faces.
    partition = np.array([plane.loose for plane in planes])
    walls = np.array([plane.kind is PlaneKind.WALL for plane in planes])
    if not np.any(walls & ~partition):
        partition[:] = False
    targets = [plane for plane, left_out in zip(planes, partition, strict=True) if not left_out]
    spots = np.array([_spot(points, plane) for plane in planes])
    normals = np.array([plane.normal for plane in planes])
    front, front_shut = _inside(points, targets, spots + _OFF_M * normals)
    back, back_shut = _inside(points, targets, spots - _OFF_M * normals)
    # A room shut on all sides is inside too, though its rays cross two shells.
    inner = (front & back & partition) | (np.where(front, back_shut, front_shut) & (front != back))
    outward = [plane.flipped() if f and not b else plane for plane, f, b in zip(planes, front, back, strict=True)]
    unsure = front == back
    outward = [_by_lie(plane) if doubt else plane for plane, doubt in zip(outward, unsure, strict=True)]
    kept = tuple(plane for plane, dropped in zip(outward, inner, strict=True) if not dropped)
    turned = [plane.faces[~plane.agrees] for plane in kept]
    return Oriented(
        kept,
        tuple(plane for plane, dropped in zip(outward, inner, strict=True) if dropped),
        tuple(np.sort(np.concatenate(turned)).tolist()) if turned else (),
    )


def _by_lie(plane: PlaneFace) -> PlaneFace:
    """Leave a plane whose sides are alike the way most of its area runs."""
    return plane if np.count_nonzero(plane.agrees) * 2 >= len(plane.agrees) else plane.flipped()


def _spot(points: Array, plane: PlaneFace) -> Array:
    """Return a point well inside the polygon, shape (3,)."""
    flat = inner_spot(plane.flat_rings(points))
    u, v = plane.axes
    spot: Array = plane.centre + flat[0] * u + flat[1] * v
    return spot


def _inside(points: Array, targets: list[PlaneFace], starts: Array) -> tuple[Flags, Flags]:
    """Say which starts lie inside by most of their level rays, and which see no way out, not even up."""
    level = np.stack([np.cos(_HEADINGS), np.sin(_HEADINGS), np.zeros(len(_HEADINGS))], axis=1)
    ways = np.vstack([level, (0.0, 0.0, 1.0)])
    struck_any = np.zeros((len(starts), len(ways)), dtype=np.bool_)
    odd = np.zeros((len(starts), len(ways)), dtype=np.bool_)
    for plane in targets:
        slope = ways @ plane.normal
        ahead = np.abs(slope) > math.sin(math.radians(0.05))
        # Straight up only floors and roofs are in the way: a wall may lean over its own ray.
        ahead[-1] &= plane.kind is not PlaneKind.WALL
        reach = (plane.centre - starts) @ plane.normal
        distance = reach[:, None] / np.where(ahead, slope, 1.0)[None, :]
        # A level ray stays at its height, so most planes are out of its reach.
        heights = points[plane.rings[0], 2]
        reached = ((starts[:, 2] >= heights.min()) & (starts[:, 2] <= heights.max()))[:, None] | (ways[:, 2] > 0.5)
        start, way = np.nonzero((distance > 0.0) & ahead[None, :] & reached)
        struck = starts[start] + distance[start, way][:, None] * ways[way]
        hit = inside_rings(plane.flat_rings(points), plane.flat(struck))
        odd[start[hit], way[hit]] ^= True
        struck_any[start[hit], way[hit]] = True
    votes: Flags = np.count_nonzero(odd[:, : len(level)], axis=1) * 2 > len(level)
    shut: Flags = np.all(struck_any, axis=1)
    return votes, shut
