"""How lines, areas and text look: one table for SVG and for the layers of a DXF.

Dark on white and told apart by weight and dashes, so that a black-and-white print says as much as a screen.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True, slots=True)
class Style:
    """A pen.

    Parameters
    ----------
    layer : str
        Layer in a DXF.
    stroke : str
        Colour, or ``"none"``.
    width_mm : float
        On paper.
    fill : str
        Colour, or ``"none"``.
    dash : str
        Lengths of dashes and gaps, mm, empty for a full line.
    """

    layer: str
    stroke: str
    width_mm: float
    fill: str = "none"
    dash: str = ""


STYLES: Mapping[str, Style] = MappingProxyType(
    {
        "outline": Style("OUTLINE", "#111111", 0.3),
        "panel": Style("PANELS", "#111111", 0.15),
        "skin": Style("PANELS", "none", 0.0, "#ffffff"),
        "bond": Style("BRICKS", "#999999", 0.05),
        "face": Style("PICTURE", "#222222", 0.13, "#ffffff"),
        "ghost": Style("PICTURE", "#9a9a9a", 0.1, "#ffffff"),
        "unit": Style("OPENINGS", "#555555", 0.08),
        "feature": Style("FEATURES", "#333333", 0.13),
        "step": Style("FEATURES", "#111111", 0.32),
        "hole": Style("FEATURES", "#333333", 0.05, "#555555"),
        "grain": Style("FINISHES", "#777777", 0.14),
        "beyond": Style("ROOF", "#333333", 0.08, "#ffffff"),
        "beyond-fine": Style("ROOF", "none", 0.0, "#ffffff"),
        "swatch": Style("FINISHES", "#333333", 0.1),
        "cover": Style("COVERS", "#111111", 0.2, "#d9d9d9"),
        "cover-fine": Style("COVERS", "none", 0.0, "#d9d9d9"),
        "seam": Style("SEAMS", "#111111", 0.25, "none", "1.6 0.7 0.3 0.7"),
        "wire": Style("SEAMS", "#111111", 0.6, "none", "2.4 0.8"),
        "resin": Style("SKINS", "#111111", 0.13, "#777777"),
        "filament": Style("SHELL", "#111111", 0.13, "#d2d2d2"),
        "hidden": Style("HIDDEN", "#333333", 0.18, "none", "1.2 0.7"),
        "light": Style("OUTLINE", "#666666", 0.13),
        "dimension": Style("DIMENSIONS", "#333333", 0.13),
        "finding": Style("FINDINGS", "#111111", 0.35),
        "leader": Style("NUMBERS", "#333333", 0.13),
        "bar": Style("SCALE", "#111111", 0.13, "#111111"),
        "blank": Style("SCALE", "#111111", 0.13, "#ffffff"),
        "text": Style("TEXT", "none", 0.0, "#111111"),
        "number": Style("NUMBERS", "none", 0.0, "#000000"),
    }
)


def css() -> str:
    """Return the rules of all styles, for classes named ``hb-STYLE``."""
    rules = []
    for name, style in STYLES.items():
        if name in ("text", "number"):
            weight = "bold" if name == "number" else "normal"
            rules.append(
                f".hb-{name}{{fill:{style.fill};font-family:Helvetica,Arial,sans-serif;font-weight:{weight};"
                "paint-order:stroke;stroke:#fff;stroke-width:.5;stroke-linejoin:round}"
            )
            continue
        dash = f";stroke-dasharray:{style.dash}" if style.dash else ""
        rules.append(
            f".hb-{name}{{fill:{style.fill};fill-rule:evenodd;stroke:{style.stroke};stroke-width:{style.width_mm:g};"
            f"stroke-linejoin:round{dash}}}"
        )
    # The width of brick lines goes with the size they are drawn at, and is given where they are used.
    rules.append(".hb-bond{stroke-width:inherit}")
    return "\n".join(rules)
