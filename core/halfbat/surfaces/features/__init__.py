"""Features of a wall: what stands out of its bricks, lies back behind them or takes the place of some."""

from __future__ import annotations

from collections.abc import Callable

from halfbat.findings import Finding, Severity
from halfbat.settings import FeatureRequest
from halfbat.settings.features import EVERY_WALL
from halfbat.surfaces.dressing import Dressing
from halfbat.surfaces.features.air_bricks import air_brick, vent
from halfbat.surfaces.features.coping import coping
from halfbat.surfaces.features.corbelling import corbelled_eaves
from halfbat.surfaces.features.dentils import dentil_course
from halfbat.surfaces.features.movement_joint import movement_joint
from halfbat.surfaces.features.piers import pier, recessed_panel
from halfbat.surfaces.features.plinth import plinth
from halfbat.surfaces.features.quoins import quoins
from halfbat.surfaces.features.site import FeatureSite, NoWallThere, where_of
from halfbat.surfaces.features.string_course import string_course
from halfbat.surfaces.features.surround import surround

_MAKERS: dict[str, Callable[[FeatureRequest, FeatureSite, str], Dressing]] = {
    "plinth": plinth,
    "string course": string_course,
    "dentil course": dentil_course,
    "corbelled eaves": corbelled_eaves,
    "coping": coping,
    "pier": pier,
    "pilaster": pier,
    "quoins": quoins,
    "recessed panel": recessed_panel,
    "movement joint": movement_joint,
    "air brick": air_brick,
    "vent": vent,
    "surround": surround,
}


def feature_units(request: FeatureRequest, site: FeatureSite, number: int = 1) -> Dressing:
    """Build one feature of a wall.

    Parameters
    ----------
    request : FeatureRequest
        What the maker asks for.
    site : FeatureSite
        The wall.
    number : int
        Its place among the requests, for refusals.

    Returns
    -------
    Dressing

    Raises
    ------
    KitError
        A length cannot be read, or the wall has no room for it. What is asked for all walls is left out, with a note,
        of a wall that ends below it or begins above it.
    """
    where = where_of(request, number, site.letter)
    try:
        return _MAKERS[request.kind](request, site, where)
    except NoWallThere:
        if request.wall != EVERY_WALL:
            raise
        text = "the wall ends below it or begins above it, and has none"
        note = Finding(Severity.NOTE, "feature-off-wall", where, text)
        return Dressing(request.kind, where, findings=(note,))


__all__ = ["FeatureSite", "feature_units", "where_of"]
