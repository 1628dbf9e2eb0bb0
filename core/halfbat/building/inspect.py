"""What a mesh holds, as data."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np

from halfbat.building.erect import structure_from_survey
from halfbat.building.mesh import Mesh, face_names
from halfbat.building.planes import PlaneFace
from halfbat.building.rings import ring_area
from halfbat.building.structure import EdgeKind, FaceOfWall, Slope, Structure
from halfbat.building.survey import Survey, survey_tidy
from halfbat.building.tidy import TidyMesh, tidy_mesh
from halfbat.building.wall import wall_letter
from halfbat.errors import KitError, told_as_fault
from halfbat.findings import Finding

#: Defects in the order told, each as one and as many.
DEFECT_NAMES = {
    "unwelded vertices": ("unwelded vertex", "unwelded vertices"),
    "T-junctions": ("T-junction", "T-junctions"),
    "zero-area faces": ("zero-area face", "zero-area faces"),
    "duplicate faces": ("duplicate face", "duplicate faces"),
    "inner faces": ("inner face", "inner faces"),
    "flipped faces": ("flipped face", "flipped faces"),
    "edges run twice the same way": ("edge with clashing face directions", "edges with clashing face directions"),
    "open edges": ("open edge", "open edges"),
    "edges with more than two faces": ("edge with more than two faces", "edges with more than two faces"),
}
_COMPASS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")


@dataclass(frozen=True, slots=True)
class WallReport:
    """One wall of the building that can be made.

    Parameters
    ----------
    letter : str
        Its name.
    length_m, height_m : float
        Size, metres.
    corner_deg : float
        Interior angle to the next wall.
    compass : str
        Which way it looks if +y is north: ``"N"``, ``"NE"`` and so on.
    bearing_deg : float
        The same in degrees clockwise from north.
    """

    letter: str
    length_m: float
    height_m: float
    corner_deg: float
    compass: str
    bearing_deg: float


@dataclass(frozen=True, slots=True)
class SlopeReport:
    """One slope or flat roof of the building that can be made.

    Parameters
    ----------
    letter : str
        Its name.
    along_m, up_m : float
        Extent along its eaves and up the slope, metres.
    pitch_deg : float
        From level.
    eaves : tuple of str
        Letters of the walls under its eaves.
    """

    letter: str
    along_m: float
    up_m: float
    pitch_deg: float
    eaves: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PlaneReport:
    """One plane of the mesh.

    Parameters
    ----------
    kind : str
        ``"wall"``, ``"slope"`` or ``"level"``.
    looks : str
        A compass point for a wall, else ``"up"`` or ``"down"``.
    slope_deg : float
        Angle from level, 0 to 90.
    area_m2 : float
        Without its holes.
    corners, holes : int
        Corners in all, and holes among its rings.
    faces : str
        The faces it is made of.
    """

    kind: str
    looks: str
    slope_deg: float
    area_m2: float
    corners: int
    holes: int
    faces: str


@dataclass(frozen=True, slots=True)
class MeshReport:
    """What was seen in a mesh.

    Parameters
    ----------
    source : str
        Name of the mesh.
    vertices, faces : int
        As read.
    size_m : tuple of float
        Extent along x, y and z; zeros for an empty mesh.
    planes : tuple of PlaneReport
        Largest first.
    walls : tuple of WallReport
        Of the building that can be made; empty if none can.
    defects : mapping of str to int
        How many of each kind; kinds not found are 0.
    base_m, height_m : float
        Foot and height of the walls; 0 if no building can be made.
    plan_area_m2 : float
        Area inside the walls' faces.
    findings : tuple of Finding
        What would be put right.
    refusal : str
        Why no kit can be made of it; empty if one can.
    slopes : tuple of SlopeReport
        Of the building that can be made.
    """

    source: str
    vertices: int
    faces: int
    size_m: tuple[float, float, float]
    planes: tuple[PlaneReport, ...] = ()
    walls: tuple[WallReport, ...] = ()
    defects: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))
    base_m: float = 0.0
    height_m: float = 0.0
    plan_area_m2: float = 0.0
    findings: tuple[Finding, ...] = ()
    refusal: str = ""
    slopes: tuple[SlopeReport, ...] = ()

    @property
    def can_be_made(self) -> bool:
        """Whether a kit can be made of the mesh."""
        return not self.refusal


@told_as_fault("reading the mesh")
def inspect_mesh(mesh: Mesh, *, smallest_face_m: float = 0.0) -> MeshReport:
    """Say what a mesh holds; a mesh that is refused is reported too.

    Parameters
    ----------
    mesh : Mesh
        As read.
    smallest_face_m : float
        Plan edges shorter than this would be dissolved, metres; 0 shows every edge.

    Returns
    -------
    MeshReport
    """
    size = _size(mesh)
    tidy: TidyMesh | None = None
    survey: Survey | None = None
    structure: Structure | None = None
    refusal = ""
    try:
        tidy = tidy_mesh(mesh)
        survey = survey_tidy(mesh, tidy)
        structure = structure_from_survey(survey, smallest_face_m)
    except KitError as error:
        refusal = str(error)
    report = MeshReport(
        mesh.source,
        len(mesh.vertices),
        len(mesh.faces),
        size,
        planes=_planes(survey) if survey else (),
        defects=MappingProxyType(_defects(tidy, survey)),
        refusal=refusal,
    )
    return _with_structure(report, structure) if structure else report


def _size(mesh: Mesh) -> tuple[float, float, float]:
    points = np.asarray(mesh.vertices, dtype=np.float64)
    if points.ndim != 2 or points.shape[1:] != (3,) or len(points) == 0 or not np.isfinite(points).all():
        return (0.0, 0.0, 0.0)
    x, y, z = np.ptp(points, axis=0).tolist()
    return (x, y, z)


def _defects(tidy: TidyMesh | None, survey: Survey | None) -> dict[str, int]:
    """Return the counts of every kind of defect, in the order they are told."""
    counts = dict.fromkeys(DEFECT_NAMES, 0)
    if tidy:
        counts.update(tidy.defects)
    if survey:
        counts["flipped faces"] = len(survey.oriented.turned)
        counts["inner faces"] = sum(len(plane.faces) for plane in survey.oriented.inner)
    return counts


def _planes(survey: Survey) -> tuple[PlaneReport, ...]:
    planes = sorted(survey.oriented.planes, key=lambda plane: -plane.area_m2)
    return tuple(_plane(survey.mesh, plane) for plane in planes)


def _plane(mesh: Mesh, plane: PlaneFace) -> PlaneReport:
    tilt = plane.tilt_deg
    upright = plane.kind == "wall"
    looks = _compass(_bearing(plane.normal[0], plane.normal[1])) if upright else "up" if tilt < 90.0 else "down"
    corners = sum(len(ring) for ring in plane.rings)
    faces = face_names(mesh, plane.faces)
    return PlaneReport(
        plane.kind.value, looks, min(tilt, 180.0 - tilt), plane.area_m2, corners, len(plane.rings) - 1, faces
    )


def _with_structure(report: MeshReport, structure: Structure) -> MeshReport:
    grounded = [mass for mass in structure.masses if not mass.on_roof]
    area = sum(ring_area(ring) for mass in grounded for ring in (mass.plan_m, *mass.holes_m))
    return MeshReport(
        report.source,
        report.vertices,
        report.faces,
        report.size_m,
        report.planes,
        tuple(_wall(wall) for wall in structure.walls),
        report.defects,
        structure.base_m,
        structure.height_m,
        area,
        structure.findings,
        slopes=tuple(_slope(slope, structure) for slope in structure.slopes),
    )


def _slope(slope: Slope, structure: Structure) -> SlopeReport:
    along, up = np.ptp(slope.outline_m, axis=0).tolist()
    walls = {edge.wall for edge in slope.edges if edge.kind is EdgeKind.EAVES and edge.wall is not None}
    eaves = tuple(structure.walls[wall].letter for wall in sorted(walls))
    return SlopeReport(wall_letter(slope.index), along, up, slope.pitch_deg, eaves)


def _wall(wall: FaceOfWall) -> WallReport:
    bearing = _bearing(*wall.outward.tolist())
    return WallReport(wall.letter, wall.length_m, wall.height_m, wall.corner_deg, _compass(bearing), bearing)


def _bearing(x: float, y: float) -> float:
    """Degrees clockwise from +y, 0 to 360."""
    return math.degrees(math.atan2(x, y)) % 360.0


def _compass(bearing: float) -> str:
    return _COMPASS[round(bearing / 45.0) % 8]
