"""A mesh becomes a building of one loop of walls, or is refused in a sentence."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from halfbat.building.judge import refuse_levels, refuse_shape
from halfbat.building.mesh import Mesh, face_list, face_names
from halfbat.building.outline import LEVEL_M, WallFace
from halfbat.building.plan import PlanLoop, find_loop
from halfbat.building.planes import PlaneKind
from halfbat.building.simplify import SimplePlan, simplify_plan
from halfbat.building.survey import Survey, counted, mesh_findings, survey_mesh, was
from halfbat.building.wall import Building, Wall, building_from_plan
from halfbat.errors import KitError
from halfbat.findings import Finding, Severity

Array = npt.NDArray[np.float64]


def building_from_mesh(mesh: Mesh, *, smallest_face_m: float) -> Building:
    """Find the walls of a building with one height on level ground.

    Wall A is the one that looks most nearly towards -y, the front in Blender; the others follow
    counter-clockwise seen from above.

    Parameters
    ----------
    mesh : Mesh
        Metres, z up; quads, triangles or n-gons, welded or not, with or without floor and lid,
        facing any way.
    smallest_face_m : float
        Plan edges shorter than this are dissolved, metres at full size.

    Returns
    -------
    Building
        With findings for all that was put right or taken as fair.

    Raises
    ------
    KitError
        If no kit can be made of the mesh; the sentence says why, and which faces.
    """
    return building_from_survey(survey_mesh(mesh), smallest_face_m)


def building_from_survey(survey: Survey, smallest_face_m: float) -> Building:
    """Find the walls in a mesh that has been surveyed already; see `building_from_mesh`."""
    refuse_shape(survey)
    walls = list(survey.walls)
    loop = find_loop(walls, lambda some: face_list(survey.mesh, np.concatenate([walls[i].plane.faces for i in some])))
    _refuse_jumps(survey, loop)
    base, base_finding = _fair_base(walls)
    refuse_levels(survey, base)
    top, top_finding = _fair_top(survey)
    plan = simplify_plan(loop.corners_m, smallest_face_m)
    building = building_from_plan(from_front(plan.corners_m), base, top - base)
    findings = (
        mesh_findings(survey) + base_finding + top_finding + _lean_findings(survey) + _plan_findings(plan, building)
    )
    return Building(building.walls, building.base_m, building.height_m, tuple(findings))


def from_front(plan: Array) -> Array:
    """Start a plan with the wall that looks most nearly towards -y, the longest of several alike."""
    steps = np.roll(plan, -1, axis=0) - plan
    lengths = np.hypot(steps[:, 0], steps[:, 1])
    # Rounded, so that walls alike but for the last digits do not change places.
    off = np.round(np.abs(np.degrees(np.arctan2(steps[:, 1], steps[:, 0]))), 1)
    order = np.lexsort(np.stack([np.round(plan[:, 0], 3), np.round(plan[:, 1], 3), -np.round(lengths, 3), off]))
    return np.roll(plan, -int(order[0]), axis=0)


def _fair(values: list[float], weights: list[float]) -> float:
    """Return a weighted mean, exact where all values are the same."""
    if max(values) == min(values):
        return values[0]
    return float(np.average(values, weights=weights))


def _refuse_jumps(survey: Survey, loop: PlanLoop) -> None:
    """Refuse walls whose tops do not meet at the corner between them."""
    count = len(loop.walls)
    for i, corner in enumerate(loop.corners_m):
        tops = []
        for wall in (survey.walls[loop.walls[i - 1]], survey.walls[loop.walls[i % count]]):
            at_left = np.hypot(*(wall.left_m - corner)) <= np.hypot(*(wall.right_m - corner))
            tops.append(wall.top_m[0] if at_left else wall.top_m[1])
        if abs(tops[1] - tops[0]) > LEVEL_M:
            faces = np.concatenate([survey.walls[loop.walls[j]].plane.faces for j in (i - 1, i)])
            raise KitError(
                f"walls that meet differ in height, {tops[0]:.2f} m and {tops[1]:.2f} m, which cannot be made yet",
                face_list(survey.mesh, faces),
                "bring all walls to one height",
            )


def _fair_base(walls: list[WallFace]) -> tuple[float, list[Finding]]:
    """Return the one height that stands for the foot, and a finding where it is a compromise."""
    feet = [foot for wall in walls for foot in wall.foot_m]
    base = _fair([sum(wall.foot_m) / 2.0 for wall in walls], [wall.length_m for wall in walls])
    if max(feet) - min(feet) < 0.001:
        return base, []
    text = f"the foot of the walls varies by {1000 * (max(feet) - min(feet)):.0f} mm; taken as level at {base:.3f} m"
    return base, [Finding(Severity.NOTE, "foot-levelled", "", text)]


def _fair_top(survey: Survey) -> tuple[float, list[Finding]]:
    """Return the one height that stands for the top, and a finding where it is a compromise."""
    points = survey.tidy.points
    lids = [plane for plane in survey.planes(PlaneKind.LEVEL) if plane.normal[2] > 0]
    low = min(height for wall in survey.walls for height in wall.top_m)
    high = max(wall.high_m for wall in survey.walls)
    if high - low < 1e-6:
        return high, []
    if lids:
        means = [_mean_height(points, plane.rings, plane.normal, plane.centre) for plane in lids]
        top = _fair(means, [plane.area_m2 for plane in lids])
        tilt = max(plane.tilt_deg for plane in lids)
        which = "the mean of the roof, which keeps the volume"
    else:
        means = [sum(wall.foot_m) / 2.0 + wall.plane.area_m2 / wall.length_m for wall in survey.walls]
        top = _fair(means, [wall.length_m for wall in survey.walls])
        tilt = _steepest(survey.walls)
        which = "the mean of the wall tops"
    if high - low < 0.001:
        return top, []
    text = (
        f"the top falls by {1000 * (high - low):.0f} mm, {tilt:.1f} degrees; taken as level at {top:.3f} m, {which} "
        f"(highest {high:.3f} m, lowest {low:.3f} m)"
    )
    return top, [Finding(Severity.NOTE, "top-levelled", "", text)]


def _mean_height(points: Array, rings: tuple[npt.NDArray[np.int64], ...], normal: Array, centre: Array) -> float:
    """Return the mean height of a plane polygon: that of its centroid."""
    area, moment = 0.0, np.zeros(2)
    for ring in rings:
        local = points[ring][:, :2] - centre[:2]
        ahead = np.roll(local, -1, axis=0)
        cross = local[:, 0] * ahead[:, 1] - ahead[:, 0] * local[:, 1]
        area += float(cross.sum()) / 2.0
        moment += np.sum((local + ahead) * cross[:, None], axis=0) / 6.0
    shift = moment / area
    return float(centre[2] - (normal[0] * shift[0] + normal[1] * shift[1]) / normal[2])


def _steepest(walls: tuple[WallFace, ...]) -> float:
    """Return the steepest wall top in degrees; jogs too short for a slope do not count."""
    slopes = [abs(wall.top_m[1] - wall.top_m[0]) / wall.length_m for wall in walls if wall.length_m > 0.5]
    return math.degrees(math.atan(max(slopes, default=0.0)))


def _lean_findings(survey: Survey) -> list[Finding]:
    """Tell of walls that lean enough to be seen."""
    leaning = [wall for wall in survey.walls if abs(wall.lean_deg) > 0.1]
    if not leaning:
        return []
    most = max(abs(wall.lean_deg) for wall in leaning)
    faces = face_names(survey.mesh, np.concatenate([wall.plane.faces for wall in leaning]))
    text = (
        f"{counted(len(leaning), 'wall')} leaning by up to {most:.1f} degrees {was(len(leaning))} made upright: {faces}"
    )
    return [Finding(Severity.NOTE, "walls-uprighted", "", text)]


def _plan_findings(plan: SimplePlan, building: Building) -> list[Finding]:
    """Tell of edges taken out of the plan, each beside the wall it now belongs to."""
    found = []
    for edge in plan.dissolved:
        wall = min(building.walls, key=lambda wall: _gap(edge.at_m, wall))
        text = (
            f"a plan edge of {edge.length_m:.2f} m at x {edge.at_m[0]:.2f} m, y {edge.at_m[1]:.2f} m is too short "
            "for a part of its own and was dissolved"
        )
        found.append(
            Finding(Severity.NOTE, "short-edge", f"wall {wall.letter}", text, "choose a larger scale to keep it")
        )
    if plan.straightened:
        text = (
            f"{counted(plan.straightened, 'corner')} within {1000 * plan.straight_m:.0f} mm of a straight line "
            f"{was(plan.straightened)} dropped"
        )
        found.append(Finding(Severity.NOTE, "straight-corners", "", text))
    if plan.deviation_m >= 0.0005:
        text = f"the outline in plan moved by up to {1000 * plan.deviation_m:.0f} mm at full size"
        found.append(Finding(Severity.NOTE, "outline-moved", "", text))
    return found


def _gap(spot: Array, wall: Wall) -> float:
    """Return the distance from a spot to a wall in plan."""
    share = float(np.clip((spot - wall.start_m) @ wall.along / wall.length_m, 0.0, 1.0))
    return float(np.hypot(*(spot - wall.start_m - share * (wall.end_m - wall.start_m))))
