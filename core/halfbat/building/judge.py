"""Say in a sentence why no kit can be made of a mesh."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from halfbat.building.mesh import face_list
from halfbat.building.outline import LEVEL_M, Fault
from halfbat.building.planes import COPLANAR_M, LEVEL_DEG, UPRIGHT_DEG, PlaneFace, PlaneKind
from halfbat.building.survey import Survey
from halfbat.errors import KitError

Array = npt.NDArray[np.float64]

#: This many slopes that outweigh the walls are a curved surface and not a roof.
_MANY_SLOPES = 24

#: Slopes all steeper than this are called leaning walls and not a roof.
_STEEP_DEG = 65.0
#: A level face smaller than this is a sill or ledge and not a roof, square metres.
_LEDGE_M2 = 0.5

#: What is wrong with a wall, and what to do; leaning first, as it skews its neighbours' outlines.
_WALL_SENTENCES = {
    Fault.LEAN: ("a wall leans more than 2 degrees", "make the wall upright"),
    Fault.HOLES: (
        "a wall has openings, such as windows or doors, which cannot be made yet",
        "fill the openings, so that the wall is one plain rectangle",
    ),
    Fault.TOP: (
        "the top of a wall is not level, as on a gable or a lean-to, which cannot be made yet",
        "cut the walls off level at the eaves",
    ),
    Fault.STEP: (
        "the top of a wall has steps, because parts of the building differ in height, which cannot be made yet",
        "make a kit of each part with one height",
    ),
    Fault.FOOT: (
        "the foot of a wall is not level, as on sloping or stepped ground, which cannot be made yet",
        "carry all walls down to one level",
    ),
    Fault.NOTCH: (
        "a wall has a notch, slot or doorway cut into its outline, which cannot be made yet",
        "fill it, so that the wall is one plain rectangle",
    ),
}


def refuse_shape(survey: Survey) -> None:
    """Refuse a mesh whose planes are not upright rectangles of one height on level ground.

    Parameters
    ----------
    survey : Survey
        Of the mesh.

    Raises
    ------
    KitError
        With the first thing wrong, roughest first.
    """
    refuse_no_building(survey)
    _refuse_slopes(survey)
    _refuse_roofs(survey)
    for fault, (what, remedy) in _WALL_SENTENCES.items():
        bad = [wall.plane for wall in survey.walls if wall.fault is fault]
        if bad:
            raise KitError(what, _where(survey, bad), remedy)
    _refuse_heights(survey)


def refuse_levels(survey: Survey, base_m: float) -> None:
    """Refuse level planes that are neither floor nor lid.

    Parameters
    ----------
    survey : Survey
        Of a mesh whose walls are in order.
    base_m : float
        Foot of the walls, metres.

    Raises
    ------
    KitError
        If there is a ceiling, ledge or overhang between.
    """
    span = float(np.hypot(*np.ptp(survey.tidy.points[:, :2], axis=0)))
    play = LEVEL_M + math.tan(math.radians(LEVEL_DEG)) * span
    top = max(wall.high_m for wall in survey.walls)
    middle = []
    for plane in survey.planes(PlaneKind.LEVEL):
        low, high = _heights(survey, plane)
        if high > base_m + LEVEL_M and (low < top - play or high > top + LEVEL_M):
            middle.append(plane)
    if middle:
        raise KitError(
            "a level face lies neither at the foot nor at the top of the walls, as a ledge, an overhang or a raised "
            "roof does, which cannot be made yet",
            _where(survey, middle),
            "delete it, or make a kit of each part with one height",
        )


def refuse_no_building(survey: Survey) -> None:
    """Refuse what has no walls at all."""
    planes = survey.oriented.planes
    remedy = "model the building as upright walls, in metres with z up"
    source = survey.mesh.source
    if not planes:
        raise KitError("no face of the mesh has an area", source, remedy)
    largest = max(planes, key=lambda plane: plane.area_m2)
    off = np.abs((survey.tidy.points - largest.centre) @ largest.normal)
    if float(off.max()) <= 2.0 * COPLANAR_M:
        raise KitError("the mesh is flat: all its faces lie in one plane", source, remedy)
    if not survey.walls:
        what = f"the mesh has no upright walls: none of its {len(planes)} planes is within {UPRIGHT_DEG:.0f} degrees"
        raise KitError(f"{what} of upright", source, remedy)
    slopes = survey.planes(PlaneKind.SLOPE)
    upright = sum(wall.plane.area_m2 for wall in survey.walls)
    if len(slopes) >= _MANY_SLOPES and sum(plane.area_m2 for plane in slopes) > upright:
        what = f"the mesh is curved or rough: {len(slopes)} of its {len(planes)} planes are neither upright nor level"
        raise KitError(what, source, remedy)


def _refuse_slopes(survey: Survey) -> None:
    """Refuse pitched roofs, and slopes that look down."""
    slopes = survey.planes(PlaneKind.SLOPE)
    for down, sentence, advice in (
        (
            False,
            "faces slope, as of a pitched roof: {} by {}, which cannot be made yet",
            "cut the walls off level at the eaves",
        ),
        (True, "the building overhangs: {} downwards by {}, which cannot be made yet", "make all walls upright"),
    ):
        what, remedy = sentence, advice
        wrong = [plane for plane in slopes if (plane.tilt_deg > 90.0) is down]
        if wrong:
            angles = sorted(180.0 - plane.tilt_deg if down else plane.tilt_deg for plane in wrong)
            low, high = f"{angles[0]:.1f}", f"{angles[-1]:.1f}"
            span = f"{low} degrees" if low == high else f"{low} to {high} degrees"
            if angles[0] > _STEEP_DEG and not down:
                what, remedy = "walls lean: {} by {}, which cannot be made yet", "make all walls upright"
            count = "1 plane slopes" if len(wrong) == 1 else f"{len(wrong)} planes slope"
            raise KitError(what.format(count, span), _where(survey, wrong), remedy)


def _refuse_roofs(survey: Survey) -> None:
    """Refuse level roofs at different heights."""
    base = min(wall.low_m for wall in survey.walls)
    level = [plane for plane in survey.planes(PlaneKind.LEVEL) if plane.normal[2] > 0 and plane.area_m2 > _LEDGE_M2]
    roofs = [plane for plane in level if plane.centre[2] > base + LEVEL_M]
    roofs.sort(key=lambda plane: float(plane.centre[2]))
    if not roofs:
        return
    span = float(np.hypot(*np.ptp(survey.tidy.points[:, :2], axis=0)))
    low, high = roofs[0], roofs[-1]
    if high.centre[2] - low.centre[2] > LEVEL_M + math.tan(math.radians(LEVEL_DEG)) * span:
        raise KitError(
            f"the building has level tops at different heights, {low.centre[2]:.2f} m and {high.centre[2]:.2f} m, "
            "which cannot be made yet",
            _where(survey, [low, high]),
            "make a kit of each part with one height",
        )


def _refuse_heights(survey: Survey) -> None:
    """Refuse walls that do not all stand on one level."""
    base = min(wall.low_m for wall in survey.walls)
    raised = [wall for wall in survey.walls if min(wall.foot_m) > base + LEVEL_M]
    if not raised:
        return
    raise KitError(
        f"a wall starts at {min(raised[0].foot_m):.2f} m although the lowest starts at {base:.2f} m, as where parts of "
        "the building differ in height, a roof edge overhangs or the ground slopes, which cannot be made yet",
        _where(survey, [wall.plane for wall in raised]),
        "carry all walls down to one level, or delete the faces that do not belong to the walls",
    )


def _heights(survey: Survey, plane: PlaneFace) -> tuple[float, float]:
    """Lowest and highest height of a plane's corners."""
    z = survey.tidy.points[np.concatenate(plane.rings), 2]
    return float(z.min()), float(z.max())


def _where(survey: Survey, planes: Sequence[PlaneFace]) -> str:
    return face_list(survey.mesh, np.concatenate([plane.faces for plane in planes]))
