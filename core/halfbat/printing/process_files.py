"""A maker's own process as a TOML file that can be kept, copied and shared.

::

    kind = "resin"
    name = "Bench printer, grey resin"
    preset = "resin 0.05 mm"      # figures that the file does not name are taken from here
    pixel_x_mm = 0.04
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from halfbat.errors import KitError
from halfbat.printing.processes import PRESETS, preset_process
from halfbat.settings import FilamentProcess, Process, ResinProcess, Setting, settings_of
from halfbat.settings.checks import check_kit_name, check_value, did_you_mean

LARGEST_FILE_BYTES = 100_000
KINDS: Mapping[str, type[ResinProcess] | type[FilamentProcess]] = {
    "resin": ResinProcess,
    "filament": FilamentProcess,
}


@dataclass(frozen=True, slots=True)
class NamedProcess:
    """A process with the name its maker gave it.

    Parameters
    ----------
    name : str
        Free text.
    process : ResinProcess or FilamentProcess
        Its figures.
    """

    name: str
    process: Process


def read_process_file(path: Path, kind: str | None = None) -> NamedProcess:
    """Read a process file.

    Parameters
    ----------
    path : Path
        TOML, at most 100 kB.
    kind : {"resin", "filament"}, optional
        What it must be for.

    Raises
    ------
    KitError
        One sentence with the file, the key and what is allowed.
    """
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE_BYTES + 1)
    except FileNotFoundError:
        raise KitError(
            "there is no such process file", str(path), "check its name, or see halfbat process list"
        ) from None
    except OSError as error:
        raise KitError(f"the process file cannot be read ({error.strerror})", str(path), "name a TOML file") from error
    if len(data) > LARGEST_FILE_BYTES:
        raise KitError("this is too large to be a process file", str(path), "give a TOML file of at most 100 kB")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise KitError("the process file is not text in UTF-8", str(path), "save it as UTF-8") from None
    return process_from_text(text, path.name, kind)


def process_from_text(text: str, name: str, kind: str | None = None) -> NamedProcess:
    """Read the text of a process file; ``name`` is what to call it in a refusal.

    Raises
    ------
    KitError
        See `read_process_file`.
    """
    try:
        table = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        raise KitError(f"this is not TOML: {str(error).splitlines()[0][:120]}", name, "correct it there") from None
    own_kind = table.pop("kind", None)
    if own_kind not in KINDS:
        raise KitError("the kind is missing or not known", f"{name}, kind", "give kind = 'resin' or 'filament'")
    if kind is not None and own_kind != kind:
        raise KitError(f"this is a {own_kind} process, not a {kind} one", name, f"name a file of kind {kind}")
    title = table.pop("name", Path(name).stem)
    if not isinstance(title, str):
        raise KitError("the name is not text", f"{name}, name", "put it in quotes")
    check_kit_name(title, f"{name}, name", "a process")
    return NamedProcess(title, _process(KINDS[own_kind], table, name))


def _process(process_class: type[Process], table: Mapping[str, object], name: str) -> Process:
    records = {record.key: record for record in settings_of(process_class)}
    values: dict[str, Any] = {}
    for key, given in table.items():
        values[key] = checked_figure(records, key, given, name)
    start = preset_process(values["preset"]) if "preset" in values else process_class()
    return replace(start, **values)


def checked_figure(records: Mapping[str, Setting], key: str, given: object, name: str) -> object:
    """Return one figure of a process, or refuse it in a sentence that names the file and the key."""
    if key not in records:
        known = tuple(records)
        raise KitError(f"there is no key '{key}'", name, f"{did_you_mean(key, known)}use one of {', '.join(known)}")
    return check_value(records[key], given, f"{name}, {key}")


def process_text(named: NamedProcess) -> str:
    """Return a process as the text of its file: every figure, with a word on each."""
    process = named.process
    lines = [
        "# A process of Halfbat: a printer with its material and what the two can do.",
        "# Lengths are millimetres. Print a coupon and put its readings in with: halfbat process set FILE key=value",
        f"kind = {json.dumps(process.kind)}",
        f"name = {json.dumps(named.name, ensure_ascii=False)}",
    ]
    for record in settings_of(type(process)):
        value = getattr(process, record.key)
        shown = json.dumps(value) if isinstance(value, str) else repr(value)
        lines.append(f"{record.key + ' = ' + shown:<36}# {record.label}")
    return "\n".join(lines) + "\n"


def builtin(name: str) -> NamedProcess | None:
    """Return the generic process of a name, or None."""
    return next((NamedProcess(name, process) for process in PRESETS if process.preset == name), None)
