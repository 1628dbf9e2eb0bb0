"""From a building and settings to a kit of verified parts. Only this module knows all stages."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from halfbat.building import Building
from halfbat.findings import Finding, Severity
from halfbat.parts.covers import CableRun, build_cable_run
from halfbat.parts.lid import build_lid
from halfbat.parts.numbering import Numbering, NumberKind
from halfbat.parts.part import Material, Part
from halfbat.parts.placing import as_printed, frame
from halfbat.parts.seams import Cut, SeamStyle
from halfbat.parts.shell import Built, build_shell
from halfbat.parts.skins import build_panel
from halfbat.parts.walls import Plan, WallPlan, base_thickness_mm, plan_walls
from halfbat.printing.checks import CheckReport, check_part, check_together, gathered
from halfbat.printing.room import longest_turned_mm, room_findings
from halfbat.printing.snapping import snapped_settings
from halfbat.settings import Settings, check_settings
from halfbat.solids.verify import require_printable
from halfbat.units import Scale, parse_scale

Progress = Callable[[float, str], None]
SMALLEST_FACE_SIDES_MM = 50.0
MAKING_SHARE = 0.25
"""Of the time that making and checking take together, for the progress bar."""
SHORTEST_RUN_MM = 3.0
CUT_TAB_OFF = "Cut the tab off when it is glued on."


@dataclass(frozen=True, slots=True, eq=False)
class Kit:
    """A made kit.

    Parameters
    ----------
    name : str
        Its name.
    scale : Scale
        Of the model.
    settings : Settings
        It was made with.
    building : Building
        It was made from.
    plan : Plan
        How its walls were settled: bricks, seams, thicknesses.
    parts : tuple of Part
        Numbered, verified, in the order of the parts list.
    materials : tuple of Material
        To buy.
    findings : tuple of Finding
        What there is to tell.
    checks : int
        How many checks were made of its parts.
    check_seconds : float
        Time they took.
    """

    name: str
    scale: Scale
    settings: Settings
    building: Building
    plan: Plan
    parts: tuple[Part, ...]
    materials: tuple[Material, ...]
    findings: tuple[Finding, ...]
    checks: int = 0
    check_seconds: float = 0.0


def smallest_face_m(settings: Settings) -> float:
    """Shortest wall, full size in metres, that still has room for a skin between two corners.

    Two mitred ends take the skin's thickness and its relief each; shorter sides of a plan are dissolved.
    """
    scale = parse_scale(settings.kit.scale)
    base = base_thickness_mm(SMALLEST_FACE_SIDES_MM, settings)
    joint = max(settings.brick.joint_depth_mm, 0.2)
    needed = 2 * (base + joint + settings.skin.back_relief_mm + settings.skin.glue_gap_mm + 0.3)
    return needed / scale.mm_per_m


def make_kit(building: Building, settings: Settings, progress: Progress | None = None, *, checked: bool = True) -> Kit:
    """Make every part of a kit.

    Parameters
    ----------
    building : Building
        Walls in one loop, metres.
    settings : Settings
        What the maker chose.
    progress : callable, optional
        Called with the share done, 0 to 1, and what is being made. Whatever it raises stops the work.
    checked : bool
        Measure every finished part against its printer; that takes longer than making them. Whether each is one closed
        solid and fits the printer is asked in any case.

    Returns
    -------
    Kit
        Every part is one closed outward solid.

    Raises
    ------
    KitError
        The kit cannot be made; the sentence says what, where and what to do.
    """
    report = progress or (lambda share, what: None)
    check_settings(settings)
    scale = parse_scale(settings.kit.scale)
    report(0.0, "laying bricks")
    snapped, told_of_steps = snapped_settings(settings)
    plan = plan_walls(building, snapped, scale)
    parts: list[Part] = []
    findings = [*plan.findings, *told_of_steps]
    total = 2 + sum(len(wall.seams.panels) + len(wall.seams.cuts) for wall in plan.walls)
    share = 1 / total if not checked else MAKING_SHARE / total
    for part, told in _parts(plan, snapped, scale):
        require_printable(part.solid, f"part {part.number}")
        parts.append(part)
        findings += told if checked else [*told, *room_findings(part, settings)]
        report(min(len(parts) * share, 1.0), part.name)
    materials = tuple(_wire(plan, snapped))
    checks = _checked(parts, plan, snapped, report) if checked else CheckReport((), 0, 0.0)
    findings += checks.findings
    report(1.0, "done")
    return Kit(
        settings.kit.name,
        scale,
        settings,
        building,
        plan,
        tuple(parts),
        materials,
        tuple(dict.fromkeys(findings)),
        checks.count,
        checks.seconds,
    )


def _checked(parts: Sequence[Part], plan: Plan, settings: Settings, report: Progress) -> CheckReport:
    reports = []
    for place, part in enumerate(parts):
        report(MAKING_SHARE + (1 - MAKING_SHARE) * place / len(parts), f"checking {part.number}")
        reports.append(check_part(part, settings))
    return gathered([*reports, check_together(parts, plan, settings)])


def _parts(plan: Plan, settings: Settings, scale: Scale) -> Iterator[tuple[Part, list[Finding]]]:
    numbering = Numbering()
    number = numbering.assign(NumberKind.SHELL, 1)
    yield _filament(number, "Shell", "shell", build_shell(plan.stack, settings, number), settings)
    if settings.lid.make:
        number = numbering.assign(NumberKind.LID, 1)
        yield _filament(number, "Lid", "lid", build_lid(plan.stack, settings, number), settings)
    for wall in plan.walls:
        for cell in wall.seams.panels:
            number = numbering.assign(NumberKind.SKIN, cell.index, wall.wall.letter)
            panel = build_panel(wall.facing, cell, settings, number)
            name = f"Skin, wall {wall.wall.letter}"
            if len(wall.seams.panels) > 1:
                name += f", panel {cell.index} of {len(wall.seams.panels)}"
            part = Part(
                number, name, "skin", "resin", panel.solid, panel.place, wall=wall.wall.letter, counts=panel.counts
            )
            yield part, _unmarked(number, panel.mark is None, settings)
    for wall in plan.walls:
        yield from _covers(wall, numbering, settings, scale)


def _filament(number: str, name: str, kind: str, built: Built, settings: Settings) -> tuple[Part, list[Finding]]:
    part = Part(number, name, kind, "filament", built.solid, built.place)
    return part, _unmarked(number, built.mark is None, settings)


def _unmarked(number: str, missing: bool, settings: Settings) -> list[Finding]:
    if not (missing and settings.mark.make):
        return []
    text = "has no room for a readable number"
    return [Finding(Severity.WARNING, "mark-missing", number, text, "write it on the back when the part is printed")]


def _covers(
    wall: WallPlan, numbering: Numbering, settings: Settings, scale: Scale
) -> Iterator[tuple[Part, list[Finding]]]:
    """Make the printed cable runs of a wall; a run too long for the printer comes in pieces of one length."""
    if settings.seam.cover_made_as != "printed":
        return
    height = wall.facing.laying.height_mm
    count = 0
    for cut in _hidden(wall):
        count += 1
        first = numbering.assign(NumberKind.COVER, count, wall.wall.letter)
        whole = build_cable_run(height, scale, settings, first)
        room = longest_turned_mm(settings.resin)
        pieces = max(1, int(np.ceil((whole.solid.size_mm[0] - 1e-6) / room)))
        length = height / pieces
        number = first
        for piece in range(pieces):
            if piece:
                count += 1
                number = numbering.assign(NumberKind.COVER, count, wall.wall.letter)
            run = whole if pieces == 1 else build_cable_run(length, scale, settings, number)
            name = f"Cable run, wall {wall.wall.letter}"
            yield _cover_part(wall, cut, run, piece * length, number, name), []


def _hidden(wall: WallPlan) -> list[Cut]:
    return [cut for cut in wall.seams.cuts if cut.style is SeamStyle.CABLE_RUN]


def _cover_part(wall: WallPlan, cut: Cut, run: CableRun, foot_mm: float, number: str, name: str) -> Part:
    facing = wall.facing
    along = np.array([*facing.along, 0.0])
    outward = np.array([*facing.outward, 0.0])
    up = np.array([0.0, 0.0, 1.0])
    origin = facing.foot_mm + along * cut.position_mm + up * foot_mm
    solid, place = as_printed(run.solid, frame(up, -along, outward, origin))
    notes = ("Cut the tab off when it is glued on.",) if run.marked else ()
    return Part(number, name, "cover", "resin", solid, place, wall=wall.wall.letter, notes=notes)


def _wire(plan: Plan, settings: Settings) -> Iterator[Material]:
    if settings.seam.cover_made_as != "wire":
        return
    for wall in plan.walls:
        runs = len(_hidden(wall))
        if runs:
            name = f"Wire, {settings.seam.cover_width_mm:g} mm thick"
            length = runs * wall.facing.laying.height_mm
            notes = (f"{runs} x {wall.facing.laying.height_mm:.1f} mm, glued over the seams.",)
            yield Material(name, round(length, 2), "mm", wall.wall.letter, notes)
