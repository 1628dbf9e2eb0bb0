"""A few hands for building a page as a tree, so that whatever a kit is called stays text."""

from __future__ import annotations

from collections.abc import Iterable
from xml.etree import ElementTree as ET

Child = ET.Element | str


def el(tag: str, *children: Child, **attributes: str) -> ET.Element:
    """Return an element.

    Parameters
    ----------
    tag : str
        Its name.
    *children : Element or str
        What is in it, in order.
    **attributes : str
        ``class_`` and ``for_`` lose their underscore; other underscores become hyphens.
    """
    names = {name.rstrip("_").replace("_", "-"): value for name, value in attributes.items()}
    element = ET.Element(tag, names)
    for child in children:
        add(element, child)
    return element


def add(element: ET.Element, child: Child) -> None:
    """Put a child at the end of an element."""
    if isinstance(child, ET.Element):
        element.append(child)
    elif len(element):
        element[-1].tail = (element[-1].tail or "") + child
    else:
        element.text = (element.text or "") + child


def section(key: str, heading: str, *children: Child, class_: str = "") -> ET.Element:
    """Return a section with a heading of the second order, to be linked to by its key."""
    extra = {"class_": class_} if class_ else {}
    return el(
        "section", el("h2", heading, id=f"{key}-heading"), *children, id=key, aria_labelledby=f"{key}-heading", **extra
    )


def table(caption: str, heads: Iterable[str], rows: Iterable[ET.Element], class_: str = "") -> ET.Element:
    """Return a table with a caption and column heads; rows are ``tr`` elements."""
    head = el("thead", el("tr", *(el("th", text, scope="col") for text in heads)))
    return el("table", el("caption", caption), head, el("tbody", *rows), class_=class_ or "plain")


def row(*cells: Child, head: bool = True, **attributes: str) -> ET.Element:
    """Return a row; its first cell is its head where asked."""
    parts = [el("th", cells[0], scope="row") if head else el("td", cells[0]), *(el("td", cell) for cell in cells[1:])]
    return el("tr", *parts, **attributes)


def bullets(texts: Iterable[Child]) -> ET.Element:
    """Return a list without order."""
    return el("ul", *(el("li", text) for text in texts))
