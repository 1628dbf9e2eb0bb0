"""The brick and bond that the settings ask for, and lengths counted in them."""

from __future__ import annotations

from halfbat.settings import BrickSettings
from halfbat.surfaces.bonds import Bond, get_bond
from halfbat.surfaces.formats import BrickFormat, custom_format, get_format
from halfbat.units import parse_length


def chosen_format(brick: BrickSettings) -> BrickFormat:
    """Return the brick format, published or custom.

    Raises
    ------
    KitError
        When there is no such format, or the custom sizes make no brick.
    """
    if brick.format != "custom":
        return get_format(brick.format)
    return custom_format(
        brick.custom_length_mm / 1000,
        brick.custom_width_mm / 1000,
        brick.custom_height_mm / 1000,
        brick.custom_joint_mm / 1000,
        brick.custom_gauge_mm / 1000,
    )


def chosen_bond(brick: BrickSettings) -> Bond:
    """Return the bond, with its number of stretcher courses.

    Raises
    ------
    KitError
        When there is no such bond.
    """
    return get_bond(brick.bond, brick.stretcher_courses)


def length_in_bricks_m(text: str, brick: BrickSettings) -> float:
    """Read a full-size length that may be counted in courses or bricks of the chosen brick and bond, metres.

    Raises
    ------
    KitError
        When the text is no length.
    """
    brick_format = chosen_format(brick)
    gauge_m = chosen_bond(brick).gauge_m(brick_format)
    return parse_length(text, course_m=gauge_m, brick_m=brick_format.stretcher_module_m)
