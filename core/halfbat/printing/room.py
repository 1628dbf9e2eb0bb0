"""Whether a part fits the printer it is meant for."""

from __future__ import annotations

from halfbat.findings import Finding, Severity
from halfbat.parts.part import Part
from halfbat.settings import Settings

_ROUNDING_MM = 1e-3


def room_findings(part: Part, settings: Settings) -> tuple[Finding, ...]:
    """Say where a part is larger than its printer, once its scale correction is applied.

    Parameters
    ----------
    part : Part
        In its print frame; skins are not turned, since pixels may differ in X and Y, other parts may be turned flat
        on the plate by a quarter.
    settings : Settings
        Both processes.
    """
    if part.process == "bought":
        return ()
    process = settings.resin if part.process == "resin" else settings.filament
    size = part.solid.size_mm * (process.scale_x, process.scale_y, process.scale_z)
    x, y, z = (float(value) - _ROUNDING_MM for value in size)
    across = (x, y) if part.kind == "skin" or x <= process.usable_x_mm else (y, x)
    if across[0] <= process.usable_x_mm and across[1] <= process.usable_y_mm and z <= process.usable_z_mm:
        return ()
    text = (
        f"is {size[0]:.1f} x {size[1]:.1f} x {size[2]:.1f} mm, the {part.process} printer has room for "
        f"{process.usable_x_mm:g} x {process.usable_y_mm:g} x {process.usable_z_mm:g} mm"
    )
    return (Finding(Severity.FAILURE, "too-large", part.number, text, "choose a larger printer or a smaller scale"),)
