"""Everything about a kit that is settled before its parts are built."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import Structure
from halfbat.errors import KitError
from halfbat.findings import Finding, Severity
from halfbat.parts.corners import Fits
from halfbat.parts.masses import MassStack
from halfbat.parts.roof_skins import RoofFace, roof_face
from halfbat.parts.roofs import eaves_m, is_pitched, mass_stacks, masses_left_out, wall_outlines_mm
from halfbat.parts.walls import Plan, plan_walls
from halfbat.settings import Settings
from halfbat.surfaces.joints import part_steps_mm
from halfbat.units import Scale

Array = NDArray[np.float64]
ROOF_BASE_MM = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class KitPlan:
    """A kit, settled.

    Parameters
    ----------
    structure : Structure
        What it is made from, metres.
    walls : Plan
        Bricks, seams, thicknesses and corners.
    masses : tuple of MassStack
        What stands on the ground, for the shell, lids and formers.
    roofs : tuple of RoofFace
        Pitched slopes.
    findings : tuple of Finding
        What there is to tell.
    """

    structure: Structure
    walls: Plan
    masses: tuple[MassStack, ...]
    roofs: tuple[RoofFace, ...]
    findings: tuple[Finding, ...]


def plan_kit(structure: Structure, settings: Settings, scale: Scale) -> KitPlan:
    """Settle a kit.

    Parameters
    ----------
    structure : Structure
        Walls, slopes and masses, metres.
    settings : Settings
        What the maker chose, snapped to the printers.
    scale : Scale
        How small.

    Raises
    ------
    KitError
        Something cannot be made; the sentence says what, where and what to do.
    """
    layer = part_steps_mm(settings.resin)[2]
    roof_mm = round(ROOF_BASE_MM / layer) * layer
    outlines = wall_outlines_mm(structure, roof_mm, scale)
    walls = plan_walls(structure, outlines, eaves_m(structure), settings, scale)
    masses = mass_stacks(structure, walls.skins_mm, roof_mm, scale)
    if not masses:
        raise KitError("nothing of the building stands on the ground", "building", "check the mesh")
    fits = Fits(settings.skin.corner_land_mm, settings.skin.corner_gap_mm, settings.skin.back_relief_mm)
    on_roof = {index for mass in masses_left_out(structure) for index in mass.slopes}
    roofs = tuple(
        roof_face(slope, roof_mm, fits, scale)
        for slope in structure.slopes
        if is_pitched(slope) and slope.index not in on_roof
    )
    findings = (*walls.findings, *_left_out(structure), *_bare(structure, outlines))
    return KitPlan(structure, walls, tuple(masses), roofs, findings)


def _bare(structure: Structure, outlines: dict[int, Array]) -> tuple[Finding, ...]:
    letters = [wall.letter for wall in structure.walls if wall.index not in outlines]
    if not letters:
        return ()
    text = f"too small for a skin at this scale and left bare: walls {', '.join(letters)}"
    return (Finding(Severity.WARNING, "wall-bare", "", text, "paint the shell there, or choose a larger scale"),)


def _left_out(structure: Structure) -> tuple[Finding, ...]:
    left = masses_left_out(structure)
    if not left:
        return ()
    text = f"{len(left)} dormers or chimneys that stand on the roof are left out"
    return (Finding(Severity.WARNING, "left-out", "", text, "make them as a building of their own"),)
