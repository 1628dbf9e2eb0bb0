"""Reading a kit file, with one sentence for everything that can be wrong in it.

Its tables are the groups of the settings and its keys their names, so the two cannot differ. Lengths are numbers in the
unit their key ends in, or text as people write it.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from halfbat.errors import KitError
from halfbat.kitfile.chimneys import read_chimneys
from halfbat.kitfile.entries import WRITE_LENGTH, check_keys, entries, place, wall_letter
from halfbat.kitfile.features import read_features, read_finishes
from halfbat.kitfile.kit_file import (
    BUILDING_KEYS,
    CABLE_RUN_KEYS,
    COVER_KEYS,
    LIST_TABLES,
    NO_SEAM_KEYS,
    PROCESS_FILE_KEY,
    SEAM_KEYS,
    KitFile,
)
from halfbat.kitfile.openings import read_openings
from halfbat.kitfile.paths import read_place
from halfbat.kitfile.roof_lights import read_roof_lights
from halfbat.printing.process_shelf import find_process, shelf_folder
from halfbat.printing.processes import preset_process
from halfbat.settings import (
    CableRunRequest,
    CoverRequest,
    NoSeam,
    Process,
    SeamRequest,
    Setting,
    Settings,
    group_classes,
    settings_of,
)
from halfbat.settings.checks import check_text, check_value, did_you_mean
from halfbat.surfaces.chosen import length_in_bricks_m
from halfbat.units import parse_length

LARGEST_FILE_BYTES = 1_000_000
LARGEST_SIZE_M = 1e6


def read_kit_file(path: Path) -> KitFile:
    """Read a kit file.

    Parameters
    ----------
    path : Path
        A TOML file of at most 1 MB.

    Raises
    ------
    KitError
        One sentence with the file, the table, the key and what is allowed there.
    """
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE_BYTES + 1)
    except FileNotFoundError:
        raise KitError("there is no such kit file", str(path), "check its name") from None
    except IsADirectoryError:
        raise KitError("this is a folder, not a kit file", str(path), "name the .toml file in it") from None
    except ValueError:
        raise KitError("this cannot be the name of a file", str(path), "check its name") from None
    except OSError as error:
        raise KitError(f"the kit file cannot be read ({error.strerror})", str(path), "check its permissions") from error
    if len(data) > LARGEST_FILE_BYTES:
        raise KitError("this is too large to be a kit file", str(path), "give a TOML file of at most 1 MB")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise KitError("the kit file is not text in UTF-8", str(path), "save it as UTF-8") from None
    return kit_file_from_text(text, path.name, path.parent)


def kit_file_from_text(text: str, name: str, folder: Path) -> KitFile:
    """Read the text of a kit file.

    Parameters
    ----------
    text : str
        TOML.
    name : str
        What to call it in a refusal.
    folder : Path
        Folder that a relative mesh is in.

    Raises
    ------
    KitError
        See `read_kit_file`.
    """
    tables = _parsed(text, name)
    _check_tables(tables, name)
    settings = Settings()
    for group in group_classes(Settings):
        settings = _with_table(settings, group, tables.get(group, {}), name, folder)
    requests = tuple(_seam(entry, where) for entry, where in entries(tables, "seams", SEAM_KEYS, name))
    forbidden = tuple(_no_seam(entry, where) for entry, where in entries(tables, "no_seams", NO_SEAM_KEYS, name))
    pipes = entries(tables, "downpipes", COVER_KEYS, name)
    runs = entries(tables, "cable_runs", CABLE_RUN_KEYS, name)
    settings = replace(
        settings,
        seams=requests,
        no_seams=forbidden,
        downpipes=tuple(_downpipe(entry, where) for entry, where in pipes),
        cable_runs=tuple(_cable_run(entry, where) for entry, where in runs),
        openings=read_openings(tables, name),
        features=read_features(tables, name),
        finishes=read_finishes(tables, name),
        chimneys=read_chimneys(tables, name),
        roof_lights=read_roof_lights(tables, name),
    )
    mesh, box_m = _building(tables.get("building", {}), name, folder, settings)
    return KitFile(settings, mesh, box_m)


def with_tables(settings: Settings, text: str, name: str, groups: tuple[str, ...]) -> Settings:
    """Return settings with some groups changed to what the text of a few tables says, such as a preset's.

    Parameters
    ----------
    settings : Settings
        Left as they are; keys that the text does not name keep the values they have here.
    text : str
        TOML.
    name : str
        What to call it in a refusal.
    groups : tuple of str
        Tables that may be there.

    Raises
    ------
    KitError
        See `read_kit_file`; also for a table that is not among them.
    """
    tables = _parsed(text, name)
    for table, content in tables.items():
        if table not in groups or not isinstance(content, dict):
            known = ", ".join(f"[{group}]" for group in groups)
            raise KitError(f"there is no place for '{table}'", name, f"use the tables {known} only")
        settings = _with_table(settings, table, content, name, Path())
    return settings


def _parsed(text: str, name: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        raise KitError(f"this is not TOML: {_first_line(error)}", name, "correct it there") from None


def _first_line(error: Exception) -> str:
    return str(error).splitlines()[0][:120] if str(error) else "it nests too deep"


def _check_tables(tables: Mapping[str, object], name: str) -> None:
    known = (*group_classes(Settings), "building", *LIST_TABLES)
    for table, content in tables.items():
        if table not in known:
            names = ", ".join(f"[{item}]" for item in known)
            raise KitError(f"there is no table [{table}]", name, f"{did_you_mean(table, known)}use one of {names}")
        if table in LIST_TABLES:
            if not isinstance(content, list) or not all(isinstance(entry, dict) for entry in content):
                raise KitError(f"'{table}' must be a list of tables", name, f"write [[{table}]] above each")
        elif not isinstance(content, dict):
            raise KitError(f"'{table}' must be a table", name, f"write [{table}] on a line of its own")


def _with_table(settings: Settings, group: str, content: Mapping[str, object], name: str, folder: Path) -> Settings:
    """Return the settings with one table's values, over those of its preset or process file where it names one."""
    records = {record.key: record for record in settings_of(group_classes(Settings)[group])}
    more = (PROCESS_FILE_KEY,) if "preset" in records else ()
    check_keys(content, (*records, *more), f"{name}, [{group}]")
    values: dict[str, Any] = {}
    for key, given in content.items():
        if key == PROCESS_FILE_KEY:
            continue
        where = f"{name}, [{group}] {key}"
        values[key] = check_value(records[key], _in_unit(records[key], given, where), where)
        check_text(group, records[key], values[key], where)
    if PROCESS_FILE_KEY in content:
        start: Any = _process_of_file(group, content, f"{name}, [{group}] {PROCESS_FILE_KEY}", folder)
    else:
        start = preset_process(values["preset"]) if "preset" in values else getattr(settings, group)
    changes: dict[str, Any] = {group: replace(start, **values)}
    return replace(settings, **changes)


def _process_of_file(kind: str, content: Mapping[str, object], where: str, folder: Path) -> Process:
    """Return the process that a table's ``file`` names, beside the kit file or among the maker's own."""
    given = content[PROCESS_FILE_KEY]
    if not isinstance(given, str) or not given.strip() or "\0" in given:
        raise KitError("the process file is not a file name", where, 'write it like file = "my-printer.toml"')
    if "preset" in content:
        raise KitError("there is both a preset and a process file", where, "leave one of the two out")
    try:
        return find_process(given, shelf_folder(), beside=folder, kind=kind)[0].process
    except KitError as error:
        place = where if error.where in ("", "process") else f"{where}: {error.where}"
        raise KitError(error.what, place, error.remedy) from None


def _in_unit(record: Setting, given: object, where: str) -> object:
    """Turn a length written as text into a number of the setting's unit; leave everything else as it is."""
    if record.unit not in ("mm", "m") or not isinstance(given, str):
        return given
    try:
        return float(given)
    except ValueError:
        length_m = _length_m(given, where)
    return round(length_m * 1000, 9) if record.unit == "mm" else length_m


def _length_m(text: str, where: str) -> float:
    try:
        return parse_length(text)
    except KitError as error:
        raise KitError(error.what, where, error.remedy) from None


def _seam(entry: Mapping[str, object], where: str) -> SeamRequest:
    hide = entry.get("hide")
    if hide is not None:
        record = next(item for item in settings_of(group_classes(Settings)["seam"]) if item.key == "hide")
        hide = check_value(record, hide, f"{where} hide")
    at, path = read_place(entry, where)
    return SeamRequest(wall_letter(entry, where), at, None if hide is None else str(hide), path)


def _no_seam(entry: Mapping[str, object], where: str) -> NoSeam:
    return NoSeam(wall_letter(entry, where), place(entry, "start", where), place(entry, "end", where))


def _downpipe(entry: Mapping[str, object], where: str) -> CoverRequest:
    return CoverRequest(wall_letter(entry, where), place(entry, "at", where))


def _cable_run(entry: Mapping[str, object], where: str) -> CableRunRequest:
    seam = entry.get("seam", False)
    if not isinstance(seam, bool):
        raise KitError("'seam' is not true or false", f"{where} seam", "write seam = true or leave it out")
    at, path = read_place(entry, where)
    return CableRunRequest(wall_letter(entry, where), at, path, seam)


def _building(
    content: Mapping[str, object], name: str, folder: Path, settings: Settings
) -> tuple[Path | None, tuple[float, float, float] | None]:
    where = f"{name}, [building]"
    check_keys(content, BUILDING_KEYS, where)
    if len(content) != 1:
        what = "there is no building" if not content else "there is both a mesh and a box"
        raise KitError(what, where, 'give mesh = "name.obj" or box = ["9.89 m", "5.39 m", "3.0 m"]')
    if "mesh" in content:
        mesh = content["mesh"]
        if not isinstance(mesh, str) or not mesh.strip() or "\0" in mesh:
            raise KitError("the mesh is not a file name", f"{where} mesh", 'write it like mesh = "name.obj"')
        return folder / mesh, None
    sizes = content["box"]
    if not isinstance(sizes, list) or len(sizes) != 3:
        raise KitError("a box has three sizes", f"{where} box", 'write it like ["9.89 m", "5.39 m", "3.0 m"]')
    length, width, height = (_box_size(size, f"{where} box", settings) for size in sizes)
    return None, (length, width, height)


def _box_size(given: object, where: str, settings: Settings) -> float:
    if isinstance(given, bool) or not isinstance(given, int | float | str):
        raise KitError(f"{str(given)[:40]} is not a length", where, WRITE_LENGTH)
    if isinstance(given, str):
        try:
            size_m = length_in_bricks_m(given, settings.brick)
        except KitError as error:
            raise KitError(error.what, where, error.remedy) from None
    else:
        size_m = float(given) if abs(given) < LARGEST_SIZE_M else LARGEST_SIZE_M
    if not 0 < size_m < LARGEST_SIZE_M:  # also where it is not a number
        raise KitError(f"a box cannot be {str(given)[:20]} long, wide or high", where, "give three sizes above zero")
    return size_m
