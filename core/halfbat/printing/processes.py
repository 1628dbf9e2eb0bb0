"""Generic printers as data. No figure is a maker's; each is a start that a printed coupon should settle.

Pixel pitches are the usual ones of masked resin printers: the width of the screen over its pixels, which differ in X
and Y on some. Usable areas leave 3 to 5 mm at the edges, where the light is uneven (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from halfbat.errors import KitError
from halfbat.settings import FilamentProcess, Process, ResinProcess


@dataclass(frozen=True, slots=True)
class _Screen:
    """A size of resin printer; everything else is as in `ResinProcess`."""

    preset: str
    pixel_x_mm: float
    pixel_y_mm: float
    layer_mm: float
    usable_mm: tuple[float, float, float]

    def process(self) -> ResinProcess:
        x, y, z = self.usable_mm
        return ResinProcess(
            preset=self.preset,
            pixel_x_mm=self.pixel_x_mm,
            pixel_y_mm=self.pixel_y_mm,
            layer_mm=self.layer_mm,
            usable_x_mm=x,
            usable_y_mm=y,
            usable_z_mm=z,
        )


_SCREENS = (
    _Screen("resin 0.019 x 0.024 mm", 0.019, 0.024, 0.03, (210.0, 114.0, 200.0)),
    _Screen("resin 0.022 mm", 0.022, 0.022, 0.03, (145.0, 80.0, 160.0)),
    _Screen("resin 0.0285 mm", 0.0285, 0.0285, 0.05, (210.0, 114.0, 200.0)),
    _Screen("resin 0.035 mm", 0.035, 0.035, 0.05, (125.0, 75.0, 160.0)),
    _Screen("resin 0.05 mm", 0.05, 0.05, 0.05, (115.0, 65.0, 150.0)),
)

PRESETS: tuple[Process, ...] = (*(screen.process() for screen in _SCREENS), FilamentProcess(preset="filament 0.4 mm"))
"""Every process that can be chosen by name; its name is its ``preset``."""


def preset_process(name: str) -> Process:
    """Return the process of a name such as ``"resin 0.05 mm"``.

    Raises
    ------
    KitError
        When there is none.
    """
    for process in PRESETS:
        if process.preset == name:
            return replace(process)
    known = ", ".join(process.preset for process in PRESETS)
    raise KitError(f"there is no printer '{name}'", "preset", f"choose one of {known}")
