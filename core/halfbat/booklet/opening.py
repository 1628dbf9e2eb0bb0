"""What stands first: the cover, the contents and the cautions."""

from __future__ import annotations

from collections.abc import Iterable
from xml.etree import ElementTree as ET

import numpy as np

from halfbat.booklet.cautions import AUTHORITIES, CAUTIONS
from halfbat.booklet.figures import Figures
from halfbat.booklet.html import bullets, el, row, section, table
from halfbat.drawings.contents import DrawnKit
from halfbat.drawings.exploded import assembled
from halfbat.surfaces.chosen import chosen_bond, chosen_format
from halfbat.units import format_length

COVER_ROOM_MM = (165.0, 125.0)


def cover(kit: DrawnKit, figures: Figures) -> ET.Element:
    """Return name, scale, picture and sizes."""
    drawn = assembled(kit, figures.faces, COVER_ROOM_MM)
    picture = figures.rendered("assembled", drawn.description, COVER_ROOM_MM[0])
    shown = picture if picture is not None else figures.drawing(drawn)
    bond, brick = chosen_bond(kit.settings.brick), chosen_format(kit.settings.brick)
    lead = (
        f"A model kit in the scale {kit.scale.name}: a brick building of {len(kit.building.walls)} walls, laid in "
        f"{bond.name} bond with {brick.name} bricks, {kit.plan.coursing.courses} courses high. "
        f"{_bricks(kit)}{_made_of(kit)}"
    )
    return el(
        "header",
        el("h1", kit.name),
        el("p", lead, class_="lead"),
        el("figure", shown, el("figcaption", "The finished model.")),
        _sizes(kit),
        class_="cover",
    )


def _bricks(kit: DrawnKit) -> str:
    skins = [part for part in kit.parts if part.kind == "skin"]
    count = sum(number * part.quantity for part in skins for number in part.counts.values())
    return f"{count:,} bricks show on its faces. ".replace(",", "\u202f") if count else ""


def _made_of(kit: DrawnKit) -> str:
    kinds = {part.process for part in kit.parts}
    words = {"resin": "resin skins", "filament": "a filament shell", "bought": "bought parts"}
    made = [words[kind] for kind in ("resin", "filament", "bought") if kind in kinds]
    return f"It is put together from {' and '.join(made)}." if made else ""


def _sizes(kit: DrawnKit) -> ET.Element:
    extent = np.ptp(kit.plan.corners_mm, axis=0)
    rows = [
        ("Overall, along X", float(extent[0])),
        ("Overall, along Y", float(extent[1])),
        ("Height of the walls", kit.plan.height_mm),
    ]
    cells = []
    for name, model in rows:
        metres = model / kit.scale.mm_per_m
        cells.append(row(name, f"{model:.2f} mm", format_length(metres), format_length(metres, "imperial")))
    return table("Sizes over the brick faces.", ("", "Model", "Full size", "Full size, imperial"), cells, "sizes")


def contents(sections: Iterable[tuple[str, str]]) -> ET.Element:
    """Return links to sections, given by key and heading."""
    links = (el("li", el("a", heading, href=f"#{key}")) for key, heading in sections)
    return el("nav", el("h2", "Contents", id="contents-heading"), el("ol", *links), aria_labelledby="contents-heading")


def cautions() -> ET.Element:
    """Return what to mind before any work."""
    items = [el("span", el("strong", f"{name}. "), text) for name, text in CAUTIONS]
    return section("cautions", "Before you start", el("p", AUTHORITIES), bullets(items), class_="follows")
