"""What a maker read off a printed coupon becomes figures of a process, and what those change in a kit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import isfinite
from typing import Any

from halfbat.errors import KitError
from halfbat.printing.process_files import checked_figure
from halfbat.settings import Process, ResinProcess, Setting, settings_of
from halfbat.settings.setting import Value
from halfbat.surfaces.joints import snapped_joints
from halfbat.units import Scale, parse_scale

READINGS: Mapping[str, tuple[str, str]] = {
    "groove": ("min_groove_mm", "narrowest groove that stayed open, mm"),
    "hole": ("min_hole_mm", "smallest hole that stayed open, mm"),
    "stroke": ("min_stroke_mm", "thinnest digits that can be read, mm"),
    "lip": ("fit_mm", "gap of the slot that the plug fits snugly, mm a side"),
    "bar_x": ("scale_x", "measured length of the coupon along X as measured/drawn, such as 99.4/100"),
    "bar_y": ("scale_y", "measured length of the coupon along Y as measured/drawn"),
    "bar_z": ("scale_z", "measured height of the coupon's wall as measured/drawn"),
}
"""Short names of what is read off a coupon: the figure each sets, and what it is."""
EXAMPLE_SCALES = ("1:148", "1:87", "1:76.2", "1:43.5")


def with_readings(process: Process, assignments: Sequence[str], name: str) -> Process:
    """Return a process with figures changed as ``key=value`` says.

    Parameters
    ----------
    process : ResinProcess or FilamentProcess
        The process the coupon was printed with; a bar's reading corrects its correction.
    assignments : sequence of str
        Keys of `READINGS` or of the process itself.
    name : str
        What to call the process in a refusal.

    Raises
    ------
    KitError
        For a key or value that will not do.
    """
    records = {record.key: record for record in settings_of(type(process))}
    changes: dict[str, Any] = {}
    for text in assignments:
        key, equals, given = (piece.strip() for piece in text.partition("="))
        if not equals or not given:
            raise KitError(f"'{text[:40]}' is not of the form key=value", name, "write it like groove=0.12")
        target = READINGS.get(key, (key, ""))[0]
        value: object = _number(given)
        if key.startswith("bar_"):
            value = getattr(process, target) * _drawn_over_measured(given, key, name)
        if target in records and records[target].kind == "int" and isinstance(value, float) and value.is_integer():
            value = int(value)
        changes[target] = checked_figure(records, target, value, name)
    return replace(process, **changes)


def _number(text: str) -> Value:
    try:
        return float(text)
    except ValueError:
        return text


def _drawn_over_measured(text: str, key: str, name: str) -> float:
    measured, slash, drawn = text.partition("/")
    try:
        value = float(drawn) / float(measured) if slash else float("nan")
    except (ValueError, ZeroDivisionError):
        value = float("nan")
    if not isfinite(value):
        raise KitError(f"'{text[:40]}' is not a measured length", f"{name}, {key}", f"write it like {key}=99.4/100")
    return round(value, 5)


def changed_figures(before: Process, after: Process) -> tuple[str, ...]:
    """Say which figures differ, one line each."""
    return tuple(
        f"{record.label} ({record.key}): {_shown(record, getattr(before, record.key))} -> "
        f"{_shown(record, getattr(after, record.key))}"
        for record in settings_of(type(after))
        if getattr(before, record.key) != getattr(after, record.key)
    )


def _shown(record: Setting, value: Value) -> str:
    text = f"{value:g}" if isinstance(value, int | float) and not isinstance(value, bool) else str(value)
    return f"{text} {record.unit}".strip()


def kit_changes(before: Process, after: Process, scales: Sequence[str] = EXAMPLE_SCALES) -> tuple[str, ...]:
    """Say what a changed process changes in kits: joints at some scales, sizes written, marks, fits.

    Parameters
    ----------
    before, after : ResinProcess or FilamentProcess
        Of one kind.
    scales : sequence of str
        Scales to tell the joints of.
    """
    lines = []
    if isinstance(before, ResinProcess) and isinstance(after, ResinProcess):
        for text in scales:
            was, now = (_joint_text(parse_scale(text), process) for process in (before, after))
            if was != now:
                lines.append(f"joints at {text}: {was} -> {now}")
    for axis in "xyz":
        was_scale, now_scale = getattr(before, f"scale_{axis}"), getattr(after, f"scale_{axis}")
        if was_scale != now_scale:
            lines.append(
                f"parts are written {100 * now_scale:.2f} % of their size along {axis.upper()} instead of "
                f"{100 * was_scale:.2f} %: 100 mm as {100 * now_scale:.2f} mm"
            )
    if before.min_stroke_mm != after.min_stroke_mm:
        lines.append(f"marks get strokes of {after.min_stroke_mm:g} mm instead of {before.min_stroke_mm:g} mm")
    if before.fit_mm != after.fit_mm and after.kind == "filament":
        lines.append(f"the lid's lip has {after.fit_mm:g} mm a side instead of {before.fit_mm:g} mm")
    return tuple(lines)


def _joint_text(scale: Scale, process: ResinProcess) -> str:
    joints = snapped_joints(scale, process)
    wide = f"{joints.perpend_mm:.3f}"
    if abs(joints.perpend_mm - joints.bed_mm) > 1e-6:
        wide += f" x {joints.bed_mm:.3f}"
    return f"{wide} mm wide ({joints.perpend_px} x {joints.bed_px} pixels), {joints.depth_mm:.3f} mm deep"
