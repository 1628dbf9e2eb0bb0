"""Choosing a printer fills in its figures."""

from __future__ import annotations

from bpy.types import Context, PropertyGroup

from halfbat.printing.processes import preset_process
from halfbat.settings import settings_of


def fill_process(chosen: PropertyGroup, _context: Context) -> None:
    """Set every figure of a process to those of the preset just chosen.

    Parameters
    ----------
    chosen : PropertyGroup
        The group of ``resin`` or ``filament`` settings.
    """
    process = preset_process(chosen.preset)  # type: ignore[attr-defined]
    for record in settings_of(type(process)):
        if record.key != "preset":
            setattr(chosen, record.key, getattr(process, record.key))
