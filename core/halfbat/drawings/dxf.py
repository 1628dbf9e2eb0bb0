"""Drawings as DXF at model size, through the package ezdxf where it is installed."""

from __future__ import annotations

import io
from fractions import Fraction
from typing import Any

import numpy as np

from halfbat.drawings.brickwork import joint_lines
from halfbat.drawings.drawing import Brickwork, Dimension, Drawing, Label, Shape
from halfbat.drawings.styles import STYLES
from halfbat.errors import KitError
from halfbat.optional import optional_module

MILLIMETRES = 4
"""Value of the header's ``$INSUNITS``."""
_DIMENSIONS = {"dimlfac": 1.0, "dimdec": 2, "dimzin": 0}


def dxf_bytes(drawing: Drawing) -> bytes:
    """Return a drawing to scale as the bytes of a DXF file, one millimetre of the model to a unit.

    The pens of drawings become layers. The same drawing gives the same bytes.

    Parameters
    ----------
    drawing : Drawing
        One drawn to scale.

    Raises
    ------
    KitError
        The drawing is a picture, or ezdxf is missing.
    """
    size = drawing.data.get("paper-per-model")
    if size is None:
        raise KitError(f"'{drawing.key}' is a picture and not to scale", "", "choose an elevation or plan for a DXF")
    ezdxf = optional_module("ezdxf", "a DXF", "pip install 'halfbat[dxf]', or draw an SVG")
    # Otherwise the time of writing and random names would make every file differ.
    ezdxf.options.write_fixed_meta_data_for_testing = True
    document = ezdxf.new("R2010", setup=True, units=MILLIMETRES)
    for style in dict.fromkeys(style.layer for style in STYLES.values()):
        document.layers.add(style)
    writer = _Writer(document.modelspace(), 1 / float(Fraction(size)), ezdxf.enums.TextEntityAlignment)
    for item in drawing.items:
        writer.write(item)
    # Its classes come out of sets, in another order in every run.
    document.classes.add_required_classes(document.dxfversion)
    document.classes.classes = dict(sorted(document.classes.classes.items()))
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode("utf-8")


class _Writer:
    """Puts items into a model space, from paper to model size."""

    def __init__(self, space: Any, per_paper: float, alignments: Any) -> None:  # noqa: ANN401 - ezdxf may be missing
        self._space = space
        self._per_paper = per_paper
        self._alignments = alignments

    def write(self, item: Shape | Label | Dimension | Brickwork) -> None:
        """Put in one item."""
        if isinstance(item, Shape) and STYLES[item.style].stroke == "none":
            return  # white areas that only cover what lies behind
        if isinstance(item, Shape):
            for ring in item.rings:
                layer = {"layer": STYLES[item.style].layer}
                self._space.add_lwpolyline((ring * self._per_paper).tolist(), close=item.closed, dxfattribs=layer)
        elif isinstance(item, Label):
            self._label(item)
        elif isinstance(item, Dimension):
            self._dimension(item)
        else:
            for joint in joint_lines(item):
                ends = (joint @ item.matrix[:, :2].T + item.matrix[:, 2]) * self._per_paper
                self._space.add_line(*ends.tolist(), dxfattribs={"layer": STYLES["bond"].layer})

    def _label(self, item: Label) -> None:
        layer = {"layer": STYLES[item.style].layer}
        text = self._space.add_text(item.text, height=item.height_mm * self._per_paper, dxfattribs=layer)
        text.dxf.rotation = item.angle_deg
        align = {"start": "MIDDLE_LEFT", "middle": "MIDDLE_CENTER", "end": "MIDDLE_RIGHT"}[item.anchor]
        text.set_placement((np.array(item.at) * self._per_paper).tolist(), align=self._alignments[align])

    def _dimension(self, item: Dimension) -> None:
        start, end = np.array(item.start) * self._per_paper, np.array(item.end) * self._per_paper
        dimension = self._space.add_aligned_dim(
            p1=start.tolist(),
            p2=end.tolist(),
            distance=item.away_mm * self._per_paper,
            text=f"<> mm / {item.full_text}",
            override={**_DIMENSIONS, "dimtxt": item.text_mm * self._per_paper, "dimasz": 0.9 * self._per_paper},
            dxfattribs={"layer": STYLES["dimension"].layer},
        )
        dimension.render()
