"""What the command line says of a kit: parts, findings and cautions, short enough to be read."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from halfbat.findings import Finding, Severity
from halfbat.output.contents import KitContents
from halfbat.printing.plates import plates_for

CAUTIONS = (
    "Uncured resin harms skin and airways: wear nitrile gloves and eye protection, work in a well aired place, and\n"
    "follow the supplier's safety data sheet. Let resin-wet waste cure before throwing it away, never down a drain.\n"
    "Air the room while printing filament too, and keep isopropanol away from flames and sparks.\n"
)
"""From a fact sheet on UV resins, studies of what vat and filament printing give off, and a guide to solvents."""
TEXTS_SHOWN = 3
NAMES_SHOWN = 6
_HEADINGS = ((Severity.FAILURE, "Failures"), (Severity.WARNING, "Warnings"), (Severity.NOTE, "Notes"))


def kit_summary(kit: KitContents, directory: Path) -> str:
    """Return what was made, what there is to tell about it, and the usual cautions.

    Parameters
    ----------
    kit : KitContents
        A made kit.
    directory : Path
        Where it was written.
    """
    return "\n".join(
        (
            f"{kit.name}, {kit.scale.name}, in {directory}\n{_parts_text(kit)}",
            *findings_texts(kit.findings),
            CAUTIONS,
        )
    )


def _parts_text(kit: KitContents) -> str:
    kinds: dict[str, int] = {}
    for part in kit.parts:
        kinds[part.kind] = kinds.get(part.kind, 0) + part.quantity
    bricks = sum(count * part.quantity for part in kit.parts for count in part.counts.values())
    each = ", ".join(_kind_text(kit, kind, count) for kind, count in kinds.items())
    lines = [f"{_plural(sum(kinds.values()), 'part')}: {each}"]
    if bricks:
        lines.append(f"{_plural(bricks, 'facing brick')}")
    wanted: dict[tuple[str, str], float] = {}
    for item in kit.materials:
        wanted[item.name, item.unit] = wanted.get((item.name, item.unit), 0.0) + item.quantity
    lines += [f"to buy: {name}, {round(amount, 1):g} {unit}" for (name, unit), amount in wanted.items()]
    plates = plates_for(kit)
    amount = plates.amount
    if plates.plates:
        taken = [f"{amount.resin_ml:.0f} ml of resin"] if amount.resin_ml else []
        taken += [f"{amount.filament_g:.0f} g or {amount.filament_m:.1f} m of filament"] if amount.filament_g else []
        lines.append(f"{_plural(len(plates.plates), 'plate')}, {' and '.join(taken)} as drawn")
    if kit.checks:
        failures = sum(finding.severity == Severity.FAILURE for finding in kit.findings)
        lines.append(f"{_plural(kit.checks, 'check')}: " + (_plural(failures, "failure") if failures else "no failure"))
    return "".join(f"  {line}\n" for line in lines)


def _kind_text(kit: KitContents, kind: str, count: int) -> str:
    """Count parts of a kind; sections that are glued together are one."""
    sections = [part.sections for part in kit.parts if part.kind == kind and part.sections]
    if not sections:
        return _plural(count, kind)
    bodies = count - len(sections) + len(set(sections))
    return f"{_plural(bodies, kind)} in {count} pieces"


def _plural(count: int, noun: str) -> str:
    return f"{count} {noun}" + ("" if count == 1 else "s")


def findings_texts(findings: Iterable[Finding]) -> tuple[str, ...]:
    """Return one text for each severity there is, worst first; findings of one code are told together."""
    told = list(findings)
    texts = []
    for severity, heading in _HEADINGS:
        here = [finding for finding in told if finding.severity == severity]
        if not here:
            continue
        codes = dict.fromkeys(finding.code for finding in here)
        groups = (_group_text([finding for finding in here if finding.code == code]) for code in codes)
        texts.append(f"{heading} ({len(here)}):\n{''.join(groups)}")
    return tuple(texts)


def _group_text(findings: Sequence[Finding]) -> str:
    """Tell findings of one code: each different text once, with the parts it is true of."""
    texts = dict.fromkeys((finding.text, finding.remedy) for finding in findings)
    lines = []
    for text, remedy in list(texts)[:TEXTS_SHOWN]:
        parts = dict.fromkeys(finding.part for finding in findings if finding.text == text and finding.part)
        names = _names(list(parts))
        lines.append(f"{names}{text}" + (f"; {remedy}" if remedy else ""))
    if len(texts) > TEXTS_SHOWN:
        lines.append(f"... and {len(texts) - TEXTS_SHOWN} more like this, all in kit.json")
    return "".join(f"  {line}\n" for line in lines)


def _names(parts: Sequence[str]) -> str:
    if not parts:
        return ""
    more = f" and {len(parts) - NAMES_SHOWN} more" if len(parts) > NAMES_SHOWN else ""
    return ", ".join(parts[:NAMES_SHOWN]) + more + ": "
