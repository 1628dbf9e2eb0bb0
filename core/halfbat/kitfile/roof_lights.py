"""Roof lights in the kit file: one ``[[roof_light]]`` table for each, or for each row of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING, fields
from typing import Any

from halfbat.kitfile.entries import entries, letter_of, place
from halfbat.settings import RoofLightRequest, Value, check_roof_light, settings_of
from halfbat.settings.checks import check_value
from halfbat.settings.roof_lights import ROOF_LIGHT_LENGTHS

_RECORDS = {record.key: record for record in settings_of(RoofLightRequest)}
_NEEDED = tuple(item.name for item in fields(RoofLightRequest) if item.default is MISSING)


def read_roof_lights(tables: Mapping[str, Any], name: str) -> tuple[RoofLightRequest, ...]:
    """Read the roof lights of a kit file; whether there is room for them is known only later.

    Parameters
    ----------
    tables : mapping
        The whole file, with a list of tables as ``roof_light`` if there are any.
    name : str
        What to call the file in a refusal.

    Raises
    ------
    KitError
        One sentence with the file, the number of the roof light, the key and what is allowed there.
    """
    found = []
    for entry, where in entries(tables, "roof_light", tuple(_RECORDS), name):
        values: dict[str, Any] = {"slope": letter_of(entry, "slope", where)}
        for key, record in _RECORDS.items():
            if key == "slope" or (key not in entry and key not in _NEEDED):
                continue
            values[key] = place(entry, key, where) if key in ROOF_LIGHT_LENGTHS else entry.get(key)
            if key not in ROOF_LIGHT_LENGTHS:
                values[key] = check_value(record, values[key], f"{where} {key}")
        request = RoofLightRequest(**values)
        check_roof_light(request, where)
        found.append(request)
    return tuple(found)


def told_roof_light(request: RoofLightRequest) -> dict[str, Value]:
    """Return what to write of a roof light: what it needs, and what differs from the defaults."""
    values: dict[str, Value] = {key: getattr(request, key) for key in _RECORDS}
    return {key: value for key, value in values.items() if key in _NEEDED or value != _RECORDS[key].default}
