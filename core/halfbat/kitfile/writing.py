"""Writing a kit file that says what differs from the defaults, and no more."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from halfbat.kitfile.chimneys import told_chimney
from halfbat.kitfile.features import told_request
from halfbat.kitfile.kit_file import KitFile
from halfbat.kitfile.openings import told_opening
from halfbat.kitfile.paths import told_place
from halfbat.kitfile.roof_lights import told_roof_light
from halfbat.printing.processes import preset_process
from halfbat.settings import Settings, Value, group_classes, settings_of, value_of

_ALWAYS = frozenset({("kit", "name"), ("kit", "scale"), ("resin", "preset"), ("filament", "preset")})


def write_kit_file(kit_file: KitFile, folder: Path | None = None) -> str:
    """Return the text of a kit file that reads back as the same.

    Parameters
    ----------
    kit_file : KitFile
        What to say.
    folder : Path, optional
        Folder the file will be in; a mesh inside it is named from there.
    """
    tables = [_table(f"[{group}]", _told(kit_file.settings, group)) for group in group_classes(Settings)]
    tables.insert(1, _building(kit_file, folder))
    for seam in kit_file.settings.seams:
        hide = {} if seam.hide is None else {"hide": seam.hide}
        tables.append(_table("[[seams]]", {"wall": seam.wall, **told_place(seam), **hide}))
    for stretch in kit_file.settings.no_seams:
        tables.append(_table("[[no_seams]]", {"wall": stretch.wall, "start": stretch.start, "end": stretch.end}))
    tables += [_table("[[downpipes]]", {"wall": pipe.wall, "at": pipe.at}) for pipe in kit_file.settings.downpipes]
    for run in kit_file.settings.cable_runs:
        split = {"seam": True} if run.seam else {}
        tables.append(_table("[[cable_runs]]", {"wall": run.wall, **told_place(run), **split}))
    tables += [_table("[[opening]]", told_opening(request)) for request in kit_file.settings.openings]
    tables += [_table("[[feature]]", told_request(request)) for request in kit_file.settings.features]
    tables += [_table("[[finish]]", told_request(request)) for request in kit_file.settings.finishes]
    tables += [_table("[[chimney]]", told_chimney(request)) for request in kit_file.settings.chimneys]
    tables += [_table("[[roof_light]]", told_roof_light(request)) for request in kit_file.settings.roof_lights]
    return "\n".join(table for table in tables if table)


def tables_text(settings: Settings, groups: tuple[str, ...]) -> str:
    """Return some groups of settings as tables with every key, which `with_tables` reads back."""
    return "\n".join(
        _table(f"[{group}]", {record.key: value_of(settings, group, record.key) for record in settings_of(group_class)})
        for group, group_class in group_classes(Settings).items()
        if group in groups
    )


def _told(settings: Settings, group: str) -> dict[str, Value]:
    """Return the values of a group that differ from its defaults or its preset."""
    group_class = group_classes(Settings)[group]
    keys = [record.key for record in settings_of(group_class)]
    usual = preset_process(str(value_of(settings, group, "preset"))) if "preset" in keys else group_class()
    values = {key: value_of(settings, group, key) for key in keys}
    return {key: value for key, value in values.items() if (group, key) in _ALWAYS or value != getattr(usual, key)}


def _building(kit_file: KitFile, folder: Path | None) -> str:
    if kit_file.box_m is not None:
        return _table("[building]", {"box": kit_file.box_m})
    mesh = kit_file.mesh
    if mesh is None:
        return ""
    if folder is not None and mesh.is_relative_to(folder):
        mesh = mesh.relative_to(folder)
    return _table("[building]", {"mesh": mesh.as_posix()})


def _table(head: str, values: Mapping[str, Any]) -> str:
    lines = [f"{key} = {_toml(value)}\n" for key, value in values.items()]
    return f"{head}\n{''.join(lines)}" if lines else ""


def _toml(value: Any) -> str:  # noqa: ANN401 - a value of TOML
    if isinstance(value, tuple):
        return "[" + ", ".join(_toml(item) for item in value) + "]"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        # JSON's escapes are all TOML's too; the delete character is the one TOML wants escaped and JSON does not.
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    return repr(value)
