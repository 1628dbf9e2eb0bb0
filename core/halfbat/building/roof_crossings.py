"""Lines in plan that are no edges of the mesh: where roofs pass through each other, and ridges drawn on into walls."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from halfbat.building.planes import PlaneFace
from halfbat.building.rings import inside_rings

Array = npt.NDArray[np.float64]

#: Shorter crossings than this do not matter, metres.
_SHORTEST_M = 0.02
#: How far a ridge is drawn on into a wall above the roof, metres: through the thickest parapet.
_INTO_M = 0.65
#: A wall this near the end of a ridge stands at it, metres; and it rises above it by more than this.
_AT_M = 0.01
_ABOVE_M = 0.05


def roof_crossings(points: Array, roofs: Sequence[PlaneFace]) -> Array:
    """Find where roofs run into each other, as those of parts modelled as solids of their own do.

    Parameters
    ----------
    points : ndarray, shape (N, 3)
        Points of the planes, metres.
    roofs : sequence of PlaneFace
        Planes that look up.

    Returns
    -------
    ndarray, shape (S, 2, 2)
        Segments in plan over which two roofs have the same height.
    """
    plans = [[points[ring][:, :2] for ring in roof.rings] for roof in roofs]
    found: list[Array] = []
    for one, two in itertools.combinations(range(len(roofs)), 2):
        low = np.maximum(plans[one][0].min(axis=0), plans[two][0].min(axis=0))
        high = np.minimum(plans[one][0].max(axis=0), plans[two][0].max(axis=0))
        if np.all(high - low > _SHORTEST_M):
            found += _common(roofs[one], roofs[two], plans[one], plans[two])
    return np.array(found).reshape(-1, 2, 2)


def ridges_into_walls(points: Array, roofs: Sequence[PlaneFace], walls: Sequence[PlaneFace]) -> Array:
    """Draw ridges and hips on into the walls above the roof that they end at.

    The level top of a parapet across a ridge is then cut in two, one part behind each slope.

    Parameters
    ----------
    points : ndarray, shape (N, 3)
        Points of the planes, metres.
    roofs, walls : sequence of PlaneFace
        Planes that look up, and upright ones.

    Returns
    -------
    ndarray, shape (S, 2, 2)
        Segments in plan, longer than parapets are thick.
    """
    rings = [edge for roof in roofs for ring in roof.rings for edge in zip(ring, np.roll(ring, -1), strict=True)]
    edges = {(int(a), int(b)) for a, b in rings}
    found = []
    for a, b in sorted(edge for edge in edges if edge[::-1] in edges):
        end, step = points[b], points[b, :2] - points[a, :2]
        size = float(np.hypot(*step))
        if size > _SHORTEST_M and any(_rises_at(points, wall, end, step / size) for wall in walls):
            found.append(np.array([end[:2], end[:2] + step / size * _INTO_M]))
    return np.array(found).reshape(-1, 2, 2)


def _rises_at(points: Array, wall: PlaneFace, end: Array, along: Array) -> bool:
    """Say whether a wall that a line runs into stands at its end and rises above it."""
    if float(along @ wall.normal[:2]) > -0.5 or abs(float((end - wall.centre) @ wall.normal)) > _AT_M:
        return False
    above = end + np.array([0.0, 0.0, _ABOVE_M])
    return bool(inside_rings(wall.flat_rings(points), wall.flat(above[None]))[0])


def _common(one: PlaneFace, two: PlaneFace, first: list[Array], second: list[Array]) -> list[Array]:
    """Return the stretches of the line of equal height that lie in both roofs."""
    slope = one.normal[:2] / one.normal[2] - two.normal[:2] / two.normal[2]
    steep = float(np.hypot(*slope))
    if steep < 1e-3:
        return []
    # Heights are z = c - s.(p - p0): equal where slope.p is the difference of their constants.
    reach = one.centre[2] + float(one.centre[:2] @ one.normal[:2]) / one.normal[2]
    reach -= two.centre[2] + float(two.centre[:2] @ two.normal[:2]) / two.normal[2]
    origin = slope * reach / steep**2
    along = np.array([-slope[1], slope[0]]) / steep
    cuts = sorted(_shares(origin, along, [*first, *second]))
    found = []
    for low, high in itertools.pairwise(cuts):
        middle = (origin + (low + high) / 2.0 * along)[None, :]
        if high - low > _SHORTEST_M and inside_rings(first, middle)[0] and inside_rings(second, middle)[0]:
            found.append(np.array([origin + low * along, origin + high * along]))
    return found


def _shares(origin: Array, along: Array, rings: Sequence[Array]) -> list[float]:
    """Return where a line crosses rings, as lengths along it."""
    across = np.array([-along[1], along[0]])
    found: list[float] = []
    for ring in rings:
        off, place = (ring - origin) @ across, (ring - origin) @ along
        off_ahead, place_ahead = np.roll(off, -1), np.roll(place, -1)
        crosses = (off <= 0.0) != (off_ahead <= 0.0)
        share = off[crosses] / (off[crosses] - off_ahead[crosses])
        found += (place[crosses] + share * (place_ahead[crosses] - place[crosses])).tolist()
    return found
