"""Everything the extension puts into Blender, in order, and taken out again in the opposite order."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import bpy

from . import finish_view, keeping, live, menus, modifiers, overlay, overrides, preferences, properties, watching
from .operators import building as building_operators
from .operators import (
    coupon,
    example,
    export,
    faces,
    kit_file,
    make,
    parts,
    placed,
    presets,
    processes,
    requests,
    slide,
)
from .operators import live as live_operators
from .operators import walls as wall_operators
from .panels import brickwork, construction, findings, openings, printers, roof
from .panels import building as building_panels
from .panels import export as export_panels
from .panels import finish_colours as finish_panels
from .panels import look as look_panels
from .panels import make as make_panels
from .panels import placed as placed_panels
from .panels import presets as preset_panels
from .panels import requests as request_panels
from .panels import seams as seam_panels
from .panels import walls as wall_panels

OPERATORS: tuple[type, ...] = (
    building_operators.HALFBAT_OT_use_as_building,
    building_operators.HALFBAT_OT_bring_back_building,
    building_operators.HALFBAT_OT_forget_building,
    example.HALFBAT_OT_add_example_building,
    kit_file.HALFBAT_OT_load_kit_file,
    kit_file.HALFBAT_OT_save_kit_file,
    presets.HALFBAT_OT_load_preset,
    presets.HALFBAT_OT_keep_preset,
    processes.HALFBAT_OT_load_process_file,
    processes.HALFBAT_OT_save_process_file,
    wall_operators.HALFBAT_OT_read_walls,
    wall_operators.HALFBAT_OT_look_at_wall,
    *requests.OPERATORS,
    faces.HALFBAT_OT_set_finish,
    placed.HALFBAT_OT_add_opening,
    placed.HALFBAT_OT_add_seam,
    placed.HALFBAT_OT_remove_placed,
    placed.HALFBAT_OT_select_placed,
    slide.HALFBAT_OT_place_on_wall,
    slide.HALFBAT_OT_slide_on_wall,
    make.HALFBAT_OT_make_kit,
    make.HALFBAT_OT_remove_kit,
    live_operators.HALFBAT_OT_watch_live,
    parts.HALFBAT_OT_select_part,
    parts.HALFBAT_OT_look_at_finding,
    parts.HALFBAT_OT_hide_place,
    parts.HALFBAT_OT_view_kit,
    export.HALFBAT_OT_export_kit,
    coupon.HALFBAT_OT_export_coupon,
)
PANELS: tuple[type, ...] = (
    preset_panels.HALFBAT_PT_brick_presets,
    preset_panels.HALFBAT_PT_roof_presets,
    preset_panels.HALFBAT_PT_printer_presets,
    building_panels.HALFBAT_PT_first_steps,
    building_panels.HALFBAT_PT_building,
    wall_panels.HALFBAT_UL_walls,
    wall_panels.HALFBAT_PT_walls,
    brickwork.HALFBAT_PT_brickwork,
    brickwork.HALFBAT_PT_joints,
    request_panels.HALFBAT_UL_requests,
    request_panels.HALFBAT_PT_features,
    request_panels.HALFBAT_PT_finishes,
    finish_panels.HALFBAT_PT_finish_colours,
    roof.HALFBAT_PT_roof,
    roof.HALFBAT_PT_laps,
    request_panels.HALFBAT_PT_chimneys,
    construction.HALFBAT_PT_construction,
    construction.HALFBAT_PT_shell,
    construction.HALFBAT_PT_skins,
    construction.HALFBAT_PT_lid,
    construction.HALFBAT_PT_marks,
    placed_panels.HALFBAT_UL_openings,
    placed_panels.HALFBAT_UL_seams,
    placed_panels.HALFBAT_UL_downpipes,
    placed_panels.HALFBAT_UL_cable_runs,
    placed_panels.HALFBAT_UL_roof_lights,
    placed_panels.HALFBAT_MT_add_opening,
    placed_panels.HALFBAT_MT_add_roof_light,
    roof.HALFBAT_PT_roof_lights,
    roof.HALFBAT_PT_roof_light,
    openings.HALFBAT_PT_openings,
    openings.HALFBAT_PT_opening,
    seam_panels.HALFBAT_PT_seams,
    seam_panels.HALFBAT_PT_panels_and_covers,
    request_panels.HALFBAT_PT_no_seams,
    seam_panels.HALFBAT_PT_downpipes,
    placed_panels.HALFBAT_PT_placed_downpipes,
    placed_panels.HALFBAT_PT_placed_cable_runs,
    printers.HALFBAT_PT_printers,
    printers.HALFBAT_PT_resin,
    printers.HALFBAT_PT_filament,
    printers.HALFBAT_PT_orientation,
    make_panels.HALFBAT_PT_make,
    look_panels.HALFBAT_PT_look,
    findings.HALFBAT_UL_findings,
    findings.HALFBAT_PT_findings,
    findings.HALFBAT_UL_parts,
    findings.HALFBAT_PT_parts,
    export_panels.HALFBAT_PT_export,
)


@dataclass(frozen=True)
class Step:
    """One thing put in, and how it is taken out.

    Parameters
    ----------
    name : str
        For messages.
    do, undo : callable
        Put it in; take it out.
    """

    name: str
    do: Callable[[], None]
    undo: Callable[[], None]


def _class_step(cls: type) -> Step:
    return Step(cls.__name__, lambda: bpy.utils.register_class(cls), lambda: bpy.utils.unregister_class(cls))


STEPS: tuple[Step, ...] = (
    _class_step(preferences.HALFBAT_AP_preferences),
    *map(_class_step, properties.CLASSES),
    Step("properties of objects", properties.attach, properties.detach),
    *map(_class_step, OPERATORS),
    *map(_class_step, PANELS),
    Step("entries of Blender's menus", menus.extend, menus.restore),
    Step("bringing older files over", keeping.watch, keeping.unwatch),
    Step("lists of overrides", overrides.watch, overrides.unwatch),
    Step("following the cutters", modifiers.watch, modifiers.unwatch),
    Step("following things on walls", watching.watch, watching.unwatch),
    Step("keeping kits up to date", live.watch, live.unwatch),
    Step("numbers and marks over the view", overlay.watch, overlay.unwatch),
    Step("finishes over the view", finish_view.watch, finish_view.unwatch),
)


def do_all(steps: Iterable[Step]) -> None:
    """Do each step; when one fails, take out those before it and let the error through."""
    done: list[Step] = []
    try:
        for step in steps:
            step.do()
            done.append(step)
    except BaseException:
        undo_all(done)
        raise


def undo_all(steps: Iterable[Step]) -> None:
    """Take out each step, last first; one that fails does not keep the others in, and is told at the end."""
    errors: list[Exception] = []
    for step in reversed(tuple(steps)):
        try:
            step.undo()
        except Exception as error:  # noqa: BLE001 - raised below, after the rest is out
            error.add_note(f"while taking out {step.name}")
            errors.append(error)
    if errors:
        raise ExceptionGroup("Halfbat could not be taken out whole", errors)


def register() -> None:
    """Put everything in, or nothing."""
    do_all(STEPS)


def unregister() -> None:
    """Take everything out."""
    undo_all(STEPS)
