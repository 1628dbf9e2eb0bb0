"""Sizes that a maker chose, rounded to what their printer makes: whole layers, whole lines, whole pixels.

Joints are rounded where they are laid (`halfbat.surfaces.joints`) and overall sizes are never changed.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from halfbat.findings import Finding, Severity
from halfbat.settings import Settings, value_of, with_value
from halfbat.settings.setting import group_classes, settings_of

_EXACT = 1e-6


@dataclass(frozen=True, slots=True)
class _Step:
    """A setting and the step of the printer it is rounded to."""

    group: str
    key: str
    process: str
    step: str
    least_steps: int = 1


_STEPS = (
    _Step("shell", "floor_thickness_mm", "filament", "layers", 2),
    _Step("shell", "ledge_height_mm", "filament", "layers", 0),
    _Step("lid", "thickness_mm", "filament", "layers", 2),
    _Step("lid", "lip_depth_mm", "filament", "layers"),
    _Step("lid", "lip_thickness_mm", "filament", "lines", 2),
    _Step("seam", "cover_height_mm", "resin", "layers"),
    _Step("seam", "cover_width_mm", "resin", "pixels"),
)


def _size_mm(settings: Settings, step: _Step) -> float:
    """Size of one step in a part, before its scale correction."""
    if step.step == "pixels":  # a cover lies along X, so its width is counted along Y
        return settings.resin.pixel_y_mm / settings.resin.scale_y
    if step.step == "lines":
        return settings.filament.line_width_mm
    process = settings.resin if step.process == "resin" else settings.filament
    return process.layer_mm / process.scale_z


def snapped_settings(settings: Settings) -> tuple[Settings, tuple[Finding, ...]]:
    """Round sizes to whole steps of the printer.

    Parameters
    ----------
    settings : Settings
        What the maker chose.

    Returns
    -------
    Settings, tuple of Finding
        The same with sizes rounded to the nearest step, up where that would be under the setting's least; and what
        was changed by how much. A change finer than a tenth of a step is not worth telling.
    """
    findings = []
    for step in _STEPS:
        asked = float(value_of(settings, step.group, step.key))
        size = _size_mm(settings, step)
        if asked == 0:
            continue
        record = next(item for item in settings_of(group_classes(Settings)[step.group]) if item.key == step.key)
        least = max(step.least_steps, ceil((record.minimum or 0.0) / size - _EXACT))
        made = round(max(round(asked / size), least) * size, 9)
        if record.maximum is not None and made > record.maximum:
            continue
        settings = with_value(settings, step.group, step.key, made)
        if abs(made - asked) > size / 10:
            text = (
                f"{record.label.lower()} made {made:.2f} mm instead of {asked:.2f} mm, {made - asked:+.2f} mm: "
                f"a whole number of {step.step}"
            )
            findings.append(Finding(Severity.NOTE, "snapped", f"{step.group}.{step.key}", text))
    return settings, tuple(findings)
