"""The drawings to scale, the exploded view and the plates."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from xml.etree import ElementTree as ET

from halfbat.booklet.figures import Figures
from halfbat.booklet.html import el, section
from halfbat.drawings.contents import DrawnKit
from halfbat.drawings.drawing import Drawing, Item, Label, Shape, line, rectangle
from halfbat.drawings.elevation import elevation, elevation_size
from halfbat.drawings.exploded import exploded
from halfbat.drawings.finding_marks import finding_marks, numbered_findings
from halfbat.drawings.plans import plan, roof_plan

EXPLODED_ROOM_MM = (176.0, 150.0)
TRUE_MM = 100.0


def drawing_section(kit: DrawnKit, figures: Figures) -> ET.Element:
    """Return elevations, plan and roof plan, each with what it is drawn at."""
    text = (
        "Sizes over a dimension line are on the model, under it full size. Bricks are drawn by their joints; each "
        "number "
        "stands where its part goes. The drawings are true to size when the page is printed at 100 %, not fitted to "
        "the "
        "page."
    )
    shown = [figures.figure(true_bar(), "Measure this bar before you measure anything else.", class_="true")]
    drawings: list[Drawing] = []
    if kit.plan.walls:
        size = elevation_size(kit)
        numbers = numbered_findings(kit)
        if numbers:
            text = text + " Numbers in rings are those of the findings."
        drawings = [
            _marked(elevation(kit, wall, size), finding_marks(kit, wall.wall.letter, size, numbers))
            for wall in kit.plan.walls
        ]
        drawings += [plan(kit), roof_plan(kit, figures.faces)]
    for drawing in drawings:
        caption = (
            f" seen from outside, {drawing.scale_text}."
            if drawing.key.startswith("elev")
            else f", {drawing.scale_text}."
        )
        shown += [el("h3", drawing.title), figures.figure(drawing, drawing.title + caption)]
    return section("drawings", "Drawings", el("p", text), *shown)


def _marked(drawing: Drawing, marks: tuple[Item, ...]) -> Drawing:
    return replace(drawing, items=(*drawing.items, *marks)) if marks else drawing


def exploded_section(kit: DrawnKit, figures: Figures) -> ET.Element:
    """Return the exploded view."""
    drawn = exploded(kit, figures.faces, EXPLODED_ROOM_MM)
    caption = "All parts with their numbers, drawn apart along the way they are put on. Not to scale."
    if any(part.kind == "insert" for part in kit.parts):
        caption += " Doors and windows are drawn before their walls, but go in from inside."
    return section("exploded", "Exploded view", figures.figure(drawn, caption))


def plate_section(plates: Iterable[Drawing], figures: Figures) -> ET.Element | None:
    """Return the plates as they are printed, or None where there are none."""
    shown = [figures.figure(plate, f"{plate.title}. {plate.scale_text}".strip()) for plate in plates]
    if not shown:
        return None
    text = (
        "Parts as they lie on the printers' plates, seen from above. Skins are not turned: pixels may differ in X and "
        "Y."
    )
    return section("plates", "Plates", el("p", text), *shown)


def true_bar() -> Drawing:
    """Return a bar of 100 mm in tens, to check a print with."""
    items = [
        Shape((rectangle(10.0 * i, 0.0, 10.0 * (i + 1), 2.0),), "bar" if i % 2 == 0 else "blank")
        for i in range(round(TRUE_MM / 10))
    ]
    ends = [Shape((line((x, -1.0), (x, 3.0)),), "dimension", closed=False) for x in (0.0, TRUE_MM)]
    label = Label((TRUE_MM + 2.0, 1.0), f"{TRUE_MM:g} mm on paper", 2.6, "start")
    text = f"A bar that is {TRUE_MM:g} mm long where the page is printed true to size."
    return Drawing("true-bar", "Check bar", text, (*items, *ends, label))
