"""The order of assembly, the glue and the finishing, as parts of the page."""

from __future__ import annotations

from xml.etree import ElementTree as ET

from halfbat.booklet.figures import Figures
from halfbat.booklet.finishing import finishing_layers, inside_text
from halfbat.booklet.glue import GENERAL, glue_joints
from halfbat.booklet.html import bullets, el, row, section, table
from halfbat.booklet.step import Step
from halfbat.booklet.steps import assembly_steps
from halfbat.drawings.contents import DrawnKit
from halfbat.drawings.drawing import Drawing
from halfbat.drawings.exploded import apart

STEP_ROOM_MM = (72.0, 58.0)
_NUMBER_MM = 2.6


def steps_section(kit: DrawnKit, figures: Figures) -> ET.Element:
    """Return all steps, each with the parts it uses and a picture."""
    steps = assembly_steps(kit)
    text = (
        "Each step names the parts it uses, and no others. In the pictures they are toned, with their numbers; what "
        "is in "
        "place already is drawn in grey lines."
    )
    shown = [_step(kit, figures, place, step) for place, step in enumerate(steps, start=1)]
    return section("assembly", "Order of assembly", el("p", text), *shown)


def _step(kit: DrawnKit, figures: Figures, place: int, step: Step) -> ET.Element:
    uses = [
        el(
            "li",
            part.number if part.quantity == 1 else f"{part.number} x{part.quantity}",
            data_part=part.number,
            data_quantity=str(part.quantity),
        )
        for part in step.uses
    ]
    told = el("div", el("h3", f"{place}. {step.title}"))
    if uses:
        told.append(el("ul", *uses, class_="uses", aria_label="Parts used"))
    for text in step.text:
        told.append(el("p", text))
    children = [told]
    if step.uses:
        items = apart(kit, figures.faces, step.uses, step.there, STEP_ROOM_MM, _NUMBER_MM)
        names = ", ".join(f"{part.number} {part.name}" for part in step.uses)
        drawing = Drawing(f"step-{place}", f"Step {place}", f"{step.title}: {names}.", items)
        children.append(el("figure", figures.drawing(drawing)))
    return el("div", *children, class_="step" if step.uses else "step bare")


def glue_section(kit: DrawnKit) -> ET.Element:
    """Return what is glued to what."""
    rows = [row(joint.between, joint.materials, joint.gap, joint.glue) for joint in glue_joints(kit)]
    heads = ("Joint", "Materials", "Gap", "Glue")
    return section(
        "glue", "Glue", table("Every kind of joint in this kit.", heads, rows), bullets(GENERAL), class_="follows"
    )


def finishing_section(kit: DrawnKit) -> ET.Element:
    """Return how it is painted."""
    layers = [el("li", el("strong", f"{name}. "), text) for name, text in finishing_layers(kit)]
    text = "In layers, from the bare print outward. Try the colours on a spare print or a cut-off support first."
    inside = [el("p", inside_text(kit))] if any(part.kind == "shell" for part in kit.parts) else []
    return section("finishing", "Finishing", el("p", text), el("ol", *layers), *inside, class_="follows")
