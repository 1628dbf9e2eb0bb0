"""Passages, slots and overhanging storeys: what a kit of upright walls cannot be made of yet."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from halfbat.building.columns import height_of, inside_bodies
from halfbat.building.mesh import Mesh, face_list
from halfbat.building.planes import PlaneFace, PlaneKind
from halfbat.building.rings import inside_rings
from halfbat.errors import KitError

Array = npt.NDArray[np.float64]

#: Less than this is the underside of a canopy, sill or lintel, square metres.
_LARGEST_M2 = 1.0
#: Undersides lower than this are the floor, metres.
_FLOOR_M = 0.3
#: Places along each side of a plane where it is asked what lies above and below.
_GRID = 9


def refuse_soffits(mesh: Mesh, points: Array, bodies: Sequence[Sequence[PlaneFace]], base_m: float) -> None:
    """Refuse a building with open air under part of it.

    Parameters
    ----------
    mesh : Mesh
        Says what faces are called.
    points : ndarray, shape (N, 3)
        Points of the planes, metres.
    bodies : sequence of sequences of PlaneFace
        Outward, without openings.
    base_m : float
        Height of the ground.

    Raises
    ------
    KitError
        If a plane that looks down has a whole storey over it.
    """
    bad = []
    for plane in (plane for body in bodies for plane in body):
        if plane.kind is PlaneKind.WALL or plane.normal[2] > 0.0 or plane.area_m2 < _LARGEST_M2:
            continue
        if points[np.concatenate(plane.rings)][:, 2].max() < base_m + _FLOOR_M:
            continue
        if _share_under_rooms(points, bodies, plane) * plane.area_m2 > _LARGEST_M2:
            bad.append(plane)
    if bad:
        raise KitError(
            "a passage, slot or overhang has open air under part of the building, which cannot be made yet",
            face_list(mesh, np.concatenate([plane.faces for plane in bad])),
            "fill it, or make a kit of each part",
        )


def _share_under_rooms(points: Array, bodies: Sequence[Sequence[PlaneFace]], plane: PlaneFace) -> float:
    """Return how much of a plane that looks down has more than a roof's thickness over it."""
    rings = [points[ring][:, :2] for ring in plane.rings]
    low, high = rings[0].min(axis=0), rings[0].max(axis=0)
    steps = (np.arange(_GRID) + 0.5) / _GRID
    spots = np.stack(np.meshgrid(*(low + (high - low) * steps[:, None]).T), axis=-1).reshape(-1, 2)
    spots = spots[inside_rings(rings, spots)]
    if len(spots) == 0:
        return 0.0
    over = np.column_stack([spots, height_of(plane, spots) + _FLOOR_M])
    under = np.column_stack([spots, height_of(plane, spots) - _FLOOR_M / 2.0])
    rooms = inside_bodies(points, bodies, over) & ~inside_bodies(points, bodies, under)
    return float(np.count_nonzero(rooms)) / len(spots)
