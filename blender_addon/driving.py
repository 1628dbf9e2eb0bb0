"""Drivers that take parts to where they are looked at, and back.

Only delta transforms are driven. A part's own place and its mesh stay as they were made, so what is exported and how
parts fit does not depend on how they are looked at. How far a part goes stands in custom properties of the part, the
drivers multiply it with the sliders of the building. They are expressions that Blender works out without Python, so it
runs them in files it does not trust as well. All of it is the maker's to change: what was changed is left alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import ExitStack, contextmanager
from types import MappingProxyType
from typing import Any

import numpy as np
from bpy.types import Object
from mathutils import Euler, Matrix, Vector

from .properties import part_data
from .standing import EXPLODE, ON_PLATES, ensure_sliders

APART, PLATE, TURN = "halfbat_apart", "halfbat_plate", "halfbat_turn"
TEXTS: Mapping[str, str] = MappingProxyType(
    {
        APART: "How far this part goes when the kit is drawn apart",
        PLATE: "From its place to its plate",
        TURN: "How it is turned on its plate, radians",
    }
)
"""Custom properties of a part, three figures each, in Blender units or radians."""
LOCATION, ROTATION = "delta_location", "delta_rotation_euler"
FORMULAS: Mapping[str, tuple[str, tuple[str, ...]]] = MappingProxyType(
    {
        LOCATION: ("(1 - plates) * explode * apart + plates * plate", ("explode", "plates", "apart", "plate")),
        ROTATION: ("plates * turn", ("plates", "turn")),
    }
)
"""What is driven: its expression and the variables in it."""
_SAME = 1e-4


def lay_out(item: Object, building: Object) -> None:
    """Write down how far a part goes, as far as the maker has not changed it, and give a new part its drivers.

    Parameters
    ----------
    item : Object
        A part in its place, with what is known of its ways in `apart_mm` and `plate_mm`.
    building : Object
        Whose sliders it follows.
    """
    data = part_data(item)
    made = np.array(data.laid_out).reshape(3, 3)
    for row, (name, wanted) in enumerate(_ways(item).items()):
        held: Any = item.get(name)
        changed_by_hand = held is not None and not np.allclose(held, made[row], atol=_SAME)
        if not changed_by_hand and (held is None or not np.allclose(held, wanted, atol=_SAME / 100)):
            item[name] = wanted
            _describe(item, name)
        made[row] = wanted
    data.laid_out = made.ravel().tolist()
    if not data.driven:
        ensure_sliders(building)
        _drive(item, building)
        data.driven = True
    item.update_tag()


def _ways(item: Object) -> dict[str, list[float]]:
    """Return what the custom properties of a part are to hold."""
    data, to_units = part_data(item), item.scale[0]
    shift, turn = Vector((0.0, 0.0, 0.0)), Euler((0.0, 0.0, 0.0))
    if any(data.plate_mm):
        plate = Matrix(np.array(data.plate_mm).reshape(4, 4).tolist())
        shift = plate.translation * to_units - item.location
        turn = (plate.to_3x3() @ item.rotation_euler.to_matrix().inverted()).to_euler()
    apart = Vector(data.apart_mm) * to_units
    return {APART: [*apart], PLATE: [*shift], TURN: [*turn]}  # type: ignore[misc]


def _describe(item: Object, name: str) -> None:
    known: Any = item.id_properties_ui(name)
    known.update(description=TEXTS[name], subtype="EULER" if name == TURN else "TRANSLATION")


def _drive(item: Object, building: Object) -> None:
    """Give a part its drivers, except where it has one already."""
    animation = item.animation_data
    there = {(curve.data_path, curve.array_index) for curve in animation.drivers} if animation else set()
    for path, (expression, names) in FORMULAS.items():
        for axis in range(3):
            if (path, axis) in there:
                continue
            curve: Any = item.driver_add(path, axis)
            curve.driver.type = "SCRIPTED"
            for name in names:
                _add_variable(curve.driver, name, item, building, axis)
            curve.driver.expression = expression


def _add_variable(driver: Any, name: str, item: Object, building: Object, axis: int) -> None:  # noqa: ANN401 - a Driver
    source, path = {
        "explode": (building, f'["{EXPLODE}"]'),
        "plates": (building, f'["{ON_PLATES}"]'),
        "apart": (item, f'["{APART}"][{axis}]'),
        "plate": (item, f'["{PLATE}"][{axis}]'),
        "turn": (item, f'["{TURN}"][{axis}]'),
    }[name]
    variable = driver.variables.new()
    variable.name, variable.type = name, "SINGLE_PROP"
    variable.targets[0].id, variable.targets[0].data_path = source, path


@contextmanager
def put_in_place(item: Object) -> Iterator[None]:
    """Have a part without deltas while its own place is set; those that no driver gives are the maker's and stay."""
    before = item.delta_location.copy(), item.delta_rotation_euler.copy()
    rest(item)
    yield
    item.delta_location, item.delta_rotation_euler = before


def rest(item: Object) -> None:
    """Take a part's deltas away, until its drivers are worked out the next time."""
    item.delta_location, item.delta_rotation_euler = Vector((0.0, 0.0, 0.0)), Euler((0.0, 0.0, 0.0))


@contextmanager
def at_rest(items: Iterable[Object]) -> Iterator[None]:
    """Have parts in their own places, whatever drives and animates them, for as long as it takes to read them."""
    with ExitStack() as stack:
        for item in items:
            stack.enter_context(_one_at_rest(item))
        yield


@contextmanager
def _one_at_rest(item: Object) -> Iterator[None]:
    before = item.delta_location.copy(), item.delta_rotation_euler.copy()
    animation: Any = item.animation_data
    muted = (
        [curve for curve in animation.drivers if curve.data_path in FORMULAS and not curve.mute] if animation else []
    )
    action, slot = (animation.action, getattr(animation, "action_slot", None)) if animation else (None, None)
    for curve in muted:
        curve.mute = True
    if action is not None:
        animation.action = None
    rest(item)
    item.update_tag()
    try:
        yield
    finally:
        for curve in muted:
            curve.mute = False
        if action is not None:
            animation.action = action
            if slot is not None:
                animation.action_slot = slot
        item.delta_location, item.delta_rotation_euler = before
        item.update_tag()
