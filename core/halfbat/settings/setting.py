"""What one setting is: its name, label, default, range, unit and help, kept in the dataclass field itself.

The kit file, the command line, the Blender properties and the documentation are all made from these records, so
nothing about a setting is written twice.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields, is_dataclass, replace
from typing import Literal, TypeVar, get_args, get_origin, get_type_hints

Kind = Literal["text", "choice", "bool", "int", "float"]
Value = str | bool | int | float
T = TypeVar("T", str, bool, int, float)
_KINDS: dict[type, Kind] = {bool: "bool", int: "int", float: "float", str: "text"}


@dataclass(frozen=True, slots=True)
class Setting:
    """The record of one setting.

    Parameters
    ----------
    key : str
        Name of the dataclass field and of the key in the kit file.
    label : str
        What an interface shows beside the value.
    help : str
        What it does, for a modeller, with its unit and usual values.
    kind : {"text", "choice", "bool", "int", "float"}
        Type of the value; a choice is a string out of ``choices``.
    default : str or bool or int or float
        Value used when the maker says nothing.
    minimum, maximum : float or None
        Inclusive range of a number.
    unit : str
        ``"mm"`` or ``"m"`` for a length (the key ends the same way), ``"px"``, or empty.
    choices : tuple of str
        Allowed values of a choice.
    choice_labels : tuple of str
        What an interface shows for each of ``choices``.
    """

    key: str
    label: str
    help: str
    kind: Kind
    default: Value
    minimum: float | None = None
    maximum: float | None = None
    unit: str = ""
    choices: tuple[str, ...] = ()
    choice_labels: tuple[str, ...] = ()


def setting(
    default: T,
    label: str,
    help_text: str,
    *,
    minimum: float | None = None,
    maximum: float | None = None,
    unit: str = "",
    choices: Mapping[str, str] | None = None,
) -> T:
    """Make a dataclass field that carries its own `Setting`.

    Parameters
    ----------
    default : str or bool or int or float
        Its type decides the setting's kind.
    label, help_text : str
        See `Setting`.
    minimum, maximum, unit
        See `Setting`.
    choices : mapping of str to str, optional
        Allowed values and what to show for each.
    """
    record = Setting(
        key="",  # the field's own name, filled in when the class is walked
        label=label,
        help=help_text,
        kind="choice" if choices else _KINDS[type(default)],
        default=default,
        minimum=minimum,
        maximum=maximum,
        unit=unit,
        choices=tuple(choices or ()),
        choice_labels=tuple((choices or {}).values()),
    )
    made: T = field(default=default, metadata={"setting": record})
    return made


def settings_of(group_class: type) -> tuple[Setting, ...]:
    """Return the settings of one group, in the order they are written.

    Parameters
    ----------
    group_class : type
        A dataclass whose fields were made by `setting`.
    """
    if not is_dataclass(group_class):
        raise TypeError(f"{group_class!r} is not a group of settings")
    return tuple(
        replace(item.metadata["setting"], key=item.name) for item in fields(group_class) if "setting" in item.metadata
    )


def group_classes(settings_class: type) -> dict[str, type]:
    """Return name and class of every group of a settings class, in the order of its fields."""
    hints = get_type_hints(settings_class)
    names = [item.name for item in fields(settings_class)]
    return {name: hints[name] for name in names if is_dataclass(hints[name]) and isinstance(hints[name], type)}


def list_classes(settings_class: type) -> dict[str, type]:
    """Return name and class of every list of requests of a settings class, in the order of its fields.

    Parameters
    ----------
    settings_class : type
        A dataclass; its lists are the fields of type ``tuple[RequestClass, ...]``.
    """
    hints = get_type_hints(settings_class)
    found = {item.name: hints[item.name] for item in fields(settings_class)}
    return {name: get_args(hint)[0] for name, hint in found.items() if get_origin(hint) is tuple}


def iter_settings(settings_class: type) -> Iterator[tuple[str, Setting]]:
    """Yield ``(group name, setting)`` for every setting there is, in order."""
    for group, group_class in group_classes(settings_class).items():
        for record in settings_of(group_class):
            yield group, record
