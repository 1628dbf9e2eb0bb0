"""The booklet as one page that asks nothing of any network."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from xml.etree import ElementTree as ET

from halfbat import __version__
from halfbat.booklet.drawing_section import drawing_section, exploded_section, plate_section
from halfbat.booklet.figures import Figures
from halfbat.booklet.html import el
from halfbat.booklet.opening import cautions, contents, cover
from halfbat.booklet.parts_section import parts_section
from halfbat.booklet.settings_section import findings_section, settings_section
from halfbat.booklet.steps_section import finishing_section, glue_section, steps_section
from halfbat.booklet.stylesheet import stylesheet
from halfbat.drawings.contents import DrawnKit
from halfbat.drawings.plates import plate_drawing, plates_of_parts
from halfbat.printing.plates import Plate, plates_for

FILE_NAME = "booklet.html"
LANGUAGE = "en-GB"


def booklet_html(
    kit: DrawnKit,
    *,
    plates: Sequence[Plate] | None = None,
    rendered: Mapping[str, bytes] | None = None,
) -> bytes:
    """Return ``booklet.html`` as bytes in UTF-8.

    The same kit gives the same bytes; there is no date in it, and no script, font or picture from elsewhere.

    Parameters
    ----------
    kit : DrawnKit
        A made kit.
    plates : sequence of Plate, optional
        How its parts are laid out for printing; by default as they are written into the kit's folder.
    rendered : mapping of str to bytes, optional
        Rendered pictures, PNG or JPEG, by ``"assembled"`` or the number of a part, in place of drawn ones.
    """
    figures = Figures(kit, rendered)
    laid_out = plates_for(kit).plates if plates is None else plates
    plate_drawings = [plate_drawing(kit, plate) for plate in laid_out]
    head = cover(kit, figures)
    sections = [
        cautions(),
        parts_section(kit, figures, plates_of_parts(laid_out)),
        drawing_section(kit, figures),
        exploded_section(kit, figures),
        *(part for part in [plate_section(plate_drawings, figures)] if part is not None),
        steps_section(kit, figures),
        glue_section(kit),
        finishing_section(kit),
        settings_section(kit),
        findings_section(kit),
    ]
    headings = [(part.get("id", ""), part[0].text or "") for part in sections]
    page = el(
        "html",
        el(
            "head",
            el("meta", charset="utf-8"),
            el("meta", name="viewport", content="width=device-width, initial-scale=1"),
            el("meta", name="generator", content=f"Halfbat {__version__}"),
            el("title", f"{kit.name}, {kit.scale.name}: booklet"),
            el("style", stylesheet()),
        ),
        el("body", figures.definitions(), head, contents(headings), el("main", *sections)),
        lang=LANGUAGE,
    )
    text: bytes = ET.tostring(page, "utf-8", method="html")
    return b"<!DOCTYPE html>\n" + text + b"\n"
