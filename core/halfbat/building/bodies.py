"""Closed bodies of a mesh that run into each other are told apart."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from halfbat.building.columns import height_of
from halfbat.building.orient import orient_planes
from halfbat.building.planes import PlaneFace, PlaneKind
from halfbat.building.polygons import edges_of
from halfbat.building.rings import inside_rings
from halfbat.building.survey import Survey, is_trifle
from halfbat.building.weld import linked

Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

#: A plane no higher than this above the lowest point is the floor, metres.
_FLOOR_M = 0.3
#: A plane is a roof if the sky is over more than this share of it.
_OPEN_SHARE = 0.5
#: Places along each side of a plane where the sky is looked for.
_GRID = 9


def bodies_of(survey: Survey) -> list[list[PlaneFace]]:
    """Return the planes of each closed body, and those of all open ones together.

    Where two bodies overlap, a ray sees the outside of one inside the other: each has to be
    turned outward by itself. Faces that are not closed need each other for that.

    Parameters
    ----------
    survey : Survey
        Of the mesh.

    Returns
    -------
    list of list of PlaneFace
        Outward, slivers left out.
    """
    wells = roofs_in_wells(survey)
    turned = {id(plane.faces) for plane in wells}
    planes = [*(plane for plane in survey.oriented.planes if id(plane.faces) not in turned), *wells]
    label = _closed_parts(survey)
    known = {id(plane.faces) for plane in planes}
    if len(np.unique(label)) > 1:
        place = {int(face): i for i, face in enumerate(survey.tidy.origin)}
        everything = planes + [plane for plane in survey.oriented.inner if id(plane.faces) not in known]
        groups: dict[int, list[PlaneFace]] = {}
        for plane in everything:
            part = int(label[place[int(plane.faces[0])]])
            if part >= 0 or id(plane.faces) in known:
                groups.setdefault(part, []).append(plane)
        bodies = [
            list(orient_planes(survey.tidy.points, group).planes) if part >= 0 else group
            for part, group in sorted(groups.items())
        ]
    else:
        bodies = [planes]
    return [[plane for plane in body if not is_trifle(survey.tidy, plane)] for body in bodies]


def _closed_parts(survey: Survey) -> Ints:
    """Number the closed part each face belongs to, -1 for those that are not closed, shape (F,)."""
    polygons = survey.tidy.polygons
    edges = edges_of(polygons)
    order = np.argsort(edges.of_corner, kind="stable")
    same = np.diff(edges.of_corner[order]) == 0
    faces = polygons.face_of[order]
    label = linked(polygons.count, faces[:-1][same], faces[1:][same])
    open_edge = edges.uses % 2 == 1
    leaky = np.unique(label[polygons.face_of[open_edge[edges.of_corner]]])
    return np.where(np.isin(label, leaky), -1, label)


def roofs_in_wells(survey: Survey) -> list[PlaneFace]:
    """Return the planes the sky is over though they were taken for inner ones or for undersides.

    Rays mislead between walls that rise past a roof, and in meshes with gaps.

    Parameters
    ----------
    survey : Survey
        Of the mesh.

    Returns
    -------
    list of PlaneFace
        Looking up.
    """
    points = survey.tidy.points
    known = [*survey.oriented.planes, *survey.oriented.inner]
    covers = [plane for plane in known if plane.kind is not PlaneKind.WALL]
    foot = float(min(points[plane.rings[0]][:, 2].min() for plane in known))
    found = []
    for plane in covers:
        inner = any(plane is one for one in survey.oriented.inner)
        raised = float(points[plane.rings[0]][:, 2].min()) > foot + _FLOOR_M
        if (inner or plane.normal[2] < 0.0) and raised and _open_share(points, plane, covers) > _OPEN_SHARE:
            found.append(plane if plane.normal[2] > 0.0 else plane.flipped())
    return found


def _open_share(points: Array, plane: PlaneFace, covers: Sequence[PlaneFace]) -> float:
    """Return over how much of a plane no other stands."""
    rings = [points[ring][:, :2] for ring in plane.rings]
    low, high = rings[0].min(axis=0), rings[0].max(axis=0)
    steps = (np.arange(_GRID) + 0.5) / _GRID
    spots = np.stack(np.meshgrid(*(low + (high - low) * steps[:, None]).T), axis=-1).reshape(-1, 2)
    spots = spots[inside_rings(rings, spots)]
    if len(spots) == 0:
        return 0.0
    heights = height_of(plane, spots) + 1e-3
    covered = np.zeros(len(spots), dtype=np.bool_)
    for other in covers:
        if other is not plane:
            over = inside_rings([points[ring][:, :2] for ring in other.rings], spots)
            covered |= over & (height_of(other, spots) > heights)
    return 1.0 - float(np.count_nonzero(covered)) / len(spots)
