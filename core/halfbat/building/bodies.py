"""Closed bodies of a mesh that run into each other are told apart."""

from __future__ import annotations

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
    planes = [*survey.oriented.planes, *roofs_in_wells(survey)]
    label = _closed_parts(survey)
    if len(np.unique(label)) > 1:
        place = {int(face): i for i, face in enumerate(survey.tidy.origin)}
        everything = planes + [plane for plane in survey.oriented.inner if all(plane is not one for one in planes)]
        groups: dict[int, list[PlaneFace]] = {}
        for plane in everything:
            part = int(label[place[int(plane.faces[0])]])
            if part >= 0 or any(plane is one for one in planes):
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
    """Return the planes taken for inner ones that the sky is over: roofs between walls that rise past them.

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
    found = []
    for plane in survey.oriented.inner:
        if plane.kind is PlaneKind.WALL:
            continue
        spot = points[plane.rings[0]].mean(axis=0)
        covers = [
            other
            for other in (*survey.oriented.planes, *survey.oriented.inner)
            if other is not plane and other.kind is not PlaneKind.WALL
        ]
        over = [
            other
            for other in covers
            if inside_rings([points[ring][:, :2] for ring in other.rings], spot[None, :2])[0]
            and height_of(other, spot[None, :2])[0] > spot[2]
        ]
        if not over:
            found.append(plane if plane.normal[2] > 0.0 else plane.flipped())
    return found
