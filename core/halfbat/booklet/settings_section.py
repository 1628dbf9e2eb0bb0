"""The print settings a kit was made for, the readings of coupons in them, and what there is to tell of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from xml.etree import ElementTree as ET

from halfbat.booklet.html import Child, el, row, section, table
from halfbat.drawings.contents import DrawnKit
from halfbat.drawings.finding_marks import numbered_findings
from halfbat.findings import Finding, Severity
from halfbat.parts.part import Part
from halfbat.parts.seats import place_words
from halfbat.settings import Process, Settings, group_classes, settings_of, value_of

_SCALES = ("scale_x", "scale_y", "scale_z")
_FITS = (
    ("skin", ("glue_gap_mm", "corner_land_mm", "corner_gap_mm", "back_relief_mm")),
    ("seam", ("gap_mm", "panel_limit_mm")),
    ("shell", ("wall_lines", "ledge_height_mm", "ledge_depth_mm")),
    ("lid", ("lip_depth_mm", "lip_thickness_mm")),
)
_HEADINGS = {
    Severity.FAILURE: "Would not print, fit or show as meant",
    Severity.WARNING: "Look at these",
    Severity.NOTE: "Good to know",
}


def settings_section(kit: DrawnKit) -> ET.Element:
    """Return what was assumed of the printers, and the sizes of the joints."""
    settings, joints = kit.settings, kit.plan.joints
    text = (
        f"Joints are {joints.perpend_px} pixels wide in X ({joints.perpend_mm:.3f} mm), {joints.bed_px} in Y "
        f"({joints.bed_mm:.3f} mm) and {joints.layers} layers deep ({joints.depth_mm:.3f} mm). Skins lie on their "
        "backs, bricks up, X along the plate's X: do not turn or scale them in the slicer. On the plates every resin "
        "part lies on whole pixels: open a plate as it is, with automatic arranging and centring switched off, or move "
        "parts by whole pixels only. Switch off the closing of narrow gaps, which may fill joints. The shell stands on "
        "its foot; the lid lies top down, its lip up. With other settings parts may not fit."
    )
    used = {part.process for part in kit.parts}
    tables = [_process(settings, group) for group in ("resin", "filament") if group in used]
    fits = [
        row(f"{record.label} ({group})", _value(settings, group, record.key, record.unit))
        for group, keys in _FITS
        for record in settings_of(group_classes(Settings)[group])
        if record.key in keys
    ]
    return section(
        "settings",
        "Print settings assumed",
        el("p", text),
        el("div", *tables, class_="pair"),
        table("Fits and clearances the parts were made with.", ("Setting", "Value"), fits, "fits"),
        el("h3", "Coupon readings used"),
        *(el("p", _reading(settings, group)) for group in ("resin", "filament") if group in used),
    )


def _process(settings: Settings, group: str) -> ET.Element:
    records = [record for record in settings_of(group_classes(Settings)[group]) if record.key not in _SCALES]
    rows = [row(record.label, _value(settings, group, record.key, record.unit)) for record in records]
    return table(f"{group.capitalize()} process.", ("Setting", "Value"), rows)


def _value(settings: Settings, group: str, key: str, unit: str) -> str:
    value = value_of(settings, group, key)
    if isinstance(value, bool):
        return "yes" if value else "no"
    text = f"{value:g}" if isinstance(value, float) else str(value)
    return f"{text} {unit}".strip()


def _reading(settings: Settings, group: str) -> str:
    process: Process = getattr(settings, group)
    scales = [float(getattr(process, key)) for key in _SCALES]
    name = f"{group.capitalize()}, process “{process.preset}”: "
    if all(scale == 1.0 for scale in scales):
        return name + "no correction is set. Print and measure a coupon before a whole kit."
    x, y, z = (f"{scale:.4f}" for scale in scales)
    return name + f"every part is made {x} times as large along X, {y} along Y and {z} along Z, as read from a coupon."


def findings_section(kit: DrawnKit) -> ET.Element:
    """Return what checks had to say, worst first, with where it is."""
    told, parts, numbers = list(kit.findings), {part.number: part for part in kit.parts}, numbered_findings(kit)
    children: list[Child] = []
    for severity, heading in _HEADINGS.items():
        here = [finding for finding in told if finding.severity == severity]
        if here:
            children.append(el("h3", f"{heading} ({len(here)})"))
            children += [_finding(group, _where(group, parts, numbers)) for group in _gathered(here)]
    if not children:
        children.append(el("p", "The checks found nothing to tell."))
    return section("findings", "Findings", *children, class_="follows")


def _gathered(findings: Iterable[Finding]) -> list[list[Finding]]:
    """Return findings with the same words together."""
    groups: dict[tuple[str, str], list[Finding]] = {}
    for finding in findings:
        groups.setdefault((finding.text, finding.remedy), []).append(finding)
    return list(groups.values())


def _where(group: Iterable[Finding], parts: Mapping[str, Part], numbers: Mapping[Finding, int]) -> str:
    """Say where findings are: by their numbers on the drawings, or in words."""
    drawn = [str(numbers[finding]) for finding in group if finding in numbers]
    others = [place_words(one.place, parts) for one in group if one.place is not None and one not in numbers]
    told = f" It is {'; '.join(others)}." if others else ""
    return told + (f" On the drawings: {', '.join(drawn)}." if drawn else "")


def _finding(group: list[Finding], where: str) -> ET.Element:
    """Tell findings of the same words once, with all the parts they are about and where on them."""
    finding = group[0]
    names = ", ".join(dict.fromkeys(one.part for one in group if one.part))
    remedy = f" {finding.remedy[0].upper()}{finding.remedy[1:]}." if finding.remedy else ""
    body = f"{finding.text}.{remedy}{where}"
    return el(
        "p",
        el("strong", f"{names}: ") if names else "",
        body if names else body[0].upper() + body[1:],
        class_=f"finding {finding.severity}",
    )
