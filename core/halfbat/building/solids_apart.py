"""A mesh of several closed solids, taken apart before anything in it is merged."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from halfbat.building.bodies import bodies_of
from halfbat.building.mesh import Mesh
from halfbat.building.openings_found import FoundOpening, find_openings
from halfbat.building.planes import PlaneFace
from halfbat.building.polygons import edges_of, polygons_from
from halfbat.building.survey import Survey, survey_mesh
from halfbat.building.weld import linked

Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

#: Closed solids smaller than this in every direction are no parts of a building, metres.
_SMALLEST_M = 0.15


@dataclass(frozen=True, slots=True, eq=False)
class Bodies:
    """All bodies of a mesh, their openings filled.

    Parameters
    ----------
    points : ndarray, shape (N, 3)
        Points of the planes, metres.
    bodies : tuple of tuple of PlaneFace
        Outward; closed bodies one by one.
    openings : tuple of FoundOpening
        What was filled.
    """

    points: Array
    bodies: tuple[tuple[PlaneFace, ...], ...]
    openings: tuple[FoundOpening, ...]

    @property
    def planes(self) -> list[PlaneFace]:
        """The planes of all bodies."""
        return [plane for body in self.bodies for plane in body]


def find_bodies(survey: Survey) -> Bodies:
    """Return the bodies of a mesh.

    Solids that touch have faces in one plane that look at each other, which would be merged or
    taken for doubles; so where the mesh has several closed solids each is surveyed by itself.

    Parameters
    ----------
    survey : Survey
        Of the whole mesh.

    Returns
    -------
    Bodies
    """
    parts = solids_of(survey.mesh)
    points: list[Array] = []
    bodies: list[tuple[PlaneFace, ...]] = []
    openings: list[FoundOpening] = []
    offset = 0
    for part in parts:
        whole = len(parts) == 1
        own = survey if whole else survey_mesh(_some_faces(survey.mesh, part))
        for body in bodies_of(own):
            planes, found = find_openings(own.tidy, body)
            bodies.append(tuple(_moved(plane, offset, part) for plane in planes))
            openings += found
        points.append(own.tidy.points)
        offset += len(own.tidy.points)
    return Bodies(np.concatenate(points), tuple(bodies), tuple(openings))


def solids_of(mesh: Mesh) -> list[Ints]:
    """Return the faces of each closed solid, those of everything else together; all faces where there is one solid.

    Parameters
    ----------
    mesh : Mesh
        Whose solids share no points by index.

    Returns
    -------
    list of ndarray of int
    """
    first: dict[tuple[int, ...], int] = {}
    # A face drawn twice closes nothing: it goes with the first of its like.
    like = np.array([first.setdefault(tuple(sorted(face)), len(first)) for face in mesh.faces], dtype=np.int64)
    _, once = np.unique(like, return_index=True)
    polygons = polygons_from([mesh.faces[face] for face in once.tolist()])
    face_of, corners = polygons.face_of, polygons.corners
    order = np.argsort(corners, kind="stable")
    same = np.diff(corners[order]) == 0
    label = linked(polygons.count, face_of[order][:-1][same], face_of[order][1:][same])
    edges = edges_of(polygons)
    leaky = np.unique(label[face_of[edges.uses[edges.of_corner] != 2]])
    closed = [one for one in np.unique(label).tolist() if one not in set(leaky.tolist())]
    everything: Ints = np.arange(len(mesh.faces), dtype=np.int64)
    label = label[like]
    if len(closed) + (len(leaky) > 0) < 2:
        return [everything]
    parts = [everything[label == one] for one in closed]
    parts = [part for part in parts if _size(mesh, part) >= _SMALLEST_M]
    rest = everything[np.isin(label, leaky)]
    return [*parts, rest] if len(rest) else parts


def _size(mesh: Mesh, part: Ints) -> float:
    used = np.unique([corner for face in part.tolist() for corner in mesh.faces[face]])
    return float(np.ptp(np.asarray(mesh.vertices)[used], axis=0).max())


def _some_faces(mesh: Mesh, part: Sequence[int] | Ints) -> Mesh:
    return Mesh(mesh.vertices, tuple(mesh.faces[int(face)] for face in part), mesh.source, mesh.first_face)


def _moved(plane: PlaneFace, offset: int, part: Ints) -> PlaneFace:
    """Return a plane with its points and faces numbered as in the whole mesh."""
    return replace(plane, rings=tuple(ring + offset for ring in plane.rings), faces=part[plane.faces])
