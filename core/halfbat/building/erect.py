"""A mesh becomes a structure of walls, slopes and masses, or is refused in a sentence."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from halfbat.building.accounted import lost_walls
from halfbat.building.assemble import building_from_survey
from halfbat.building.bodies import roofs_in_wells
from halfbat.building.border import Borders
from halfbat.building.borders import find_borders
from halfbat.building.columns import find_columns
from halfbat.building.hung import with_openings
from halfbat.building.judge import refuse_no_building
from halfbat.building.masses import group_regions, masses_of
from halfbat.building.mesh import Mesh, face_list, face_names
from halfbat.building.openings_found import find_openings
from halfbat.building.parapets import with_parapets
from halfbat.building.plain import structure_from_building
from halfbat.building.plan_map import PlanMap, map_plan
from halfbat.building.planes import PlaneFace, PlaneKind
from halfbat.building.slope_edges import EdgeJudge
from halfbat.building.slopes import slopes_of
from halfbat.building.soffits import HEADROOM_M, feet_findings, feet_of
from halfbat.building.solids_apart import Bodies, find_bodies
from halfbat.building.strips import find_strips
from halfbat.building.structure import Structure
from halfbat.building.survey import Survey, counted, mesh_findings, survey_mesh, was
from halfbat.building.wall_faces import walls_of
from halfbat.errors import KitError, told_as_fault
from halfbat.findings import Finding, Severity

Array = npt.NDArray[np.float64]

#: Lines of the plan this far apart are one, metres, or less where the smallest width asks for it.
_PLAY_M = 0.05
#: A lid further than this from the top of the walls is a roof behind a parapet, metres.
_SUNK_M = 0.15


@told_as_fault("reading the mesh")
def structure_from_mesh(mesh: Mesh, *, smallest_face_m: float, rise_m: float = HEADROOM_M) -> Structure:
    """Find the walls, slopes and masses of a building.

    Parameters
    ----------
    mesh : Mesh
        Metres, z up; in one or more parts, welded or not, facing any way.
    smallest_face_m : float
        Plan edges shorter than this are dissolved, metres at full size; edges of what stands on
        a roof, and of slopes, if shorter than a quarter of it.
    rise_m : float
        How far the ground may rise over the lowest foot, metres; what is open below that is carried down.

    Returns
    -------
    Structure

    Raises
    ------
    KitError
        If no kit can be made of the mesh; the sentence says why, and which faces.
    """
    return structure_from_survey(survey_mesh(mesh), smallest_face_m, rise_m)


def structure_from_survey(survey: Survey, smallest_face_m: float, rise_m: float = HEADROOM_M) -> Structure:
    """Find the structure in a mesh that has been surveyed already; see `structure_from_mesh`."""
    box = _plain_box(survey, smallest_face_m)
    if box is not None:
        return box
    refuse_no_building(survey)
    found = find_bodies(survey)
    points, planes = found.points, found.planes
    walls = [plane for plane in planes if plane.kind is PlaneKind.WALL]
    if not walls:
        everything = np.arange(len(survey.mesh.faces))
        raise KitError("the mesh has no upright wall", face_list(survey.mesh, everything), "model the walls upright")
    base = float(min(points[ring][:, 2].min() for wall in walls for ring in wall.rings))
    feet = feet_of(survey.mesh, points, found.bodies, base, rise_m)
    play = min(_PLAY_M, 0.25 * smallest_face_m) if smallest_face_m > 0 else 0.002
    plan = map_plan(find_columns(points, found.bodies, base, play, feet), smallest_face_m)
    if len(plan.roof_of) == 0:
        where = face_list(survey.mesh, np.concatenate([wall.faces for wall in walls]))
        raise KitError("no roof or lid stands over the walls", where, "close the top of the building")
    borders = find_borders(plan, smallest_face_m)
    told = feet_findings(survey.mesh, points, feet, base)
    return _assembled(survey, found, plan, borders, smallest_face_m, told)


def _plain_box(survey: Survey, smallest_m: float) -> Structure | None:
    """Return the structure of upright walls of one height, None where the mesh is anything else."""
    try:
        building = building_from_survey(survey, smallest_m)
    except KitError:
        return None
    top = building.base_m + building.height_m
    lids = [plane for plane in survey.planes(PlaneKind.LEVEL) if plane.normal[2] > 0.0] + roofs_in_wells(survey)
    sunk = any(abs(float(survey.tidy.points[lid.rings[0]][:, 2].mean()) - top) > _SUNK_M for lid in lids)
    if sunk or find_openings(survey.tidy, survey.oriented.planes)[1]:
        return None
    return structure_from_building(building)


def _assembled(
    survey: Survey,
    bodies: Bodies,
    plan: PlanMap,
    borders: Borders,
    smallest_m: float,
    told: Sequence[Finding] = (),
) -> Structure:
    mass_of = group_regions(plan, borders)
    alive = [region for region, mass in enumerate(mass_of) if mass >= 0]
    order = sorted(alive, key=lambda region: (mass_of[region], -plan.areas[region]))
    slope_of = {region: index for index, region in enumerate(order)}
    at_roof = find_strips(plan, borders)
    strips = with_parapets(bodies.points, bodies.planes, at_roof)
    walls, wall_at, low = walls_of(strips, plan.base_m, mass_of, smallest_m)
    before = {id(strip) for strip in at_roof}
    parapets = frozenset(strip.border for strip in strips if id(strip) not in before)
    walls, homeless = with_openings(walls, bodies.openings)
    judge = EdgeJudge(plan, slope_of, walls, wall_at, parapets)
    slopes = slopes_of(plan, borders, judge)
    masses = masses_of(plan, borders, mass_of, slope_of, wall_at)
    findings = [*mesh_findings(survey), *told, *_plan_findings(survey, plan, borders)]
    findings += lost_walls(survey.mesh, bodies.points, bodies.planes, walls, masses, smallest_m)
    if homeless:
        text = f"{counted(len(homeless), 'opening')} {was(len(homeless))} left out, because no wall is left there"
        findings.append(Finding(Severity.NOTE, "openings-lost", "", text))
    if low:
        tallest = max(strip.tallest_m for strip in low)
        text = f"{counted(len(low), 'step')} of at most {tallest:.2f} m {was(len(low))} too low to be faced"
        findings.append(Finding(Severity.NOTE, "low-steps", "", text, "choose a larger scale to face them"))
    return Structure(tuple(walls), tuple(slopes), tuple(masses), plan.base_m, tuple(findings))


def _plan_findings(survey: Survey, plan: PlanMap, borders: Borders) -> list[Finding]:
    """Tell of regions and edges taken out of the plan."""
    found = []
    sentences = {
        "parapet": "was taken as the top of a parapet",
        "patch": "was taken as a roof light and made part of the slope round it",
        "small": "is too small for a part of its own and was left out",
    }
    for gone in plan.dissolved:
        faces = face_names(survey.mesh, plan.roofs[gone.roof].faces)
        text = f"a roof plane of {gone.area_m2:.2f} m2 in plan {sentences[gone.why]}: {faces}"
        found.append(Finding(Severity.NOTE, f"{gone.why}-dissolved", "", text))
    for length, x, y in borders.dissolved_m:
        text = (
            f"a plan edge of {length:.2f} m at x {x:.2f} m, y {y:.2f} m is too short for a part of its own "
            "and was dissolved"
        )
        found.append(Finding(Severity.NOTE, "short-edge", "", text, "choose a larger scale to keep it"))
    found += _loose_findings(survey, plan.roofs, plan)
    return found


def _loose_findings(survey: Survey, roofs: Sequence[PlaneFace], plan: PlanMap) -> list[Finding]:
    """Tell of roofs with nothing under them."""
    solid = set(plan.crest_of.tolist())
    loose = [roof for number, roof in enumerate(roofs) if number not in solid]
    if not loose:
        return []
    faces = face_names(survey.mesh, np.concatenate([roof.faces for roof in loose]))
    count = len(loose)
    text = f"{counted(count, 'plane')} with nothing solid below {was(count)} left out, such as canopies: {faces}"
    return [Finding(Severity.NOTE, "loose-planes", "", text)]
