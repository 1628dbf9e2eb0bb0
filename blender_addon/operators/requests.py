"""Adding, removing, copying and moving entries of a building's lists: features, finishes, stretches without seams.

The operators of each list are generated, so that each can say in its own tooltip why it cannot be used.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import MISSING, fields
from typing import Any

from bpy.props import EnumProperty
from bpy.types import Context, Operator

from halfbat.settings import settings_of
from halfbat.settings.features import FEATURE_KEYS

from ..properties import building_data
from ..reporting import Result
from ..request_properties import NOUNS, REQUEST_CLASSES, index_name
from ..rows import add_row, fill, kept, rows_of
from ..target import poll_building, required_building
from ..walls import chosen_wall

FIRST_PLACE = {"at": "1 m", "start": "0 m", "end": "1 m"}
"""Where a new entry is put along its wall until the maker says where."""
DIRECTIONS = (("UP", "Up", "Before the one above it"), ("DOWN", "Down", "After the one below it"))


def stored_list(context: Context, name: str) -> tuple[Any, Any]:
    """Return a building's data and one of its lists."""
    data = building_data(required_building(context))
    return data, getattr(data, name)


def choose(data: Any, name: str, index: int) -> None:  # noqa: ANN401 - a HALFBAT_PG_building
    """Choose an entry of a list, or its nearest neighbour."""
    setattr(data, index_name(name), max(0, min(index, len(kept(getattr(data, name))) - 1)))


def fill_new(item: Any, request_class: type, wall: str, kind: str) -> None:  # noqa: ANN401 - a property group
    """Give a new entry its wall, its kind, and what else it cannot do without."""
    item.wall = wall
    if kind:
        item.kind = kind
    keys = FEATURE_KEYS.get(kind, ())
    needed = {field.name for field in fields(request_class) if field.default is MISSING}
    for key, place in FIRST_PLACE.items():
        if key in needed or (key == "at" and key in keys):
            setattr(item, key, place)


def _poll(name: str, fewest: int, missing: str) -> Callable[[type[Operator], Context], bool]:
    def poll(cls: type[Operator], context: Context) -> bool:
        """Allow buildings whose list is long enough."""
        if not poll_building(cls, context):
            return False
        if len(kept(stored_list(context, name)[1])) < fewest:
            cls.poll_message_set(missing)
            return False
        return True

    return poll


def _add(name: str) -> Callable[[Any, Context], Result]:
    def execute(self: Any, context: Context) -> Result:  # noqa: ANN401 - an operator with its own properties
        """Add one to the wall chosen in the list of walls."""
        data, stored = stored_list(context, name)
        wall = chosen_wall(required_building(context))
        fill_new(add_row(stored), REQUEST_CLASSES[name], wall, getattr(self, "kind", ""))
        choose(data, name, len(kept(stored)) - 1)
        return {"FINISHED"}

    return execute


def _remove(name: str) -> Callable[[Any, Context], Result]:
    def execute(_self: Any, context: Context) -> Result:  # noqa: ANN401
        """Remove the chosen one and choose its neighbour."""
        data, stored = stored_list(context, name)
        index = getattr(data, index_name(name))
        rows = rows_of(stored)
        fill(stored, [*rows[:index], *rows[index + 1 :]])
        choose(data, name, index)
        return {"FINISHED"}

    return execute


def _duplicate(name: str) -> Callable[[Any, Context], Result]:
    def execute(_self: Any, context: Context) -> Result:  # noqa: ANN401
        """Put a copy after the chosen one and choose it."""
        data, stored = stored_list(context, name)
        index = getattr(data, index_name(name))
        rows = rows_of(stored)
        fill(stored, [*rows[: index + 1], *rows[index:]])
        choose(data, name, index + 1)
        return {"FINISHED"}

    return execute


def _move(name: str) -> Callable[[Any, Context], Result]:
    def execute(self: Any, context: Context) -> Result:  # noqa: ANN401
        """Change places with a neighbour."""
        data, stored = stored_list(context, name)
        index = getattr(data, index_name(name))
        target = index + (-1 if self.direction == "UP" else 1)
        rows = rows_of(stored)
        if not 0 <= target < len(rows):
            return {"CANCELLED"}
        rows.insert(target, rows.pop(index))
        fill(stored, rows)
        choose(data, name, target)
        return {"FINISHED"}

    return execute


def _operator(verb: str, name: str, description: str, body: dict[str, Any]) -> type[Operator]:
    noun = NOUNS[name]
    identifier = f"{verb}_{noun.replace(' ', '_')}"
    made = {
        "__doc__": f"{description}.",
        "__module__": __name__,
        "bl_idname": f"halfbat.{identifier}",
        "bl_label": f"{verb} {noun}".title(),
        "bl_description": description,
        "bl_options": {"REGISTER", "UNDO"},
    }
    return type(f"HALFBAT_OT_{identifier}", (Operator,), made | body)


def list_operators(name: str) -> tuple[type[Operator], ...]:
    """Return the operators that add, remove, copy and move entries of a list.

    Parameters
    ----------
    name : str
        One of `REQUEST_CLASSES`.
    """
    noun = NOUNS[name]
    records = {record.key: record for record in settings_of(REQUEST_CLASSES[name])}
    kind = records.get("kind")
    properties: dict[str, Any] = {}
    if kind is not None:
        items = [(key, text, "") for key, text in zip(kind.choices, kind.choice_labels, strict=True)]
        properties["kind"] = EnumProperty(name="Kind", description=kind.help.removesuffix("."), items=items)
    direction = EnumProperty(name="Direction", description="Which neighbour to change places with", items=DIRECTIONS)
    some = f"There is no {noun} yet; add one"

    def body(fewest: int, missing: str, execute: Callable[[Any, Context], Result]) -> dict[str, Any]:
        return {"poll": classmethod(_poll(name, fewest, missing)), "execute": execute}

    return (
        _operator(
            "add", name, f"Add a {noun} to the chosen wall", body(0, "", _add(name)) | {"__annotations__": properties}
        ),
        _operator("remove", name, f"Remove the chosen {noun}", body(1, some, _remove(name))),
        _operator("duplicate", name, f"Put a copy after the chosen {noun}", body(1, some, _duplicate(name))),
        _operator(
            "move",
            name,
            f"Move the chosen {noun} up or down the list. Later ones lie over earlier ones",
            body(2, f"There is only one {noun}", _move(name)) | {"__annotations__": {"direction": direction}},
        ),
    )


OPERATORS: tuple[type[Operator], ...] = tuple(operator for name in REQUEST_CLASSES for operator in list_operators(name))
