"""Presets of brickwork, roofs and printers: small files of the kit file's tables, the maker's own and those shipped.

The maker's own lie where Blender keeps presets, so they move with Blender's settings from version to version.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

import bpy

from halfbat.errors import KitError
from halfbat.settings import check_kit_name

ENDING = ".toml"
SECTIONS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {"brick": ("brick",), "roof": ("roof",), "printers": ("resin", "filament")}
)
"""Groups of settings that a preset of each section holds."""


def shipped_folder(section: str) -> Path:
    """Return the folder of the presets that come with Halfbat."""
    return Path(__file__).parent / "shipped_presets" / section


def own_folder(section: str, *, create: bool = False) -> Path:
    """Return the folder of the maker's own presets, in Blender's folder of presets."""
    place = str(Path("presets") / "halfbat" / section)
    return Path(bpy.utils.user_resource("SCRIPTS", path=place, create=create))


def presets_in(folder: Path) -> list[Path]:
    """Return the presets of a folder by name."""
    return sorted(folder.glob(f"*{ENDING}"), key=lambda path: path.stem.casefold()) if folder.is_dir() else []


def own_preset(section: str, name: str, *, create: bool = False) -> Path:
    """Return the file of one of the maker's own presets, there or not.

    Raises
    ------
    KitError
        When the name cannot be that of a file.
    """
    if not name:
        raise KitError("the preset has no name", "", "type one beside the plus")
    check_kit_name(name, "preset")
    return own_folder(section, create=create) / f"{name}{ENDING}"
