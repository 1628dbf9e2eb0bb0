"""A picture of each plate, with the number of every part on it."""

from __future__ import annotations

from xml.sax.saxutils import escape

import numpy as np

from halfbat.printing.compensation import correction
from halfbat.printing.plates import Placement, Plate, amount_of
from halfbat.printing.silhouettes import silhouette
from halfbat.settings import ResinProcess, Settings

_EDGE_MM = 4.0
_PX_PER_MM = 6.0
_STYLE = (
    "text{font-family:sans-serif;fill:#1a1a1a}"
    ".plate{fill:#f7f5f0;stroke:#777;stroke-width:.3}"
    ".free{fill:none;stroke:#aaa;stroke-width:.2;stroke-dasharray:1 1}"
    ".resin{fill:#d9a38f;stroke:#7a3b28;stroke-width:.15;fill-rule:evenodd}"
    ".filament{fill:#aebfcb;stroke:#3a5566;stroke-width:.2;fill-rule:evenodd}"
    ".number{text-anchor:middle;dominant-baseline:central;font-weight:bold}"
)


def plate_svg(plate: Plate, title: str) -> bytes:
    """Draw a plate from above, one millimetre to a unit.

    Parameters
    ----------
    plate : Plate
        Laid out.
    title : str
        Name of the kit.
    """
    process = plate.process
    wide, high = process.usable_x_mm, process.usable_y_mm
    size = max(2.2, min(5.0, wide / 40))
    left, top = _EDGE_MM, _EDGE_MM + 3.0 * size
    whole = wide + 2 * _EDGE_MM, high + _EDGE_MM + top
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>\n',
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {whole[0]:g} {whole[1]:g}" '
        f'width="{whole[0] * _PX_PER_MM:.0f}" height="{whole[1] * _PX_PER_MM:.0f}">\n',
        f'<style>{_STYLE}</style>\n<rect width="100%" height="100%" fill="#fff"/>\n',
        _text(left, _EDGE_MM + size, size, f"{title}, {_head(plate)}"),
        _text(left, _EDGE_MM + 2.3 * size, 0.7 * size, _detail(plate)),
        f'<rect class="plate" x="{left:g}" y="{top:g}" width="{wide:g}" height="{high:g}"/>\n',
    ]
    if process.margin_mm > 0:
        inset = process.margin_mm
        lines.append(
            f'<rect class="free" x="{left + inset:g}" y="{top + inset:g}" width="{max(wide - 2 * inset, 0):g}" '
            f'height="{max(high - 2 * inset, 0):g}"/>\n'
        )
    for placed in plate.placements:
        lines.append(_piece(placed, plate, left, top + high))
    return "".join([*lines, "</svg>\n"]).encode()


def _text(x: float, y: float, size: float, text: str) -> str:
    return f'<text x="{x:.2f}" y="{y:.2f}" font-size="{size:.2f}">{escape(text)}</text>\n'


def _head(plate: Plate) -> str:
    count = len(plate.placements)
    return f"plate {plate.name}: {count} piece{'' if count == 1 else 's'}"


def _detail(plate: Plate) -> str:
    process, amount = plate.process, amount_of(plate)
    room = f"{process.usable_x_mm:g} x {process.usable_y_mm:g} mm, layers of {process.layer_mm:g} mm"
    if isinstance(process, ResinProcess):
        return (
            f"{room}, pixels of {process.pixel_x_mm:g} x {process.pixel_y_mm:g} mm, {amount.resin_ml:.1f} ml of resin"
        )
    return f"{room}, {amount.filament_g:.0f} g or {amount.filament_m:.1f} m of filament"


def _piece(placed: Placement, plate: Plate, left: float, foot: float) -> str:
    process = plate.process
    scale = correction(placed.part, _settings(plate))[:2]
    path = []
    for ring in silhouette(placed.part.solid):
        there = (ring * scale) @ placed.matrix[:2, :2].T + placed.matrix[:2, 3]
        points = np.stack([left + there[:, 0], foot - there[:, 1]], axis=1)
        path.append("M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in points.tolist()) + "Z")
    wide, high = placed.size_mm
    upright = high > 1.6 * wide
    along, across = (high, wide) if upright else (wide, high)
    text = placed.part.number
    size = max(1.2, min(0.6 * across, along / (0.75 * len(text)), 8.0))
    x, y = left + placed.x_mm, foot - placed.y_mm
    # A part too narrow for its number has it beside it.
    if size > across:
        x, y = (x + across / 2 + 0.7 * size, y) if upright else (x, y - across / 2 - 0.7 * size)
    turn = f' transform="rotate(-90 {x:.2f} {y:.2f})"' if upright else ""
    return (
        f'<path class="{process.kind}" d="{"".join(path)}"/>\n'
        f'<text class="number" x="{x:.2f}" y="{y:.2f}" font-size="{size:.2f}"{turn}>{escape(text)}</text>\n'
    )


def _settings(plate: Plate) -> Settings:
    process = plate.process
    return Settings(resin=process) if isinstance(process, ResinProcess) else Settings(filament=process)
