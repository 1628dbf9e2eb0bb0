"""Where a maker's own processes are kept, and finding one by its name or its file."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from halfbat.errors import KitError
from halfbat.printing.process_files import NamedProcess, builtin, process_text, read_process_file
from halfbat.printing.processes import PRESETS

ENVIRONMENT = "HALFBAT_PROCESSES"
_NOT_IN_FILE_NAMES = re.compile(r"[^a-z0-9._-]+")


def shelf_folder(environment: Mapping[str, str] = os.environ) -> Path:
    """Return the folder of the maker's own processes; it need not exist.

    Parameters
    ----------
    environment : mapping of str to str
        ``HALFBAT_PROCESSES`` names it; else it is ``halfbat/processes`` in the system's place for settings.
    """
    if environment.get(ENVIRONMENT):
        return Path(environment[ENVIRONMENT])
    base = environment.get("APPDATA") or environment.get("XDG_CONFIG_HOME")
    home = Path(environment.get("HOME") or environment.get("USERPROFILE") or ".")
    return (Path(base) if base else home / ".config") / "halfbat" / "processes"


def file_name(name: str) -> str:
    """Return the file name of a process, such as ``"bench-printer.toml"``."""
    return (_NOT_IN_FILE_NAMES.sub("-", name.lower()).strip("-.") or "process") + ".toml"


def shelved(folder: Path) -> tuple[tuple[Path, NamedProcess], ...]:
    """Return every process in a folder with its file, by file name; what cannot be read is refused by its name."""
    paths = sorted(folder.glob("*.toml")) if folder.is_dir() else []
    return tuple((path, read_process_file(path)) for path in paths)


def find_process(
    wanted: str, folder: Path, *, beside: Path | None = None, kind: str | None = None
) -> tuple[NamedProcess, Path | None]:
    """Find a process by the name of a preset, a file, or the name of one of the maker's own.

    Parameters
    ----------
    wanted : str
        What was written.
    folder : Path
        The maker's own, see `shelf_folder`.
    beside : Path, optional
        Folder that a relative file is in.
    kind : {"resin", "filament"}, optional
        What it must be for.

    Returns
    -------
    NamedProcess, Path or None
        The process, and its file unless it is a preset.

    Raises
    ------
    KitError
        When there is none, or its file is wrong.
    """
    found = builtin(wanted)
    if found is not None:
        if kind is not None and found.process.kind != kind:
            raise KitError(f"'{wanted}' is a {found.process.kind} process", "process", f"name one of kind {kind}")
        return found, None
    for path in ((beside or Path()) / wanted, folder / wanted, folder / file_name(wanted)):
        if path.is_file():
            return read_process_file(path, kind), path
    known = ", ".join(f"'{process.preset}'" for process in PRESETS if kind in (None, process.kind))
    raise KitError(f"there is no process '{wanted[:60]}'", "process", f"name a .toml file or one of {known}")


def write_process_file(named: NamedProcess, path: Path, *, replace: bool = False) -> None:
    """Write a process to a file, by way of a file beside it so that it is never half there.

    Raises
    ------
    KitError
        When the file is there already and is not to be replaced, or cannot be written.
    """
    if path.exists() and not replace:
        raise KitError("there is such a process already", str(path), "choose another name, or change it with set")
    aside = path.with_name(f".{path.name}.new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        aside.write_text(process_text(named), encoding="utf-8", newline="\n")
        aside.replace(path)
    except OSError as error:
        with suppress(OSError):
            aside.unlink(missing_ok=True)
        raise KitError(f"the file cannot be written ({error.strerror})", str(path), "choose another place") from error
