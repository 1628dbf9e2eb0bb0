"""Whether the walls that a maker names are there."""

from __future__ import annotations

from collections.abc import Sequence

from halfbat.errors import KitError
from halfbat.parts.wall_features import named_walls
from halfbat.settings import Settings


def check_letters(letters: Sequence[str], settings: Settings, bare: Sequence[str] = ()) -> None:
    """Refuse settings that name a wall which is not there, or which is too small for a skin.

    Parameters
    ----------
    letters : sequence of str
        Of the walls that get skins.
    settings : Settings
        What the maker chose.
    bare : sequence of str
        Of the walls that are too small for one.

    Raises
    ------
    KitError
        For the first such wall.
    """
    named = [(seam.wall, "seams") for seam in settings.seams]
    named += [(span.wall, "no_seams") for span in settings.no_seams]
    named += [(cover.wall, "downpipes") for cover in settings.downpipes]
    named += [(cover.wall, "cable_runs") for cover in settings.cable_runs]
    named += [(opening.wall, f"opening {number}") for number, opening in enumerate(settings.openings, 1)]
    named += [(chimney.wall, f"chimney {number}") for number, chimney in enumerate(settings.chimneys, 1)]
    named += named_walls(settings)
    for letter, where in named:
        remedy = f"name one of the walls {', '.join(letters)}"
        if letter in bare:
            raise KitError(f"wall {letter} is too small for a skin at this scale and stays bare", where, remedy)
        if letter not in letters:
            raise KitError(f"there is no wall {letter!r}", where, remedy)
