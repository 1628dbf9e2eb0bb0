"""Settings of a process: a printer with its material and what the two can do.

Every figure is a default that a printed coupon should settle; they are common practice unless said otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from halfbat.settings.setting import setting

RESIN_PRESET_CHOICES = {
    "resin 0.019 x 0.024 mm": "Resin, 0.019 x 0.024 mm pixels",
    "resin 0.022 mm": "Resin, 0.022 mm pixels",
    "resin 0.0285 mm": "Resin, 0.0285 mm pixels",
    "resin 0.035 mm": "Resin, 0.035 mm pixels",
    "resin 0.05 mm": "Resin, 0.05 mm pixels",
}
FILAMENT_PRESET_CHOICES = {"filament 0.4 mm": "Filament, 0.4 mm nozzle"}


def _usable(default: float, label: str, along: str) -> float:
    return setting(
        default,
        label,
        f"Usable size of the printer {along}, mm, a little less than its plate or screen. Usual: 60 to 250.",
        minimum=1.0,
        maximum=2000.0,
        unit="mm",
    )


def _axis(label: str, axis: str) -> float:
    return setting(
        1.0,
        label,
        f"Every part is made this many times as large along {axis} to make up for shrinkage. Usual: "
        "1 to 1.01, 1.006 for 0.6 %; measure it on a printed coupon first.",
        minimum=0.9,
        maximum=1.1,
    )


def _limit(default: float, label: str, help_text: str, minimum: float, maximum: float) -> float:
    return setting(default, label, help_text, minimum=minimum, maximum=maximum, unit="mm")


_MARGIN = "Kept free on every side within the usable size, mm. Usual: 0, since the usable size already leaves an edge."
_SPACING = "Least distance between two parts on a plate, mm."
_FIRST_ZONE = "Height above the plate in which nothing fine prints true, mm."


@dataclass(frozen=True, slots=True)
class ResinProcess:
    """A resin printer and its resin."""

    kind: ClassVar[str] = "resin"

    preset: str = setting(
        "resin 0.05 mm",
        "Printer",
        "Kind of resin printer by the size of its pixels; it fills in the figures below, which you can change.",
        choices=RESIN_PRESET_CHOICES,
    )
    pixel_x_mm: float = _limit(
        0.05, "Pixel X", "Width of one pixel of the screen along X, mm. Usual: 0.02 to 0.05.", 0.005, 0.5
    )
    pixel_y_mm: float = _limit(
        0.05,
        "Pixel Y",
        "Width of one pixel along Y, mm. Many screens differ in X and Y. Usual: 0.02 to 0.05.",
        0.005,
        0.5,
    )
    layer_mm: float = _limit(0.05, "Layer", "Height of one layer, mm. Usual: 0.03 to 0.05.", 0.005, 0.5)
    usable_x_mm: float = _usable(115.0, "Usable X", "along X")
    usable_y_mm: float = _usable(65.0, "Usable Y", "along Y")
    usable_z_mm: float = _usable(150.0, "Usable height", "upward")
    margin_mm: float = _limit(0.0, "Margin", _MARGIN, 0.0, 100.0)
    spacing_mm: float = _limit(3.0, "Spacing", _SPACING + " Usual: 3.", 0.0, 50.0)
    first_zone_mm: float = _limit(0.5, "First layers", _FIRST_ZONE + " Usual: 0.5.", 0.0, 5.0)
    min_wall_mm: float = _limit(
        0.8, "Smallest wall", "Thinnest free wall, tooth or neck that holds, mm. Usual: 0.8.", 0.1, 5.0
    )
    min_groove_mm: float = _limit(
        0.11,
        "Smallest groove",
        "Narrowest groove that is not closed up before or while printing, mm. Usual: 0.11.",
        0.0,
        2.0,
    )
    min_groove_px: int = setting(
        3,
        "Smallest groove, pixels",
        "Narrowest groove in whole pixels, since light spreads by about a pixel to each side. Usual: 3.",
        minimum=1,
        maximum=20,
        unit="px",
    )
    min_groove_depth_mm: float = _limit(
        0.10, "Shallowest groove", "Shallowest groove that still shows when painted, mm. Usual: 0.10.", 0.0, 2.0
    )
    min_stroke_mm: float = _limit(0.30, "Mark stroke", "Width of the strokes of marks, mm. Usual: 0.30.", 0.05, 5.0)
    min_gap_mm: float = _limit(0.30, "Mark gap", "Narrowest wall between strokes of marks, mm. Usual: 0.30.", 0.05, 5.0)
    min_mark_depth_mm: float = _limit(0.30, "Mark depth", "Depth of engraved marks, mm. Usual: 0.30.", 0.05, 5.0)
    min_raised_mm: float = _limit(
        0.15, "Smallest raised piece", "Narrowest raised piece that holds, such as a brick, mm. Usual: 0.15.", 0.02, 5.0
    )
    min_hole_mm: float = _limit(0.8, "Smallest hole", "Smallest hole that stays open, mm. Usual: 0.8.", 0.1, 10.0)
    fit_mm: float = _limit(
        0.15, "Fit", "Clearance of parts that fit together, mm on each side. Usual: 0.10 to 0.20.", 0.0, 2.0
    )
    scale_x: float = _axis("Correction X", "X")
    scale_y: float = _axis("Correction Y", "Y")
    scale_z: float = _axis("Correction Z", "Z")

    @property
    def part_layer_mm(self) -> float:
        """Height of one layer as it lies in a part before its scale correction, mm."""
        return self.layer_mm / self.scale_z

    @property
    def part_room_mm(self) -> tuple[float, float, float]:
        """Largest part there is room for, before its scale correction and inside the margins, mm."""
        return part_room_mm(self)


@dataclass(frozen=True, slots=True)
class FilamentProcess:
    """A filament printer and its filament."""

    kind: ClassVar[str] = "filament"

    preset: str = setting(
        "filament 0.4 mm",
        "Printer",
        "Kind of filament printer by its nozzle; it fills in the figures below, which you can change.",
        choices=FILAMENT_PRESET_CHOICES,
    )
    line_width_mm: float = _limit(
        0.42, "Line width", "Width of one printed line, mm. Usual: 0.42 to 0.45 with a 0.4 mm nozzle.", 0.1, 2.0
    )
    layer_mm: float = _limit(0.2, "Layer", "Height of one layer, mm. Usual: 0.2.", 0.04, 1.0)
    usable_x_mm: float = _usable(200.0, "Usable X", "along X")
    usable_y_mm: float = _usable(200.0, "Usable Y", "along Y")
    usable_z_mm: float = _usable(180.0, "Usable height", "upward")
    margin_mm: float = _limit(0.0, "Margin", _MARGIN, 0.0, 100.0)
    spacing_mm: float = _limit(5.0, "Spacing", _SPACING + " Usual: 5.", 0.0, 50.0)
    first_zone_mm: float = _limit(0.4, "First layers", _FIRST_ZONE + " Usual: 0.4, two layers.", 0.0, 5.0)
    min_wall_mm: float = _limit(
        0.84, "Smallest wall", "Thinnest wall that prints soundly, mm. Two lines is usual.", 0.1, 5.0
    )
    min_stroke_mm: float = _limit(0.50, "Mark stroke", "Width of the strokes of marks, mm. Usual: 0.50.", 0.1, 5.0)
    min_gap_mm: float = _limit(0.50, "Mark gap", "Narrowest wall between strokes of marks, mm. Usual: 0.50.", 0.1, 5.0)
    min_mark_depth_mm: float = _limit(
        0.60, "Mark depth", "Depth of engraved marks, mm. Usual: 0.60, three layers.", 0.05, 5.0
    )
    min_raised_mm: float = _limit(
        0.42, "Smallest raised piece", "Narrowest raised piece that holds, mm. One line is usual.", 0.05, 5.0
    )
    max_overhang_deg: float = setting(
        45.0,
        "Steepest overhang",
        "How far a face may lean out over nothing, in degrees from upright. Usual: 45.",
        minimum=10.0,
        maximum=90.0,
    )
    density_g_cm3: float = setting(
        1.24,
        "Density",
        "Weight of the filament, grams to the cubic centimetre, for estimates. Usual: 1.24 for PLA, 1.27 for PETG.",
        minimum=0.5,
        maximum=5.0,
    )
    strand_mm: float = _limit(1.75, "Strand", "Thickness of the filament on its spool, mm. Usual: 1.75.", 1.0, 4.0)
    min_hole_mm: float = _limit(2.0, "Smallest hole", "Smallest hole that prints well, mm. Usual: 2.0.", 0.1, 10.0)
    fit_mm: float = _limit(
        0.15, "Fit", "Clearance of parts that fit together, mm on each side. Usual: 0.10 to 0.30.", 0.0, 2.0
    )
    scale_x: float = _axis("Correction X", "X")
    scale_y: float = _axis("Correction Y", "Y")
    scale_z: float = _axis("Correction Z", "Z")

    @property
    def part_layer_mm(self) -> float:
        """Height of one layer as it lies in a part before its scale correction, mm."""
        return self.layer_mm / self.scale_z

    @property
    def part_room_mm(self) -> tuple[float, float, float]:
        """Largest part there is room for, before its scale correction and inside the margins, mm."""
        return part_room_mm(self)


Process = ResinProcess | FilamentProcess


def part_room_mm(process: Process) -> tuple[float, float, float]:
    """Return the largest part there is room for along X, Y and Z, before its scale correction, mm."""
    free = 2 * process.margin_mm
    return (
        max(process.usable_x_mm - free, 0.0) / process.scale_x,
        max(process.usable_y_mm - free, 0.0) / process.scale_y,
        process.usable_z_mm / process.scale_z,
    )
