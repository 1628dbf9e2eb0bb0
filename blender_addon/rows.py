"""Lists that a building keeps, written as rows, also where the building is an override of one in another file.

Of an override's list Blender lets entries that come from the other file be changed, but neither removed nor moved. So
lists are always filled from their beginning, and what cannot be removed at their end is left out.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

Row = dict[str, Any]
NOT_OF_A_ROW = {"rna_type", "left_out"}


def kept(stored: Any) -> list[Any]:  # noqa: ANN401 - a collection of property groups, here and below
    """Return the entries of a list that count."""
    return [item for item in stored if not item.left_out]


def row_of(item: Any) -> Row:  # noqa: ANN401
    """Return what an entry says, by the names of its properties."""
    known = [entry for entry in item.bl_rna.properties if entry.identifier not in NOT_OF_A_ROW]
    return {entry.identifier: _plain(getattr(item, entry.identifier), entry) for entry in known}


def _plain(value: Any, entry: Any) -> Any:  # noqa: ANN401
    """Return the value of a property as it can be written down."""
    return list(value) if getattr(entry, "is_array", False) else value


def rows_of(stored: Any) -> list[Row]:  # noqa: ANN401
    """Return what the entries of a list say, without those left out."""
    return [row_of(item) for item in kept(stored)]


def fill(stored: Any, rows: Iterable[Row]) -> None:  # noqa: ANN401
    """Store rows as a list, in place of what it held; keys that an entry does not have are passed over."""
    count = 0
    for row in rows:
        item = stored[count] if count < len(stored) else stored.add()
        count += 1
        for key, value in row.items():
            known = item.bl_rna.properties.get(key)
            wanted = value if known is None else _plain(value, known)
            if known is not None and _plain(getattr(item, key), known) != wanted:
                setattr(item, key, wanted)
        if item.left_out:
            item.left_out = False
    for place in range(len(stored) - 1, count - 1, -1):
        try:
            stored.remove(place)
        except TypeError:  # it comes from the file that is overridden
            stored[place].left_out = True


def add_row(stored: Any) -> Any:  # noqa: ANN401
    """Return a new entry at the end of a list, as entries come."""
    place = len(kept(stored))
    if place == len(stored):
        return stored.add()
    item = stored[place]
    for known in item.bl_rna.properties:
        if known.identifier not in NOT_OF_A_ROW:
            setattr(item, known.identifier, known.default_array if getattr(known, "is_array", False) else known.default)
    item.left_out = False
    return item
