"""The path of something that bends on a wall, as people write it: places along the wall and heights, by pairs."""

from __future__ import annotations

import re
from collections.abc import Sequence

from halfbat.errors import KitError

FOOT, TOP = "foot", "top"
MOST_POINTS = 60
LONGEST_PATH = 4000
WRITE_PATH = 'write each point as "4.2 m, 12 courses", the place along the wall and the height, with ; between points'
#: A comma between two digits is a decimal comma.
_BETWEEN = re.compile(r"(?<!\d)\s*,|,(?!\d)")

PathPoint = tuple[str, str]


def path_points(text: str, where: str = "") -> tuple[PathPoint, ...]:
    """Part the text of a path into its points.

    Parameters
    ----------
    text : str
        ``"4.2 m, foot; 4.2 m, 12 courses; 5 m, 12 courses; 5 m, top"``. Empty for no path.
    where : str
        Name for refusals.

    Returns
    -------
    tuple of (str, str)
        Place along the wall from its left end seen from outside, and height over its foot: lengths as written, or
        ``"foot"`` and ``"top"`` for a height. Whether the lengths can be read is known only where they are used.

    Raises
    ------
    KitError
        It does not come in pairs, has one point only, or far too many.
    """
    if not text.strip():
        return ()
    if len(text) > LONGEST_PATH:
        raise KitError(f"a path of {len(text)} letters is too long", where, f"give at most {MOST_POINTS} points")
    found = []
    for point in text.strip().strip(";").split(";"):
        values = [value.strip() for value in _BETWEEN.split(point)]
        if len(values) != 2 or not all(values):
            raise KitError(f"'{point.strip()[:40]}' is not a point of a path", where, WRITE_PATH)
        found.append((values[0], values[1]))
    if not 2 <= len(found) <= MOST_POINTS:
        raise KitError(f"a path of {len(found)} points cannot be made", where, f"give 2 to {MOST_POINTS} points")
    return tuple(found)


def path_text(points: Sequence[PathPoint]) -> str:
    """Write the points of a path as `path_points` reads them."""
    return "; ".join(f"{along}, {up}" for along, up in points)
