"""Features and finishes of walls in the kit file: one ``[[feature]]`` or ``[[finish]]`` table each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING, fields
from typing import Any

from halfbat.kitfile.entries import entries, place, wall_letter
from halfbat.settings import FeatureRequest, FinishRequest, Value, check_feature, check_finish, settings_of
from halfbat.settings.checks import check_value
from halfbat.settings.features import EVERY_WALL, FEATURE_LENGTHS, FINISH_LENGTHS, check_feature_keys


def read_features(tables: Mapping[str, Any], name: str) -> tuple[FeatureRequest, ...]:
    """Read the features of a kit file; whether they fit their walls is known only later.

    Parameters
    ----------
    tables : mapping
        The whole file, with a list of tables as ``feature`` if there are any.
    name : str
        What to call the file in a refusal.

    Raises
    ------
    KitError
        One sentence with the file, the number of the feature, the key and what is allowed there.
    """
    found = []
    for entry, where in entries(tables, "feature", _keys(FeatureRequest), name):
        values = _values(FeatureRequest, FEATURE_LENGTHS, entry, where)
        check_feature_keys(str(values["kind"]), list(entry), where)
        request = FeatureRequest(**values)
        check_feature(request, where)
        found.append(request)
    return tuple(found)


def read_finishes(tables: Mapping[str, Any], name: str) -> tuple[FinishRequest, ...]:
    """Read the finishes of a kit file; see `read_features`."""
    found = []
    for entry, where in entries(tables, "finish", _keys(FinishRequest), name):
        request = FinishRequest(**_values(FinishRequest, FINISH_LENGTHS, entry, where))
        check_finish(request, where)
        found.append(request)
    return tuple(found)


def told_request(request: FeatureRequest | FinishRequest) -> dict[str, Value]:
    """Return what to write of a feature or finish: what it needs, and what differs from the defaults."""
    return {
        item.name: getattr(request, item.name)
        for item in fields(request)
        if item.default is MISSING or getattr(request, item.name) != item.default
    }


def _keys(request_class: type) -> tuple[str, ...]:
    return tuple(record.key for record in settings_of(request_class))


def _values(request_class: type, lengths: tuple[str, ...], entry: Mapping[str, object], where: str) -> dict[str, Any]:
    """Check the values of an entry; keys that are left out keep their defaults, but for the wall and the kind."""
    every = isinstance(entry.get("wall"), str) and str(entry["wall"]).lower() == EVERY_WALL
    values: dict[str, Any] = {"wall": EVERY_WALL if every else wall_letter(entry, where)}
    for record in settings_of(request_class):
        key = record.key
        if key == "wall" or (key not in entry and key != "kind"):
            continue
        if key in lengths and entry[key] != "":
            values[key] = place(entry, key, where)
        else:
            values[key] = check_value(record, entry.get(key), f"{where} {key}")
    return values
