"""The filament parts of a kit: the shell and what lies on it, in sections where they are larger than the printer."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from halfbat.building.rings import inside_rings
from halfbat.errors import KitError
from halfbat.findings import Finding, Severity
from halfbat.parts.cover_blocks import cover_blocks
from halfbat.parts.former import build_former
from halfbat.parts.kit_plan import Plan
from halfbat.parts.lid import build_lid, has_lip, lid_top_mm
from halfbat.parts.masses import MassStack
from halfbat.parts.numbering import Numbering, NumberKind, part_number
from halfbat.parts.outlines import Outline
from halfbat.parts.part import Part
from halfbat.parts.roof_cells import cells_of, cuts_in_plan
from halfbat.parts.section import Section
from halfbat.parts.section_bodies import former_body, lid_body, shell_body
from halfbat.parts.sections import SectionBody, Sectioned, sections_of, whole_fits
from halfbat.parts.shell import Built, ShellOpenings, build_shell, solid_masses
from halfbat.settings import Settings
from halfbat.shelf import PartShelf
from halfbat.solids.verify import faults

Told = tuple[Part, list[Finding]]
Build = Callable[[str, Section | None], Built]


@dataclass(frozen=True, slots=True, eq=False)
class ShellParts:
    """The shell.

    Parameters
    ----------
    parts : tuple of (Part, list of Finding)
        One, or its sections.
    closed : tuple of (int, int)
        Openings that could not be cut, as `Built` has them.
    cuts : tuple of ndarray (2, 2)
        Where it is cut, in plan.
    """

    parts: tuple[Told, ...]
    closed: tuple[tuple[int, int], ...]
    cuts: tuple[Outline, ...]


def shell_parts(
    plan: Plan, openings: Sequence[ShellOpenings], numbering: Numbering, settings: Settings, shelf: PartShelf
) -> ShellParts:
    """Build the shell.

    Parameters
    ----------
    plan : Plan
        The kit, settled.
    openings : sequence of ShellOpenings
        Doors and windows.
    numbering : Numbering
        Gives its numbers.
    settings : Settings
        What the maker chose.
    shelf : PartShelf
        Where parts made before are found.
    """
    skins = plan.blocks(settings.skin.glue_gap_mm)
    closed: list[tuple[int, int]] = []

    def build(number: str, section: Section | None) -> Built:
        return shelf.call(build_shell, plan.masses, settings, number, openings, skins, section)

    body = shell_body(plan.masses, settings, openings, skins, plan.walls)
    builds, cut = _built(NumberKind.SHELL, 1, body, build, settings, shelf)
    closed = sorted({one for built in builds for one in built.closed})
    made = list(_parts(NumberKind.SHELL, 1, "Shell", "shell", builds, cut, numbering, settings))
    narrow = solid_masses(plan.masses, settings)
    if narrow:
        sizes = ", ".join("{:.1f} x {:.1f} mm".format(*sorted(np.ptp(mass.corners_mm, axis=0))) for mass in narrow)
        text = f"too narrow for a hollow between two walls, so the shell is solid there: parts of {sizes}"
        remedy = "choose a larger scale or fewer wall lines to have them hollow"
        made[0][1].insert(0, Finding(Severity.NOTE, "shell-solid", made[0][0].number, text, remedy))
    if closed:
        text = f"{len(closed)} openings are blind, as another part of the shell stands behind them"
        made[0][1].insert(0, Finding(Severity.NOTE, "opening-backed", made[0][0].number, text))
    return ShellParts(tuple(made), tuple(closed), () if cut is None else cut.cuts)


def top_parts(
    plan: Plan, cuts: Sequence[Outline], numbering: Numbering, settings: Settings, shelf: PartShelf
) -> Iterator[Told]:
    """Build lids and roof formers.

    Parameters
    ----------
    plan : Plan
        The kit, settled.
    cuts : sequence of ndarray (2, 2)
        Where the shell is cut: what lies on it is cut elsewhere, and ties it.
    numbering : Numbering
        Gives their numbers.
    settings : Settings
        What the maker chose.
    shelf : PartShelf
        Where parts made before are found.
    """
    lids = formers = 1
    skins = plan.blocks(settings.skin.glue_gap_mm)
    for mass in plan.masses:
        shafts = plan.shafts(mass)
        if mass.slopes:
            pockets = plan.pockets(mass)

            def build_own_former(number: str, section: Section | None) -> Built:
                return shelf.call(build_former, mass, settings, number, skins, pockets, shafts, section)  # noqa: B023

            body = former_body(mass, settings, [ring for ring, _ in pockets], shafts, skins, cuts)
            if not whole_fits(body, settings.filament.part_room_mm):
                body = replace(body, beside=(*body.beside, *_cuts_of_skins(plan, mass, settings, shelf)))
            builds, cut = _built(NumberKind.FORMER, formers, body, build_own_former, settings, shelf)
            yield from _parts(NumberKind.FORMER, formers, "Roof former", "former", builds, cut, numbering, settings)
            formers += len(builds)
        elif settings.lid.make:
            free = [*skins, *cover_blocks(plan.walls, lid_top_mm(mass, settings), settings, plan.scale)]

            def build_own_lid(number: str, section: Section | None) -> Built:
                return shelf.call(build_lid, mass, settings, number, free, shafts, section)  # noqa: B023

            body = lid_body(mass, settings, shafts, free, cuts)
            builds, cut = _built(NumberKind.LID, lids, body, build_own_lid, settings, shelf)
            made = list(_parts(NumberKind.LID, lids, "Lid", "lid", builds, cut, numbering, settings))
            if not has_lip(mass, settings):
                made[0][1].append(_loose(made[0][0].number))
            yield from made
            lids += len(builds)


def _loose(number: str) -> Finding:
    text = "lies on the shell without a lip, since the part of the building under it is too narrow for one"
    return Finding(Severity.NOTE, "lid-loose", number, text, "glue it on, or choose a larger scale")


def _cuts_of_skins(plan: Plan, mass: MassStack, settings: Settings, shelf: PartShelf) -> Iterator[Outline]:
    """Where the skins of a pitched roof are cut."""
    for face in plan.roofs:
        middle = face.slope.place(face.slope.outline_m).mean(axis=0)[:2] * plan.scale.mm_per_m
        if inside_rings([mass.corners_mm], middle[None])[0]:
            yield from cuts_in_plan(face, cells_of(face, settings, plan.scale, shelf), plan.scale)


def _built(
    kind: NumberKind, first: int, body: SectionBody, build: Build, settings: Settings, shelf: PartShelf
) -> tuple[list[Built], Sectioned | None]:
    """Build a body, in sections where it is too large for its printer and they come out sound."""
    room = settings.filament.part_room_mm
    if settings.shell.sections and not whole_fits(body, room):
        cut = shelf.call(sections_of, body, room)
        if cut is not None:
            try:
                builds = [build(part_number(kind, first + k), section) for k, section in enumerate(cut.sections)]
            except (KitError, ValueError):
                builds = []
            if builds and not any(faults(built.solid) for built in builds):
                return builds, cut
    return [build(part_number(kind, first), None)], None


def _parts(
    kind: NumberKind,
    first: int,
    name: str,
    part_kind: str,
    builds: Sequence[Built],
    cut: Sectioned | None,
    numbering: Numbering,
    settings: Settings,
) -> Iterator[Told]:
    numbers = [numbering.assign(kind, first + k) for k in range(len(builds))]
    if cut is None:
        yield _part(numbers[0], name, part_kind, builds[0], (), settings)
        return
    for k, (number, built) in enumerate(zip(numbers, builds, strict=True), start=1):
        own = f"{name}, section {k} of {len(builds)}"
        part, told = _part(number, own, part_kind, built, tuple(numbers), settings)
        yield part, [*told, *(_cut_findings(numbers, name, cut) if k == 1 else ())]


def _cut_findings(numbers: Sequence[str], name: str, cut: Sectioned) -> Iterator[Finding]:
    count, first = len(numbers), numbers[0]
    text = f"the {name.lower()} is larger than the filament printer and made in {count} sections to be glued together"
    yield Finding(Severity.NOTE, "in-sections", first, text)
    if cut.crowded:
        text = f"{cut.crowded} cuts between its sections lie near a corner, an opening or a seam, as no place is better"
        remedy = "glue a strip over the joint inside, or move what is in the way"
        yield Finding(Severity.WARNING, "section-crowded", first, text, remedy)
    if cut.unspliced:
        text = f"{cut.unspliced} walls have no room for a splice where they are cut, and only butt there"
        remedy = "glue a strip over the joint inside"
        yield Finding(Severity.WARNING, "section-unspliced", first, text, remedy)


def _part(number: str, name: str, kind: str, built: Built, numbers: tuple[str, ...], settings: Settings) -> Told:
    notes: tuple[str, ...] = ()
    if numbers:
        others = [other for other in numbers if other != number]
        named = others[0] if len(others) == 1 else ", ".join(others[:-1]) + " and " + others[-1]
        notes = (f"Glued to {named}: one body, cut to fit the printer.",)
    part = Part(number, name, kind, "filament", built.solid, built.place, notes=notes, sections=numbers)
    return part, unmarked(number, built.mark is None, settings)


def unmarked(number: str, missing: bool, settings: Settings) -> list[Finding]:
    """Tell of a part that has no room for its number."""
    if not (missing and settings.mark.make):
        return []
    text = "is too small for a readable number"
    return [
        Finding(Severity.NOTE, "mark-missing", number, text, "find it on the picture of its plate, and keep it apart")
    ]
