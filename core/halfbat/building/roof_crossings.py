"""Lines in plan along which roofs pass through each other without a common edge in the mesh."""

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
