"""Lengths written the way a maker wrote them before."""

from __future__ import annotations

from halfbat.errors import KitError
from halfbat.sites.walls import Sites
from halfbat.surfaces.chosen import chosen_bond, chosen_format
from halfbat.units import LengthStyle, format_length

_SAME_M = 0.0006
_IMPERIAL = ("ft", "in", "'", '"', "foot", "feet")


def told_length(sites: Sites, metres: float, before: str, style: LengthStyle = "metric") -> str:
    """Write a length the way it was written before, as far as that says it.

    Parameters
    ----------
    sites : Sites
        For lengths in bricks and courses.
    metres : float
        Zero or more.
    before : str
        How it was written; stays as it is where it says the same to half a millimetre.
    style : {"metric", "mm", "imperial"}
        Where it was not written yet, or in bricks that do not come out even.
    """
    try:
        if abs(sites.length_m(before) - metres) < _SAME_M:
            return before
    except KitError:
        return format_length(metres, style)  # what cannot be read has no way of being written
    brick = chosen_format(sites.settings.brick)
    gauge_m = chosen_bond(sites.settings.brick).gauge_m(brick)
    for word, unit_m, step in (("course", gauge_m, 1.0), ("brick", brick.stretcher_module_m, 0.5)):
        count = round(metres / unit_m / step) * step
        if word in before and abs(count * unit_m - metres) < _SAME_M:
            return f"{count:g} {word}" + ("" if count == 1 else "s")
    if any(unit in before for unit in _IMPERIAL):
        return format_length(metres, "imperial")
    if before.rstrip().endswith("mm"):
        return format_length(metres, "mm")
    return format_length(metres, style)
