"""Finishes: what takes the place of the bricks over a band of a wall's height."""

from __future__ import annotations

from collections.abc import Callable

from halfbat.settings import FinishRequest
from halfbat.surfaces.dressing import Dressing
from halfbat.surfaces.features.site import FeatureSite, where_of
from halfbat.surfaces.finishes.blocks import blocks
from halfbat.surfaces.finishes.coursed_rubble import coursed_rubble
from halfbat.surfaces.finishes.random_rubble import random_rubble
from halfbat.surfaces.finishes.render import render
from halfbat.surfaces.finishes.sheet import sheet
from halfbat.surfaces.finishes.weatherboard import weatherboard

FINISH_PIECES = frozenset(
    {
        "rubble stone",
        "ashlar",
        "cut ashlar",
        "concrete block",
        "cut concrete block",
        "render coat",
        "weatherboard",
        "corrugated sheet",
        "box-profile sheet",
    }
)
"""What the pieces of finishes are called in parts lists."""
_MAKERS: dict[str, Callable[[FinishRequest, FeatureSite, str], Dressing]] = {
    "coursed rubble": coursed_rubble,
    "random rubble": random_rubble,
    "ashlar": blocks,
    "concrete block": blocks,
    "render": render,
    "weatherboard": weatherboard,
    "corrugated sheet": sheet,
    "box-profile sheet": sheet,
}


def finish_units(request: FinishRequest, site: FeatureSite, number: int = 1) -> Dressing:
    """Build one finish of a wall.

    Parameters
    ----------
    request : FinishRequest
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
        A length cannot be read, or the band has no height on the wall.
    """
    return _MAKERS[request.kind](request, site, where_of(request, number, site.letter))


FINISH_KINDS = frozenset(_MAKERS)
"""Names of finishes."""

__all__ = ["FINISH_KINDS", "FINISH_PIECES", "finish_units"]
