"""From a building and settings to a kit of verified parts. Only this module knows all stages."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from halfbat.building import Building
from halfbat.building.erect import structure_from_mesh
from halfbat.building.mesh import Mesh
from halfbat.building.plain import structure_from_building
from halfbat.building.structure import Structure
from halfbat.errors import told_as_fault
from halfbat.findings import Finding
from halfbat.parts.all_parts import all_parts, count_of
from halfbat.parts.bases import base_thickness_mm
from halfbat.parts.cover_parts import wire
from halfbat.parts.hands import with_hands
from halfbat.parts.kit_plan import Plan, plan_kit
from halfbat.parts.part import Material, Part
from halfbat.parts.pieces import in_pieces
from halfbat.printing.checks import CheckReport, check_part, check_together, gathered
from halfbat.printing.orientation import oriented
from halfbat.printing.plates import plates_of
from halfbat.printing.room import longest_turned_mm, room_findings
from halfbat.printing.snapping import snapped_settings
from halfbat.settings import Settings, bare, check_settings
from halfbat.shelf import PartShelf
from halfbat.solids.verify import faults, require_printable
from halfbat.surfaces.joints import snapped_joints
from halfbat.surfaces.scale_fit import require_scale
from halfbat.units import Scale, parse_scale

Progress = Callable[[float, str], None]
SMALLEST_FACE_SIDES_MM = 100.0
MAKING_SHARE = 0.25
"""Of the time that making and checking take together, for the progress bar."""


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
    building : Building or Structure
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
    building: Building | Structure
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
    brick = settings.brick
    joint = snapped_joints(scale, settings.resin, width_mm=brick.joint_width_mm, depth_mm=brick.joint_depth_mm).depth_mm
    base = base_thickness_mm(SMALLEST_FACE_SIDES_MM, settings, joint)
    needed = 2 * (base + joint + settings.skin.back_relief_mm + settings.skin.glue_gap_mm + 0.3)
    return needed / scale.mm_per_m


def structure_for(mesh: Mesh, settings: Settings) -> Structure:
    """Find the walls, slopes and masses of a mesh as settings ask for; see `structure_from_mesh`.

    Raises
    ------
    KitError
        No kit can be made of the mesh.
    """
    return structure_from_mesh(mesh, smallest_face_m=smallest_face_m(settings), rise_m=settings.shell.ground_rise_m)


@told_as_fault("making the kit")
def make_kit(
    building: Building | Structure,
    settings: Settings,
    progress: Progress | None = None,
    *,
    checked: bool = True,
    shelf: PartShelf | None = None,
) -> Kit:
    """Make every part of a kit.

    Parameters
    ----------
    building : Building or Structure
        A plain box, or walls, slopes and masses; metres.
    settings : Settings
        What the maker chose.
    progress : callable, optional
        Called with the share done, 0 to 1, and what is being made. Whatever it raises stops the work.
    checked : bool
        Measure every finished part against its printer; that takes longer than making them. Whether each is one closed
        solid and fits the printer is asked in any case.
    shelf : PartShelf, optional
        Where parts made and checked before are found, so that only what changed is made again. The kit is the same
        with it and without.

    Returns
    -------
    Kit
        Every part is one closed outward solid.

    Raises
    ------
    KitError
        The kit cannot be made; the sentence says what, where and what to do.
    """
    shelf = PartShelf(keeping=False) if shelf is None else shelf
    report = progress or (lambda share, what: None)
    check_settings(settings)
    scale = parse_scale(settings.kit.scale)
    told_of_scale = require_scale(settings)
    report(0.0, "laying bricks")
    snapped, told_of_steps = snapped_settings(settings)
    structure = structure_from_building(building) if isinstance(building, Building) else building
    plan = plan_kit(structure, snapped, scale)
    parts: list[Part] = []
    findings = [*told_of_scale, *plan.findings, *told_of_steps]
    total = count_of(plan)
    share = 1 / total if not checked else MAKING_SHARE / total
    for made, told in all_parts(plan, snapped, scale, longest_turned_mm(snapped.resin), shelf):
        pieces, turned = shelf.call(_finished, made, bare(snapped))
        parts += pieces
        findings += [*told, *turned]
        if not checked:
            findings += [told for part in pieces for told in room_findings(part, settings)]
        report(min(len(parts) * share, 1.0), made.name)
    parts = list(with_hands(parts))
    materials = tuple(wire(plan, snapped))
    checks = _checked(parts, plan, snapped, report, shelf) if checked else CheckReport((), 0, 0.0)
    findings += [*checks.findings, *plates_of(parts, settings).findings]
    report(1.0, "done")
    shelf.sort_out()
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


def _finished(made: Part, settings: Settings) -> tuple[tuple[Part, ...], tuple[Finding, ...]]:
    """Turn a part as the maker asks and see that it is one closed solid, or make one of each of its bodies."""
    part, told = oriented(made, settings)
    if not faults(part.solid):
        return (part,), told
    pieces, parted = in_pieces(part, settings)
    for piece in pieces:
        require_printable(piece.solid, f"part {piece.number}")
    return tuple(pieces), (*told, *parted)


def _checked(parts: Sequence[Part], plan: Plan, settings: Settings, report: Progress, shelf: PartShelf) -> CheckReport:
    reports = []
    for place, part in enumerate(parts):
        report(MAKING_SHARE + (1 - MAKING_SHARE) * place / len(parts), f"checking {part.number}")
        reports.append(shelf.call(check_part, part, bare(settings)))
    return gathered([*reports, check_together(parts, plan, settings)])
