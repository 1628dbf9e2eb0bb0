"""Everything known about a mesh before it is judged."""

from __future__ import annotations

from dataclasses import dataclass

from halfbat.building.mesh import Mesh, face_names
from halfbat.building.orient import Oriented, orient_planes
from halfbat.building.outline import WallFace, measure_wall
from halfbat.building.planes import PlaneFace, PlaneKind, find_planes
from halfbat.building.tidy import TidyMesh, tidy_mesh
from halfbat.findings import Finding, Severity

#: Slivers below this are no part of a building's shape, square metres and metres.
_TRIFLE_M2 = 0.005
_TRIFLE_M = 0.02


@dataclass(frozen=True, slots=True, eq=False)
class Survey:
    """A mesh, its planes and its walls.

    Parameters
    ----------
    mesh : Mesh
        As read.
    tidy : TidyMesh
        Welded.
    oriented : Oriented
        Its planes, outward.
    walls : tuple of WallFace
        The upright ones, measured.
    """

    mesh: Mesh
    tidy: TidyMesh
    oriented: Oriented
    walls: tuple[WallFace, ...]

    def planes(self, kind: PlaneKind) -> list[PlaneFace]:
        """Return the planes of one kind that are more than a sliver."""
        return [plane for plane in self.oriented.planes if plane.kind is kind and not is_trifle(self.tidy, plane)]


def is_trifle(tidy: TidyMesh, plane: PlaneFace) -> bool:
    """Say whether a plane is too small to be part of a building's shape."""
    flat = plane.flat(tidy.points[plane.rings[0]])
    longest = float((flat.max(axis=0) - flat.min(axis=0)).max())
    return plane.area_m2 < _TRIFLE_M2 and plane.area_m2 < _TRIFLE_M * longest


def survey_mesh(mesh: Mesh) -> Survey:
    """Weld a mesh, find its planes, turn them outward and measure its walls.

    Parameters
    ----------
    mesh : Mesh
        As read.

    Returns
    -------
    Survey

    Raises
    ------
    KitError
        If the mesh is empty, broken, or has far too many planes.
    """
    return survey_tidy(mesh, tidy_mesh(mesh))


def survey_tidy(mesh: Mesh, tidy: TidyMesh) -> Survey:
    """Survey a mesh that has been tidied already."""
    oriented = orient_planes(tidy.points, find_planes(tidy))
    walls = tuple(
        measure_wall(tidy.points, plane)
        for plane in oriented.planes
        if plane.kind is PlaneKind.WALL and not is_trifle(tidy, plane)
    )
    return Survey(mesh, tidy, oriented, walls)


def counted(count: int, noun: str) -> str:
    """Return a count with its noun, such as ``"1 face"`` or ``"3 faces"``."""
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def was(count: int) -> str:
    """Return ``"was"`` for one and ``"were"`` for many."""
    return "was" if count == 1 else "were"


def mesh_findings(survey: Survey) -> list[Finding]:
    """Tell what was put right in the mesh.

    Parameters
    ----------
    survey : Survey
        Of the mesh.

    Returns
    -------
    list of Finding
    """
    mesh, found = survey.mesh, []
    defects = survey.tidy.defects
    if survey.tidy.dropped:
        thin, twins = defects["zero-area faces"], defects["duplicate faces"]
        kinds = [counted(thin, "zero-area face")] * (thin > 0) + [counted(twins, "duplicate face")] * (twins > 0)
        text = f"{' and '.join(kinds)} {was(thin + twins)} left out: {face_names(mesh, survey.tidy.dropped)}"
        found.append(Finding(Severity.NOTE, "worthless-faces", "", text, "delete them from the mesh"))
    if survey.oriented.inner:
        inside = [face for plane in survey.oriented.inner for face in plane.faces.tolist()]
        text = f"{counted(len(inside), 'inner face')} {was(len(inside))} left out: {face_names(mesh, inside)}"
        found.append(Finding(Severity.NOTE, "inner-faces", "", text, "delete them from the mesh"))
    if survey.oriented.turned:
        count = len(survey.oriented.turned)
        text = f"{counted(count, 'face')} of {len(mesh.faces)} pointed inwards and {was(count)} turned round"
        found.append(Finding(Severity.NOTE, "faces-turned", "", text))
    return found
