"""Whether a part fits the printer it is meant for."""

from __future__ import annotations

from halfbat.findings import Finding, Severity
from halfbat.parts.part import Part
from halfbat.settings import ResinProcess, Settings

_ROUNDING_MM = 1e-3


def may_be_turned(part: Part, settings: Settings) -> bool:
    """Whether a part may be turned by a quarter on its plate: skins never, other resin parts where pixels are square.

    Panels of one wall must look alike, and pixels may differ in X and Y.
    """
    if part.kind == "skin":
        return False
    return part.process != "resin" or _square(settings.resin)


def _square(resin: ResinProcess) -> bool:
    return resin.pixel_x_mm == resin.pixel_y_mm and resin.scale_x == resin.scale_y


def longest_turned_mm(resin: ResinProcess) -> float:
    """Return the length of the longest thin part there is room for along X or, where it may be turned, along Y."""
    return max(resin.part_room_mm[:2]) if _square(resin) else resin.part_room_mm[0]


def room_findings(part: Part, settings: Settings) -> tuple[Finding, ...]:
    """Say where a part is larger than its printer has room for.

    Parameters
    ----------
    part : Part
        In its print frame, or turned by a quarter where it may be.
    settings : Settings
        Both processes, with their margins and scale corrections.
    """
    if part.process == "bought":
        return ()
    process = settings.resin if part.process == "resin" else settings.filament
    size = part.solid.size_mm
    room = process.part_room_mm
    x, y, z = (float(value) - _ROUNDING_MM for value in size)
    ways = [(x, y), (y, x)] if may_be_turned(part, settings) else [(x, y)]
    if z <= room[2] and any(wide <= room[0] and deep <= room[1] for wide, deep in ways):
        return ()
    text = (
        f"is {size[0]:.1f} x {size[1]:.1f} x {size[2]:.1f} mm, the {part.process} printer has room for "
        f"{room[0]:g} x {room[1]:g} x {room[2]:g} mm"
    )
    return (Finding(Severity.FAILURE, "too-large", part.number, text, "choose a larger printer or a smaller scale"),)
