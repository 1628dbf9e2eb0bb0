"""What a kit file says, and the names of its tables that are not groups of settings."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from halfbat.settings import Settings

BUILDING_KEYS = ("mesh", "box")
SEAM_KEYS = ("wall", "at", "path", "hide")
NO_SEAM_KEYS = ("wall", "start", "end")
PROCESS_FILE_KEY = "file"
"""In the tables of processes: names a process file that fills in the table's figures."""
COVER_KEYS = ("wall", "at")
CABLE_RUN_KEYS = ("wall", "at", "path", "seam")
LIST_TABLES = ("seams", "no_seams", "downpipes", "cable_runs", "opening", "feature", "finish", "chimney", "roof_light")


@dataclass(frozen=True, slots=True)
class KitFile:
    """What a kit file says.

    Parameters
    ----------
    settings : Settings
        Every choice, with defaults where the file says nothing.
    mesh : Path or None
        Wavefront OBJ, metres, z up; found from the kit file's own folder when relative.
    box_m : tuple of float or None
        Length, width and height of a plain box, full size in metres, where there is no mesh.
    """

    settings: Settings
    mesh: Path | None = None
    box_m: tuple[float, float, float] | None = None
