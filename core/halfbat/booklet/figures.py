"""The figures of a page: each drawn once, and what they share kept for one place in the page."""

from __future__ import annotations

import base64
from collections.abc import Mapping
from xml.etree import ElementTree as ET

from halfbat.booklet.html import Child, el
from halfbat.drawings.contents import DrawnKit
from halfbat.drawings.drawing import Drawing
from halfbat.drawings.exploded import Faces
from halfbat.drawings.faces import kit_faces
from halfbat.drawings.svg import shared_definitions, svg_element

_IMAGE_STARTS = ((b"\x89PNG", "image/png"), (b"\xff\xd8", "image/jpeg"))


class Figures:
    """Collects the drawings of one page.

    Parameters
    ----------
    kit : DrawnKit
        The kit.
    rendered : mapping of str to bytes
        Pictures made elsewhere, PNG or JPEG, by the key of the drawing they stand for (``"assembled"``, a part's
        number).
    """

    def __init__(self, kit: DrawnKit, rendered: Mapping[str, bytes] | None = None) -> None:
        self.kit = kit
        self.faces: Faces = kit_faces(kit)
        self._rendered = dict(rendered or {})
        self._drawn: list[Drawing] = []

    def drawing(self, drawing: Drawing) -> ET.Element:
        """Return a drawing as an element of the page."""
        self._drawn.append(drawing)
        return svg_element(drawing, shared=True)

    def figure(self, drawing: Drawing, *caption: Child, class_: str = "sheet") -> ET.Element:
        """Return a drawing as a figure with a caption."""
        return el("figure", self.drawing(drawing), el("figcaption", *caption), class_=class_)

    def rendered(self, key: str, text: str, width_mm: float) -> ET.Element | None:
        """Return a rendered picture as an element, or None where there is none of that key."""
        data = self._rendered.get(key)
        kind = next((name for start, name in _IMAGE_STARTS if data is not None and data.startswith(start)), None)
        if data is None or kind is None:
            return None
        source = f"data:{kind};base64,{base64.b64encode(data).decode()}"
        return el("img", src=source, alt=text, style=f"width:{width_mm:g}mm")

    def definitions(self) -> ET.Element:
        """Return what all drawings so far refer to."""
        return shared_definitions(self._drawn)
