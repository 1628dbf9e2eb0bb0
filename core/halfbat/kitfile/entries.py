"""What the entries of the kit file's lists of tables have in common."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from halfbat.errors import KitError
from halfbat.settings.checks import did_you_mean
from halfbat.units import parse_length

MOST_LETTERS = 3
"""Of a wall's name."""
WRITE_LENGTH = 'write it like "3.81 m", "12ft 6in", "55 courses" or as a number in metres'


def check_keys(content: Mapping[str, object], known: tuple[str, ...], where: str) -> None:
    """Refuse a table with a key that is not known there, one sentence with the nearest one that is."""
    for key in content:
        if key not in known:
            raise KitError(
                f"there is no key '{key}'", where, f"{did_you_mean(key, known)}use one of {', '.join(known)}"
            )


def entries(
    tables: Mapping[str, Any], table: str, known: tuple[str, ...], name: str
) -> Iterator[tuple[dict[str, object], str]]:
    """Yield each entry of a list of tables and its place for refusals; a key not known there is refused."""
    for number, entry in enumerate(tables.get(table, []), start=1):
        where = f"{name}, [[{table}]] {number}"
        check_keys(entry, known, where)
        yield entry, where


def wall_letter(entry: Mapping[str, object], where: str) -> str:
    """Return the letter of an entry's wall; whether there is such a wall is known only later."""
    return letter_of(entry, "wall", where)


def letter_of(entry: Mapping[str, object], key: str, where: str) -> str:
    """Return the letter of an entry's wall or slope; whether there is such a one is known only later."""
    given = entry.get(key)
    if not isinstance(given, str) or not given.isascii() or not given.isalpha() or len(given) > MOST_LETTERS:
        remedy = f'give its letter, such as {key} = "A"'
        raise KitError(f"the {key} is missing or not a letter", f"{where} {key}", remedy)
    return given.upper()


def place(entry: Mapping[str, object], key: str, where: str) -> str:
    """Return a length along a wall as text; whether the wall is that long is known only later."""
    given = entry.get(key)
    if isinstance(given, float) or (isinstance(given, int) and not isinstance(given, bool)):
        given = f"{given} m" if isinstance(given, int) else f"{given:.6f}".rstrip("0").rstrip(".") + " m"
    if not isinstance(given, str):
        raise KitError(f"'{key}' is missing or not a length", f"{where} {key}", WRITE_LENGTH)
    try:
        parse_length(given, course_m=1.0, brick_m=1.0)
    except KitError as error:
        raise KitError(error.what, f"{where} {key}", error.remedy) from None
    return given
