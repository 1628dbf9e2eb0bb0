"""An opening the maker asks for: a door, a window or a vent in a wall."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from halfbat.errors import KitError
from halfbat.settings.checks import check_value
from halfbat.settings.setting import Setting, setting, settings_of

HEAD_CHOICES = {
    "lintel": "Lintel",
    "soldier course": "Soldier course",
    "flat arch": "Flat gauged arch",
    "segmental arch": "Segmental arch",
    "semicircular arch": "Semicircular arch",
    "circular": "Circular",
}
LINTEL_CHOICES = {"concrete": "Concrete", "stone": "Stone", "timber": "Timber"}
WORK_CHOICES = {"rough": "Rough (rings of headers)", "gauged": "Gauged (cut voussoirs with a key)"}
SKEWBACK_CHOICES = {
    "60 degrees": "60 degrees (equilateral triangle)",
    "one third": "A third of the height",
    "by span": "1/2 in per foot of span per 4 in of height",
}
SILL_CHOICES = {"none": "None", "stone": "Stone", "brick on edge": "Brick on edge", "tile": "Tile, two courses"}
INSERT_CHOICES = {
    "none": "None",
    "boarded door": "Boarded door",
    "flush door": "Flush door",
    "panelled door": "Panelled door",
    "louvred door": "Louvred door",
    "casement window": "Casement window",
    "sash window": "Sash window",
    "metal window": "Metal window",
    "vent": "Vent",
}
MOST_PANES = 12
_PANES = re.compile(r"\s*(\d{1,2})\s*[xX×]\s*(\d{1,2})\s*")


def needed(label: str, help_text: str, choices: Mapping[str, str] | None = None) -> str:
    """Make a field of text, or of a choice, without a default that carries its own `Setting`."""
    record = Setting(
        "",
        label,
        help_text,
        "choice" if choices else "text",
        "",
        None,
        None,
        "",
        tuple(choices or ()),
        tuple((choices or {}).values()),
    )
    made: str = field(metadata={"setting": record})
    return made


@dataclass(frozen=True, slots=True)
class OpeningRequest:
    """One opening; lengths are full size, as written, and may count bricks or courses."""

    wall: str = needed("Wall", "Letter of the wall.")
    at: str = needed("At", "Left jamb from the wall's left end seen from outside: 1.2 m, 4ft or 5.5 bricks.")
    width: str = needed("Width", "Width between the jambs: 910 mm, 3ft or 4 bricks.")
    height: str = needed(
        "Height", "From the sill to the underside of the head, at the crown of an arch: 1.2 m, 4ft or 16 courses."
    )
    sill_height: str = setting(
        "0", "Sill height", "Height of the sill above the wall's foot: 0.9 m or 12 courses; 0 for a door."
    )
    head: str = setting("lintel", "Head", "What carries the wall over the opening.", choices=HEAD_CHOICES)
    lintel: str = setting("concrete", "Lintel", "What a lintel is made of.", choices=LINTEL_CHOICES)
    work: str = setting(
        "rough",
        "Arch",
        "How a segmental, semicircular or circular arch is built: rings of whole headers, or voussoirs cut to shape.",
        choices=WORK_CHOICES,
    )
    rings: int = setting(
        1,
        "Rings",
        "Depth of a segmental, semicircular or circular arch in half bricks: rings of a rough arch, or how deep the "
        "voussoirs of a gauged one are.",
        minimum=1,
        maximum=4,
    )
    rise: str = setting(
        "", "Rise", "Rise of a segmental arch: 150 mm or 2 courses. Empty takes a sixth of the width (common practice)."
    )
    skewback: str = setting("60 degrees", "Skewback", "Slope of the ends of a flat arch.", choices=SKEWBACK_CHOICES)
    camber: bool = setting(True, "Camber", "Raise the underside of a flat arch by 1/8 in per foot of span.")
    sill: str = setting("none", "Sill", "What stands under the opening.", choices=SILL_CHOICES)
    insert: str = setting("none", "Insert", "Door or window that fills the opening.", choices=INSERT_CHOICES)
    leaves: int = setting(1, "Leaves", "Leaves of a door: one or two.", minimum=1, maximum=2)
    panes: str = setting("2x3", "Panes", "Panes of a window, columns x rows: 2x3. From 1x1 to 12x12.")


def parse_panes(text: str, where: str) -> tuple[int, int]:
    """Read how many panes a window has.

    Parameters
    ----------
    text : str
        Columns x rows, such as ``"2x3"``.
    where : str
        Place named in the refusal.

    Returns
    -------
    tuple of int
        Columns and rows, each from 1 to 12.

    Raises
    ------
    KitError
        When it is not two such numbers.
    """
    found = _PANES.fullmatch(text)
    columns, rows = (int(found[1]), int(found[2])) if found else (0, 0)
    if not (1 <= columns <= MOST_PANES and 1 <= rows <= MOST_PANES):
        raise KitError(
            f"'{text[:20]}' is not a number of panes",
            where,
            f"write columns x rows, such as 2x3, each from 1 to {MOST_PANES}",
        )
    return columns, rows


def check_opening(request: OpeningRequest, where: str) -> None:
    """Refuse an opening whose choices or numbers are not allowed; its lengths are read later, with the brick.

    Raises
    ------
    KitError
        For the first value of the wrong type, out of range or not among its choices.
    """
    for record in settings_of(OpeningRequest):
        check_value(record, getattr(request, record.key), f"{where} {record.key}")
    parse_panes(request.panes, f"{where} panes")
