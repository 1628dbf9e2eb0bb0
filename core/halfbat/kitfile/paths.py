"""The path of a cable run or of the seam under it in the kit file: a list of points, each along and up the wall."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from halfbat.errors import KitError
from halfbat.kitfile.entries import place
from halfbat.settings import CableRunRequest, SeamRequest
from halfbat.settings.paths import FOOT, TOP, path_points, path_text

WRITE_POINTS = (
    'write it like path = [["4.2 m", "foot"], ["4.2 m", "12 courses"], ["5 m", "12 courses"], ["5 m", "top"]]'
)


def read_place(entry: Mapping[str, object], where: str) -> tuple[str, str]:
    """Return where along its wall something stands, and its path as text; the path says the place where it is alone.

    Parameters
    ----------
    entry : mapping
        With ``at``, ``path`` or both; the path is a list of points or text.
    where : str
        Name of the entry for refusals.

    Raises
    ------
    KitError
        The path is no list of points, a length cannot be read, or neither is given.
    """
    given = entry.get("path", "")
    if isinstance(given, str):
        points = path_points(given, f"{where} path")
    elif isinstance(given, list) and all(isinstance(point, list) and len(point) == 2 for point in given):
        points = path_points(path_text([_words(point) for point in given]), f"{where} path")
    else:
        raise KitError("the path is not a list of points", f"{where} path", WRITE_POINTS)
    read = []
    for number, (along, up) in enumerate(points, start=1):
        here = f"{where} path, point {number}"
        high = up.lower() if up.lower() in (FOOT, TOP) else place({"height": up}, "height", here)
        read.append((place({"place": along}, "place", here), high))
    at = place({"at": read[0][0]} if read and "at" not in entry else entry, "at", where)
    return at, path_text(read)


def told_place(request: SeamRequest | CableRunRequest) -> dict[str, Any]:
    """Return what to write of where something stands: its place, or its path."""
    if not request.path:
        return {"at": request.at}
    points = path_points(request.path)
    return {**({} if request.at == points[0][0] else {"at": request.at}), "path": points}


def _words(point: list[Any]) -> tuple[str, str]:
    along, up = (
        f"{round(float(value), 6):.12g} m"
        if isinstance(value, int | float) and not isinstance(value, bool)
        else str(value).replace(";", " ")
        for value in point
    )
    return along, up
