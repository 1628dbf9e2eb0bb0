"""Which building the maker is working on."""

from __future__ import annotations

from bpy.types import Context, Object, Operator

from .placed_properties import placed_data
from .properties import SETTINGS_VERSION, building_data, part_data
from .scene_out import kit_collection

NO_BUILDING = "Select a mesh object and press Use as Building"
NO_KIT = "Make the kit first"
EDIT_MODE = "Go to Object Mode first"
LINKED = (
    "This building is linked from another file and cannot be changed here. Make a library override of it, "
    "or make it local: Object > Library Override > Make, or Object > Relations > Make Local"
)
NEWER = "This building was kept by a newer Halfbat, which may mean other things by its settings. Update Halfbat first"
LOCKED = (
    "This override of a building in another file is not editable yet. In the Outliner choose Library Override > Make "
    "of its menu, or make it local"
)


def building_of(context: Context) -> Object | None:
    """Return the building the active object is, is a part of or stands on; None when it is none of these."""
    active = context.active_object
    if active is None:
        return None
    if building_data(active).is_building:
        return active
    building = _building_behind(active)
    if building is None or not building_data(building).is_building:
        return None
    return building if len(building.users_collection) or building.library is not None else None


def lost_building(context: Context) -> Object | None:
    """Return the building of the active object where that was deleted from every scene; None where it was not."""
    active = context.active_object
    building = None if active is None else _building_behind(active)
    return building if building is not None and building != building_of(context) else None


def _building_behind(item: Object) -> Object | None:
    """Return the building that something stands on or is a part of, whether or not it is in a scene."""
    building: Object | None = item.parent if placed_data(item).kind else part_data(item).building
    return building


def required_building(context: Context) -> Object:
    """Return the building of a context in which an operator's poll has found one."""
    building = building_of(context)
    assert building is not None
    return building


def poll_object_mode(operator: type[Operator], context: Context) -> bool:
    """Allow an operator in object mode only, with the reason for the greyed button."""
    if context.mode != "OBJECT":
        operator.poll_message_set(EDIT_MODE)
        return False
    return True


def poll_any_building(operator: type[Operator], context: Context) -> bool:
    """Allow an operator that changes nothing where there is a building, linked ones too."""
    if building_of(context) is None:
        operator.poll_message_set(NO_BUILDING)
        return False
    return poll_object_mode(operator, context)


def why_not_own(item: Object) -> str:
    """Return why what is kept with an object cannot be changed here; nothing where it can."""
    if item.library is not None:
        return LINKED
    if item.override_library is not None and item.override_library.is_system_override:
        return LOCKED
    return NEWER if building_data(item).settings_version > SETTINGS_VERSION else ""


def poll_own(operator: type[Operator], item: Object) -> bool:
    """Allow an operator on an object of this file, with the reason why others cannot be changed."""
    reason = why_not_own(item)
    if reason:
        operator.poll_message_set(reason)
    return not reason


def poll_building(operator: type[Operator], context: Context) -> bool:
    """Allow an operator where there is a building of this file to work on."""
    return poll_any_building(operator, context) and poll_own(operator, required_building(context))


def poll_kit(operator: type[Operator], context: Context) -> bool:
    """Allow an operator where the building has a kit."""
    if not poll_building(operator, context):
        return False
    if kit_collection(required_building(context)) is None:
        operator.poll_message_set(NO_KIT)
        return False
    return True
