"""Chimneys in the kit file: one ``[[chimney]]`` table each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING, fields
from typing import Any

from halfbat.kitfile.entries import entries, place, wall_letter
from halfbat.settings import ChimneyRequest, Value, check_chimney, settings_of
from halfbat.settings.checks import check_value
from halfbat.settings.chimneys import CHIMNEY_LENGTHS

_RECORDS = {record.key: record for record in settings_of(ChimneyRequest)}
_NEEDED = tuple(item.name for item in fields(ChimneyRequest) if item.default is MISSING)


def read_chimneys(tables: Mapping[str, Any], name: str) -> tuple[ChimneyRequest, ...]:
    """Read the chimneys of a kit file; whether they stand on a roof is known only later.

    Parameters
    ----------
    tables : mapping
        The whole file, with a list of tables as ``chimney`` if there are any.
    name : str
        What to call the file in a refusal.

    Raises
    ------
    KitError
        One sentence with the file, the number of the chimney, the key and what is allowed there.
    """
    found = []
    for entry, where in entries(tables, "chimney", tuple(_RECORDS), name):
        values: dict[str, Any] = {"wall": wall_letter(entry, where)}
        for key, record in _RECORDS.items():
            if key == "wall" or (key not in entry and key not in _NEEDED):
                continue
            if key in CHIMNEY_LENGTHS and entry.get(key) != "":
                values[key] = place(entry, key, where)
            else:
                values[key] = check_value(record, entry.get(key), f"{where} {key}")
        request = ChimneyRequest(**values)
        check_chimney(request, where)
        found.append(request)
    return tuple(found)


def told_chimney(request: ChimneyRequest) -> dict[str, Value]:
    """Return what to write of a chimney: what it needs, and what differs from the defaults."""
    values: dict[str, Value] = {key: getattr(request, key) for key in _RECORDS}
    return {key: value for key, value in values.items() if key in _NEEDED or value != _RECORDS[key].default}
