"""Openings in the kit file: one ``[[opening]]`` table each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING, fields
from typing import Any

from halfbat.kitfile.entries import entries, place, wall_letter
from halfbat.settings import OpeningRequest, Value, check_opening, settings_of
from halfbat.settings.checks import check_value

_RECORDS = {record.key: record for record in settings_of(OpeningRequest)}
_NEEDED = tuple(item.name for item in fields(OpeningRequest) if item.default is MISSING)
_LENGTHS = ("at", "width", "height", "sill_height", "rise")


def read_openings(tables: Mapping[str, Any], name: str) -> tuple[OpeningRequest, ...]:
    """Read the openings of a kit file; whether they fit their walls is known only later.

    Parameters
    ----------
    tables : mapping
        The whole file, with a list of tables as ``opening`` if there are any.
    name : str
        What to call the file in a refusal.

    Raises
    ------
    KitError
        One sentence with the file, the number of the opening, the key and what is allowed there.
    """
    found = []
    for entry, where in entries(tables, "opening", tuple(_RECORDS), name):
        values: dict[str, Any] = {"wall": wall_letter(entry, where)}
        for key, record in _RECORDS.items():
            if key == "wall" or (key not in entry and key not in _NEEDED):
                continue
            if key in _LENGTHS and entry.get(key) != "":
                values[key] = place(entry, key, where)
            else:
                values[key] = check_value(record, entry.get(key), f"{where} {key}")
        request = OpeningRequest(**values)
        check_opening(request, where)
        found.append(request)
    return tuple(found)


def told_opening(request: OpeningRequest) -> dict[str, Value]:
    """Return what to write of an opening: what it needs, and what differs from the defaults."""
    values: dict[str, Value] = {key: getattr(request, key) for key in _RECORDS}
    return {key: value for key, value in values.items() if key in _NEEDED or value != _RECORDS[key].default}
