"""Whether every wall of the mesh has come into the structure."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from halfbat.building.mesh import Mesh, face_list, face_names
from halfbat.building.planes import PlaneFace, PlaneKind
from halfbat.building.rings import inner_spot, inside_rings
from halfbat.building.structure import FaceOfWall, Mass
from halfbat.errors import KitError
from halfbat.findings import Finding, Severity

Array = npt.NDArray[np.float64]

#: A wall of the structure stands within this of the wall of the mesh it was made from, metres.
_NEAR_M = 0.6
#: Less than this in one plane is a rail, a sill or a reveal, square metres.
_SMALLEST_M2 = 2.0
#: With more than this share of the walls lost the building would be another one.
_MOST_LOST = 0.3


def lost_walls(
    mesh: Mesh,
    points: Array,
    planes: Sequence[PlaneFace],
    walls: Sequence[FaceOfWall],
    masses: Sequence[Mass],
    smallest_m: float,
) -> list[Finding]:
    """Look for walls of the mesh that no wall of the structure stands for.

    Parameters
    ----------
    mesh : Mesh
        Says what faces are called.
    points : ndarray, shape (N, 3)
        Points of the planes, metres.
    planes : sequence of PlaneFace
        Outward.
    walls : sequence of FaceOfWall
        Of the structure.
    masses : sequence of Mass
        Of the structure; a wall within one is an inner wall.
    smallest_m : float
        Walls hardly longer than this were dissolved, which is told elsewhere, metres.

    Returns
    -------
    list of Finding

    Raises
    ------
    KitError
        If too much is lost for a kit to be the building that was modelled.
    """
    every = [plane for plane in planes if plane.kind is PlaneKind.WALL and plane.area_m2 >= _SMALLEST_M2]
    long = [plane for plane in every if plane.rings and _length(points, plane) > 1.5 * smallest_m]
    lost = [plane for plane in long if not _stands(points, plane, walls, masses)]
    if not lost:
        return []
    faces = np.concatenate([plane.faces for plane in lost])
    area = sum(plane.area_m2 for plane in lost)
    if area > _MOST_LOST * sum(plane.area_m2 for plane in every):
        raise KitError(
            f"{area:.1f} m2 of wall stand under no roof or do not close, so no solid building can be made of them",
            face_list(mesh, faces),
            "close the roof over them and join the faces at their edges",
        )
    names = face_names(mesh, faces)
    text = f"{area:.1f} m2 of wall stand under no roof or do not close, and were left out: {names}"
    return [Finding(Severity.WARNING, "walls-lost", "", text, "close the mesh there, or take them out of it")]


def _length(points: Array, plane: PlaneFace) -> float:
    return float(np.ptp(plane.flat(points[plane.rings[0]])[:, 0]))


def _stands(points: Array, plane: PlaneFace, walls: Sequence[FaceOfWall], masses: Sequence[Mass]) -> bool:
    u, v = plane.axes
    spot = inner_spot(plane.flat_rings(points))
    place = plane.centre + spot[0] * u + spot[1] * v
    outside = (place[:2] + _NEAR_M * plane.normal[:2])[None, :]
    if any(inside_rings([mass.plan_m, *mass.holes_m], outside)[0] for mass in masses):
        return True
    for wall in walls:
        to = place[:2] - wall.start_m
        if float(plane.normal[:2] @ wall.outward) > 0.9 and abs(float(to @ wall.outward)) < _NEAR_M:
            along = float(to @ wall.along)
            if -_NEAR_M < along < wall.length_m + _NEAR_M:
                return True
    return False
