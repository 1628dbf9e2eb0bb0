"""Roof lights the maker asks for: where on a slope, how large, and how they are made."""

from __future__ import annotations

from dataclasses import dataclass

from halfbat.settings.checks import check_value
from halfbat.settings.openings import needed, parse_panes
from halfbat.settings.setting import setting, settings_of

ROOF_LIGHT_LENGTHS = ("at", "up", "width", "height", "spacing")
ROOF_LIGHT_STYLES = {
    "cast iron": "Cast iron, with glazing bars",
    "patent glazing": "Patent glazing",
    "modern": "Modern roof window",
}
GLAZING_CHOICES = {"open": "Open", "solid": "Solid"}
MOST_IN_A_ROW = 40


@dataclass(frozen=True, slots=True)
class RoofLightRequest:
    """One roof light, or a row of them; lengths are full size, as written, and may count courses of the covering."""

    slope: str = needed("Slope", "Letter of the slope, as the numbers of its roof skins have it: A for RA1.")
    at: str = needed("At", "Its middle from the slope's left end seen from outside: 2.4 m or 8ft.")
    up: str = setting("1 m", "Up", "Its foot up the slope from the eaves: 1 m, 3ft or 5 courses of the covering.")
    width: str = setting("610 mm", "Width", "Outside of its frame along the eaves. Usual: 450 mm to 1.2 m.")
    height: str = setting("914 mm", "Height", "Outside of its frame up the slope. Usual: 600 mm to 1.4 m.")
    style: str = setting("cast iron", "Style", "How it is made.", choices=ROOF_LIGHT_STYLES)
    panes: str = setting(
        "", "Panes", "Columns x rows: 3x1. Empty takes what is usual for the style and the width. From 1x1 to 12x12."
    )
    glazing: str = setting(
        "open",
        "Glazing",
        "Open panes are glazed when the kit is built and let lamps shine through; solid ones are "
        "painted, or printed in clear resin.",
        choices=GLAZING_CHOICES,
    )
    count: int = setting(1, "Count", "How many there are in a row along the eaves.", minimum=1, maximum=MOST_IN_A_ROW)
    spacing: str = setting("1.2 m", "Spacing", "From the middle of each to the middle of the next: 1.2 m or 4ft.")


def check_roof_light(request: RoofLightRequest, where: str) -> None:
    """Refuse a roof light whose values are not allowed; its lengths are read later, with the covering.

    Raises
    ------
    KitError
        For the first value of the wrong type or out of range.
    """
    for record in settings_of(RoofLightRequest):
        check_value(record, getattr(request, record.key), f"{where} {record.key}")
    if request.panes.strip():
        parse_panes(request.panes, f"{where} panes")
