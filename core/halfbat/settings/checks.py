"""Whether a value is one that a setting allows; each refusal is one sentence that says what is allowed."""

from __future__ import annotations

from difflib import get_close_matches
from math import isfinite

from halfbat.errors import KitError
from halfbat.settings.setting import Setting, Value
from halfbat.units import parse_scale

LONGEST_NAME = 80
_LARGEST = 1e300
_NOT_IN_NAMES = '/\\:*?"<>|'
_PORTS = (f"{port}{number}" for port in ("COM", "LPT") for number in range(10))
_KEPT_BY_WINDOWS = frozenset({"CON", "PRN", "AUX", "NUL", *_PORTS})
"""Names of devices, which no file there can have, whatever it ends in."""


def did_you_mean(word: str, known: tuple[str, ...]) -> str:
    """Return ``"did you mean X? "`` for a near miss, else nothing."""
    near = get_close_matches(word, known, n=1, cutoff=0.6)
    return f"did you mean '{near[0]}'? " if near else ""


def allowed(record: Setting) -> str:
    """Say what a setting allows, such as ``"a number from 0 to 2 (mm)"``."""
    if record.kind == "choice":
        return "one of " + ", ".join(f"'{choice}'" for choice in record.choices)
    if record.kind == "bool":
        return "true or false"
    if record.kind == "text":
        return "text in quotes"
    noun = "a whole number" if record.kind == "int" else "a number"
    unit = f" ({record.unit})" if record.unit else ""
    if record.minimum is None or record.maximum is None:
        return noun + unit
    return f"{noun} from {record.minimum:g} to {record.maximum:g}{unit}"


def _has_kind(value: object, record: Setting) -> bool:
    if record.kind == "bool":
        return isinstance(value, bool)
    if record.kind == "int":
        return isinstance(value, int) and not isinstance(value, bool)
    if record.kind == "float":
        return isinstance(value, int | float) and not isinstance(value, bool)
    return isinstance(value, str)


def check_kit_name(name: str, where: str, of: str = "a kit") -> None:
    """Refuse a kit name that could not be part of a file name on some system, or that leads out of a folder.

    Raises
    ------
    KitError
        For an empty name, a path, a name of more than 80 characters, or one with characters files cannot have.
    """
    good = (
        0 < len(name) <= LONGEST_NAME
        and name == name.strip(" .")
        and all(letter.isprintable() and letter not in _NOT_IN_NAMES for letter in name)
    )
    if not good:
        shown = name if len(name) <= LONGEST_NAME else name[:20] + "..."
        raise KitError(
            f"{shown!r} cannot be the name of {of}",
            where,
            f"use 1 to {LONGEST_NAME} letters, digits and spaces, no {' '.join(_NOT_IN_NAMES)} and no dot at an end",
        )
    if name.partition(".")[0].strip().upper() in _KEPT_BY_WINDOWS:
        raise KitError(f"{name!r} is a name that Windows keeps for itself", where, "choose another name")


def check_value(record: Setting, value: object, where: str) -> Value:
    """Return the value as the setting stores it, or refuse it.

    Parameters
    ----------
    record : Setting
        What is allowed.
    value : object
        A number for a length must already be in the setting's unit.
    where : str
        Place named in the refusal, such as ``"lodge.toml, [brick] bond"``.

    Raises
    ------
    KitError
        When the type, the choice or the range is wrong.
    """
    if not _has_kind(value, record):
        raise KitError(f"{repr(value)[:40]} is not allowed here", where, f"give {allowed(record)}")
    if isinstance(value, str):
        if record.kind == "choice" and value not in record.choices:
            hint = did_you_mean(value, record.choices)
            raise KitError(f"'{value[:40]}' is not known here", where, f"{hint}give {allowed(record)}")
        return value
    assert isinstance(value, bool | int | float)
    if record.kind == "bool":
        return value
    number = float(value) if abs(value) < _LARGEST else _LARGEST
    low = -float("inf") if record.minimum is None else record.minimum
    high = float("inf") if record.maximum is None else record.maximum
    if not isfinite(number) or not low <= number <= high:
        raise KitError(f"{str(value)[:20]} is out of range", where, f"give {allowed(record)}")
    return value if record.kind == "int" else number


def check_text(group: str, record: Setting, value: Value, where: str) -> None:
    """Refuse a kit name or a scale that cannot be used.

    Raises
    ------
    KitError
        See `check_kit_name` and `halfbat.units.parse_scale`.
    """
    if (group, record.key) == ("kit", "name"):
        check_kit_name(str(value), where)
    elif (group, record.key) == ("kit", "scale"):
        try:
            parse_scale(str(value))
        except KitError as error:
            raise KitError(error.what, where, error.remedy) from None
