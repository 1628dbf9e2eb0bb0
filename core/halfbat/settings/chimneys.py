"""A chimney the maker asks for on a roof whose mesh has none."""

from __future__ import annotations

from dataclasses import dataclass

from halfbat.settings.checks import check_value
from halfbat.settings.openings import needed
from halfbat.settings.setting import setting, settings_of

CHIMNEY_LENGTHS = ("at", "behind", "width", "depth", "height")
MOST_POTS = 6


@dataclass(frozen=True, slots=True)
class ChimneyRequest:
    """One chimney; lengths are full size, as written, and may count bricks or courses."""

    wall: str = needed("Wall", "Letter of a wall that the chimney stands parallel to.")
    at: str = needed("At", "Its middle from the wall's left end seen from outside: 2.4 m or 8ft.")
    behind: str = setting(
        "", "Behind", "Its middle behind the face of the wall: 1.2 m. Empty sets it astride the ridge behind the wall."
    )
    width: str = setting("690 mm", "Width", "Along the wall. Usual: 690 mm or 3 bricks, for two flues.")
    depth: str = setting("465 mm", "Depth", "Square to the wall. Usual: 465 mm or 2 bricks.")
    height: str = setting("0.9 m", "Height", "Above the highest place of the roof it stands on. Usual: 0.9 m or 3ft.")
    pots: int = setting(
        2, "Pots", "Pots along its longer side. Usual: one for each flue.", minimum=0, maximum=MOST_POTS
    )


def check_chimney(request: ChimneyRequest, where: str) -> None:
    """Refuse a chimney whose values are not allowed; its lengths are read later, with the brick.

    Raises
    ------
    KitError
        For the first value of the wrong type or out of range.
    """
    for record in settings_of(ChimneyRequest):
        check_value(record, getattr(request, record.key), f"{where} {record.key}")
