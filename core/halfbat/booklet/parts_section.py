"""The parts list with a picture of each part, and what a kit needs that is not printed."""

from __future__ import annotations

from collections.abc import Mapping
from xml.etree import ElementTree as ET

from halfbat.booklet.figures import Figures
from halfbat.booklet.html import Child, bullets, el, row, section, table
from halfbat.drawings.contents import DrawnKit
from halfbat.drawings.part_drawings import part_drawing
from halfbat.parts.part import Part

ROOM_MM = (34.0, 20.0)
_HEADS = ("Number", "Picture", "What it is", "Quantity in all", "Process, plate", "Size, mm", "Volume of one, cm³")


def parts_section(kit: DrawnKit, figures: Figures, plates: Mapping[str, str]) -> ET.Element:
    """Return the parts list.

    Parameters
    ----------
    kit, figures
        The kit, and the figures of the page.
    plates : mapping of str to str
        Names of the plates a part is printed on, by its number; may be empty.
    """
    pieces = sum(part.quantity for part in kit.parts)
    caption = (
        f"{len(kit.parts)} different parts, {pieces} pieces in all. Quantities are totals for the whole kit. Sizes are "
        "as printed: X, Y, Z."
    )
    heads = [head if plates else head.removesuffix(", plate") for head in _HEADS]
    rows = [_row(kit, part, figures, plates) for part in kit.parts]
    return section(
        "parts",
        "What is in the kit",
        table(caption, heads, rows, "parts"),
        *_totals(kit),
        el("div", el("h3", "Not in the kit"), _to_buy(kit), class_="keep"),
    )


def _row(kit: DrawnKit, part: Part, figures: Figures, plates: Mapping[str, str]) -> ET.Element:
    size = " × ".join(f"{value:.2f}" for value in part.solid.size_mm.tolist())
    notes = [el("br"), el("small", " ".join(part.notes))] if part.notes else []
    cells: list[Child] = [
        el("span", part.number, class_="number"),
        _picture(kit, part, figures),
        el("span", part.name, *notes),
        str(part.quantity),
        el("span", f"{part.process} ", el("br"), el("small", plates.get(part.number, "–"))) if plates else part.process,
        size,
        f"{part.solid.volume_mm3 / 1000:.2f}",
    ]
    element = row(*cells, data_part=part.number, data_quantity=str(part.quantity))
    for cell, class_ in zip(element[1:], ("picture", "what", "count", "process", "size", "volume"), strict=True):
        cell.set("class", class_)
    for cell, head in zip(element[3:], _HEADS[3:], strict=True):
        # On a narrow screen there are no columns, and each cell says what it is.
        cell.set("data-label", head if plates else head.removesuffix(", plate"))
    return element


def _picture(kit: DrawnKit, part: Part, figures: Figures) -> ET.Element:
    text = f"{part.number}, {part.name}"
    rendered = figures.rendered(part.number, text, ROOM_MM[0])
    if rendered is not None:
        return rendered
    return figures.drawing(part_drawing(kit, part, figures.faces, ROOM_MM))


def _totals(kit: DrawnKit) -> list[ET.Element]:
    """How much material the parts hold: real volumes, without supports, waste or spare."""
    texts = []
    for process in ("resin", "filament"):
        volume = sum(part.solid.volume_mm3 * part.quantity for part in kit.parts if part.process == process)
        if volume:
            texts.append(f"{process} parts {volume / 1000:.1f} cm³")
    if not texts:
        return []
    return [
        el("p", f"In all: {', '.join(texts)}, as solid, without supports, infill settings or waste.", class_="small")
    ]


def _to_buy(kit: DrawnKit) -> ET.Element:
    wanted: dict[tuple[str, str], float] = {}
    for item in kit.materials:
        wanted[item.name, item.unit] = wanted.get((item.name, item.unit), 0.0) + item.quantity
    texts: list[Child] = [f"{name}: {round(amount, 1):g} {unit} in all" for (name, unit), amount in wanted.items()]
    texts += [
        "Glue, of the kinds named under Glue",
        "Primer, paint for joints, bricks and fittings, a wash, matt varnish",
        "Low-tack tape, fine files, wet abrasive paper, a sharp blade, a filler for gaps",
        "For resin parts: gloves, eye protection, washing liquid and a curing lamp, as your resin's supplier says",
    ]
    return bullets(texts)
