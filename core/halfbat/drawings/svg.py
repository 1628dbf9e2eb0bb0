"""Drawings as SVG, in real millimetres.

Plain `xml.etree.ElementTree` from the standard library, not a drawing library: the core ships into Blender without
other wheels, and what is written here is paths and text only. Tree building also escapes whatever a kit is called.
"""

from __future__ import annotations

from collections.abc import Iterable
from xml.etree import ElementTree as ET

import numpy as np

from halfbat.drawings.drawing import (
    Array,
    BondLines,
    Brickwork,
    Dimension,
    Drawing,
    Item,
    Label,
    Shape,
    dimension_line,
    text_width,
)
from halfbat.drawings.styles import STYLES, css

NAMESPACE = "http://www.w3.org/2000/svg"
_TICK_MM = 0.9


def number(value: float) -> str:
    """Write a length to a thousandth of a millimetre, as short as can be."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def path_data(rings: Iterable[Array], closed: bool) -> str:
    """Write rings as the data of a path, y turned down."""
    parts = []
    for ring in rings:
        points = " ".join(f"{number(x)} {number(-y)}" for x, y in ring.tolist())
        parts.append(f"M{points}" + ("z" if closed else ""))
    return "".join(parts)


def svg_element(drawing: Drawing, *, shared: bool) -> ET.Element:
    """Return a drawing as an ``svg`` element.

    Parameters
    ----------
    drawing : Drawing
        What to draw.
    shared : bool
        True where the page holds the style sheet and `shared_definitions` of its drawings once; False makes the
        element complete in itself.
    """
    low, high = drawing.bounds
    wide, tall = (float(value) for value in high - low)
    root = ET.Element(
        "svg",
        {
            "class": "hb-drawing",
            "role": "img",
            "aria-label": f"{drawing.title}. {drawing.description}",
            "width": f"{number(wide)}mm",
            "height": f"{number(tall)}mm",
            "viewBox": f"{number(low[0])} {number(-high[1])} {number(wide)} {number(tall)}",
            "data-drawing": drawing.key,
            **{f"data-{name}": text for name, text in drawing.data.items()},
        },
    )
    ET.SubElement(root, "title").text = drawing.title
    ET.SubElement(root, "desc").text = drawing.description
    if not shared:
        root.set("xmlns", NAMESPACE)
        ET.SubElement(root, "style").text = css()
        root.append(definitions([drawing]))
    for item in drawing.items:
        _draw(root, item)
    return root


def svg_bytes(drawing: Drawing) -> bytes:
    """Return a drawing as the bytes of an SVG file."""
    root = svg_element(drawing, shared=False)
    text: bytes = ET.tostring(root, "utf-8")
    return b'<?xml version="1.0" encoding="UTF-8"?>\n' + text + b"\n"


def shared_definitions(drawings: Iterable[Drawing]) -> ET.Element:
    """Return an ``svg`` element of no size with what the drawings of a page share: the brickwork of each wall."""
    holder = ET.Element("svg", {"width": "0", "height": "0", "class": "hb-shared", "aria-hidden": "true"})
    holder.append(definitions(drawings))
    return holder


def definitions(drawings: Iterable[Drawing]) -> ET.Element:
    """Return the bonds and outlines that drawings refer to, each once."""
    bonds: dict[str, BondLines] = {}
    clips: dict[str, tuple[Array, ...]] = {}
    for drawing in drawings:
        for item in drawing.items:
            if isinstance(item, Brickwork):
                bonds.setdefault(item.bond.key, item.bond)
                clips.setdefault(item.clip_key, item.clips)
    defs = ET.Element("defs")
    for bond in bonds.values():
        defs.append(_bond(bond))
    for key, rings in clips.items():
        clip = ET.SubElement(defs, "clipPath", {"id": f"clip-{key}"})
        ET.SubElement(clip, "path", {"d": _upward(rings), "clip-rule": "evenodd"})
    return defs


def _upward(rings: Iterable[Array]) -> str:
    """Write rings in the wall's own frame, y up: the matrix they are used with turns it down."""
    return path_data((ring * (1.0, -1.0) for ring in rings), closed=True)


def _bond(bond: BondLines) -> ET.Element:
    """Return the joints of a wall: each different course is written once and used at its levels.

    So the size goes with the number of courses, not of bricks.
    """
    group = ET.Element("g", {"id": f"bond-{bond.key}", "class": "hb-bond"})
    length = number(bond.size_mm[0])
    ET.SubElement(group, "path", {"d": "".join(f"M0 {number(v)}H{length}" for v in bond.beds_mm.tolist())})
    first: dict[int, float] = {}
    for index, level in zip(bond.course_pattern.tolist(), bond.beds_mm.tolist(), strict=True):
        name = f"bond-{bond.key}-{index}"
        if index not in first:
            first[index] = level
            rise = number(bond.gauge_mm)
            data = "".join(f"M{number(u)} {number(level)}v{rise}" for u in bond.patterns[index].tolist())
            ET.SubElement(group, "path", {"id": name, "d": data})
        else:
            ET.SubElement(group, "use", {"href": f"#{name}", "y": number(level - first[index])})
    return group


def _draw(root: ET.Element, item: Item) -> None:
    if isinstance(item, Shape):
        fill = {"style": f"fill:{item.fill}"} if item.fill else {}
        open_line = {} if item.closed or item.fill else {"fill": "none"}
        data = path_data(item.rings, item.closed)
        ET.SubElement(root, "path", {"class": f"hb-{item.style}", "d": data, **fill, **open_line})
    elif isinstance(item, Label):
        _label(root, item)
    elif isinstance(item, Dimension):
        _dimension(root, item)
    else:
        _brickwork(root, item)


def _label(root: ET.Element, item: Label) -> None:
    x, y = item.at
    turn = f" rotate({number(-item.angle_deg)})" if item.angle_deg else ""
    attributes = {
        "class": f"hb-{item.style}",
        "transform": f"translate({number(x)} {number(-y)}){turn}",
        "y": number(item.height_mm * 0.36),
        "font-size": number(item.height_mm),
    }
    if item.anchor != "start":
        attributes["text-anchor"] = item.anchor
    if item.part:
        attributes["data-part"] = item.part
        attributes["data-quantity"] = str(item.quantity)
    ET.SubElement(root, "text", attributes).text = item.text


def _dimension(root: ET.Element, item: Dimension) -> None:
    start, end, away = dimension_line(item)
    measured = {"data-model-mm": f"{item.model_mm:.4f}", "data-full-m": f"{item.full_m:.4f}"}
    group = ET.SubElement(root, "g", {"class": "hb-dimension", **measured})
    gap, beyond = away * 0.8, away * 1.2
    rings = [np.array([start, end])]
    for point, at in ((np.array(item.start), start), (np.array(item.end), end)):
        rings.append(np.array([point + gap, at + beyond]))
        slant = np.array([_TICK_MM, _TICK_MM])
        rings.append(np.array([at - slant, at + slant]))
    ET.SubElement(group, "path", {"d": path_data(rings, closed=False), "class": "hb-dimension"})
    angle = float(np.degrees(np.arctan2(*(end - start)[::-1])))
    if angle > 90.1 or angle <= -89.9:
        angle += 180.0 if angle <= -89.9 else -180.0
    up = np.array([-np.sin(np.radians(angle)), np.cos(np.radians(angle))])
    middle, room = (start + end) / 2, float(np.hypot(*(end - start)))
    size = min(item.text_mm, max(1.5, room / text_width(item.model_text, 1.0)))
    for text, side in ((item.model_text, 1.0), (item.full_text, -1.0)):
        x, y = (middle + up * (side * size * 0.75)).tolist()
        _label(group, Label((x, y), text, size, angle_deg=angle))


def _brickwork(root: ET.Element, item: Brickwork) -> None:
    (a, c, e), (b, d, f) = item.matrix.tolist()
    spread = float(np.sqrt(abs(a * d - b * c))) or 1.0
    # Lines of low courses are thinner, so that brickwork has the same tone at every size.
    course = item.bond.gauge_mm * spread
    width = min(STYLES["bond"].width_mm, course * 0.1)
    values = " ".join(f"{value:.5f}".rstrip("0").rstrip(".") for value in (a, -b, c, -d, e, -f))
    group = ET.SubElement(
        root,
        "g",
        {
            "transform": f"matrix({values})",
            "clip-path": f"url(#clip-{item.clip_key})",
            "stroke-width": number(width / spread),
        },
    )
    ET.SubElement(group, "use", {"href": f"#bond-{item.bond.key}"})
