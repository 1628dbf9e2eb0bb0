"""Lengths at full size and model size side by side."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from bpy.types import Context, Object, Scene, UILayout

from halfbat.errors import KitError
from halfbat.settings import BrickSettings, Setting
from halfbat.surfaces.chosen import length_in_bricks_m
from halfbat.units import Scale, format_length, parse_scale

from ..properties import building_data
from ..reporting import capital
from ..settings_io import read_group
from .base import draw_text

NAME_SHARE, FULL_SHARE = 0.3, 0.62
"""Of a row's width: its name, and of the rest its full size."""


def full_size(metres: float, scene: Scene) -> str:
    """Write a full-size length in the scene's system of units."""
    return format_length(metres, "imperial" if scene.unit_settings.system == "IMPERIAL" else "metric")


def scale_of(building: Object) -> Scale | None:
    """Return the scale typed for a building; None where it cannot be used."""
    try:
        return parse_scale(building_data(building).kit.scale)
    except KitError:
        return None


def draw_sizes(layout: UILayout, scene: Scene, scale: Scale, sizes: Iterable[tuple[str, float]]) -> None:
    """Draw rows of name, full size and model size.

    Parameters
    ----------
    layout : UILayout
        Where.
    scene : Scene
        Its system of units counts for full sizes.
    scale : Scale
        Of the model.
    sizes : iterable of (str, float)
        Names, and lengths in metres.
    """
    rows = layout.column(align=True)
    for name, metres in sizes:
        draw_size(rows, scene, scale, name, metres)


def draw_size(
    layout: UILayout, scene: Scene, scale: Scale, name: str, metres: float, *, name_share: float = NAME_SHARE
) -> None:
    """Draw one row of name, full size and model size; feet, inches and sixteenths take the most room."""
    split = layout.split(factor=name_share)
    split.label(text=name)
    sizes = split.split(factor=FULL_SHARE)
    sizes.label(text=full_size(metres, scene))
    sizes.label(text=f"{scale.to_mm(metres):.1f} mm")


def draw_lengths_read(
    layout: UILayout,
    context: Context,
    building: Object,
    item: Any,  # noqa: ANN401 - a property group
    records: Iterable[Setting],
) -> None:
    """Draw what lengths written as text come to, and a sentence for each that cannot be read.

    Parameters
    ----------
    layout : UILayout
        Where.
    context : Context
        Its scene's units count.
    building : Object
        Its scale and bricks count.
    item : PropertyGroup
        Whose texts.
    records : iterable of Setting
        Which of them are lengths.
    """
    brick: BrickSettings = read_group(building, "brick")
    sizes = []
    for record in records:
        text = getattr(item, record.key)
        if not text:
            continue
        try:
            sizes.append((record.label, length_in_bricks_m(text, brick)))
        except KitError as error:
            told = layout.column()
            told.alert = True
            draw_text(told, context, f"{record.label}: {capital(str(error))}", "ERROR")
    scale = scale_of(building)
    if scale is not None:
        draw_sizes(layout, context.scene, scale, sizes)
