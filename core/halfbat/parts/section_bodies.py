"""What is cut into sections: the shell, lids and roof formers, with all that their cuts keep clear of."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from halfbat.parts.former import LEAST_LIP_MM2, caps_keys, former_height_mm
from halfbat.parts.lid import has_lip, lid_bore, lid_edges, lid_top_mm
from halfbat.parts.lip import bumps_on, notches_in
from halfbat.parts.masses import MassStack, SkinBlock, freed
from halfbat.parts.outlines import Outline, area_mm2, set_back
from halfbat.parts.roof_light_sites import Shaft
from halfbat.parts.section_joints import STRIP_MM, JointRules
from halfbat.parts.section_stretches import OUTER, ROOM, WALL
from halfbat.parts.sections import SectionBody
from halfbat.parts.shell import OVERLAP_MM, SHORT_MM, ShellOpenings, ledge_rings
from halfbat.parts.walls import WallPlan
from halfbat.settings import Settings

Array = NDArray[np.float64]
RIB_LINES = 3
LEAST_SPLICE_MM = 4.0
"""Over the floor; a lower splice holds nothing."""


def shell_body(
    masses: Sequence[MassStack],
    settings: Settings,
    openings: Sequence[ShellOpenings],
    skins: Sequence[SkinBlock],
    walls: Sequence[WallPlan],
) -> SectionBody:
    """Return the shell as a body to be cut.

    Parameters
    ----------
    masses : sequence of MassStack
        What stands on the ground.
    settings : Settings
        Shell, lid and filament process.
    openings : sequence of ShellOpenings
        Doors and windows.
    skins : sequence of SkinBlock
        What skins take up.
    walls : sequence of WallPlan
        Whose seams cuts keep off.
    """
    gap, line = settings.skin.glue_gap_mm, settings.filament.line_width_mm
    wall_mm = settings.shell.wall_lines * line
    layers: list[tuple[tuple[Outline, ...], int]] = [(tuple(ledge_rings(masses, settings)), OUTER)]
    for k, mass in enumerate(masses):
        layers.append((tuple(mass.behind(-OVERLAP_MM, gap + wall_mm / 2)), ROOM + 2 * k))
    for k, mass in enumerate(masses):
        rings = [
            ring.behind(SHORT_MM, gap, settings.shell.corner_chamfer_mm, settings.filament.min_wall_mm)
            for ring in mass.rings
        ]
        top = mass.base_mm - settings.shell.ledge_height_mm + mass.shell_top_mm(settings)
        layers.append((tuple(freed(rings, skins, mass.base_mm, top)), WALL + 2 * k))
    for k, mass in enumerate(masses):
        layers.append((tuple(mass.behind(-OVERLAP_MM, gap + wall_mm)), ROOM + 2 * k))
    closed = [_in_plan(wall, ring, wall_mm) for wall in openings for ring in wall.rings_mm]
    height = max(mass.shell_top_mm(settings) for mass in masses)
    tops = tuple(_splice_top_mm(mass, settings) for mass in masses)
    rules = JointRules(settings.filament.fit_mm, line, tops, 0.0 if settings.shell.floor else STRIP_MM)
    return SectionBody(tuple(layers), height, tuple(closed), tuple(seams_in_plan(walls)), rules)


def _splice_top_mm(mass: MassStack, settings: Settings) -> float:
    """Up to which height splices reach: under the lip of what lies on the shell. Minus infinity where it is too low."""
    foot, layer = mass.base_mm - settings.shell.ledge_height_mm, settings.filament.part_layer_mm
    top = mass.shell_top_mm(settings)
    if mass.slopes or settings.lid.make:
        top -= settings.lid.lip_depth_mm + 2 * layer
    if top < mass.floor_top_mm(settings) + LEAST_SPLICE_MM:
        return -np.inf
    return float(foot + np.floor(top / layer + 1e-6) * layer)


def _in_plan(wall: ShellOpenings, ring: Outline, wall_mm: float) -> Outline:
    """An opening through a wall of the shell, seen from above."""
    face = wall.frame
    low, high = float(ring[:, 0].min()), float(ring[:, 0].max())
    corners = [(low, 0.0), (high, 0.0), (high, wall_mm), (low, wall_mm)]
    return np.array([(face.origin + face.along * u - face.outward * d)[:2] for u, d in corners])


def seams_in_plan(walls: Sequence[WallPlan]) -> list[Outline]:
    """Where walls' skins are parted, from the leftmost to the rightmost place of each seam."""
    found = []
    for wall in walls:
        facing = wall.facing
        for cut in wall.seams.cuts:
            ends = np.array([[cut.low_mm], [cut.high_mm]])
            found.append(np.asarray(facing.foot_mm[:2] + ends * facing.along[:2], dtype=np.float64))
    return found


def lid_body(
    mass: MassStack,
    settings: Settings,
    shafts: Sequence[Shaft],
    skins: Sequence[SkinBlock],
    beside: Sequence[Outline],
) -> SectionBody:
    """Return a lid as a body to be cut.

    Parameters
    ----------
    mass : MassStack
        What it covers.
    settings : Settings
        Lid, shell and filament process.
    shafts : sequence of Shaft
        Openings under roof lights.
    skins : sequence of SkinBlock
        What the skins of walls take up.
    beside : sequence of ndarray (K, 2)
        What its cuts keep off, such as those of the shell.
    """
    filament = settings.filament
    fit, gap = filament.fit_mm, settings.skin.glue_gap_mm
    wall_mm = settings.shell.wall_lines * filament.line_width_mm
    edge = mass.behind(fit, min(fit, gap + wall_mm / 2))
    if mass.overhang_mm:
        edge = lid_edges(mass, settings)
    lip = mass.behind(fit, gap + wall_mm + fit)
    low = mass.base_mm - settings.shell.ledge_height_mm + mass.shell_top_mm(settings) - settings.lid.lip_depth_mm
    edge = freed(
        edge, skins, low + (settings.lid.lip_depth_mm if mass.overhang_mm else 0.0), lid_top_mm(mass, settings)
    )
    lipped = has_lip(mass, settings)
    layers: tuple[tuple[tuple[Outline, ...], int], ...] = ((tuple(edge), OUTER),)
    if lipped:
        layers += ((tuple(lip), WALL), (tuple(lid_bore(mass, settings)), ROOM))
    rules = JointRules(fit, filament.line_width_mm, band_mm=RIB_LINES * filament.line_width_mm)
    closed = tuple(shaft.ring_mm for shaft in shafts)
    aside = list(beside)
    if lipped:
        aside += held_at(lip[0], mass.behind(fit, fit)[0], lid_bore(mass, settings)[0], fit)
    return SectionBody(layers, lid_top_mm(mass, settings) - low, closed, tuple(aside), rules)


def former_body(
    mass: MassStack,
    settings: Settings,
    pockets: Sequence[Outline],
    shafts: Sequence[Shaft],
    skins: Sequence[SkinBlock],
    beside: Sequence[Outline],
) -> SectionBody:
    """Return a roof former as a body to be cut.

    Parameters
    ----------
    mass : MassStack
        What it covers.
    settings : Settings
        Lid, shell and filament process.
    pockets : sequence of ndarray (K, 2)
        Where chimneys stand in its top.
    shafts : sequence of Shaft
        Openings under roof lights.
    skins : sequence of SkinBlock
        What the skins of walls take up.
    beside : sequence of ndarray (K, 2)
        What its cuts keep off, such as those of the shell and of roof skins.
    """
    filament = settings.filament
    fit, line = filament.fit_mm, filament.line_width_mm
    wall = settings.skin.glue_gap_mm + settings.shell.wall_lines * line + fit
    lip_mm = settings.lid.lip_thickness_mm
    edge, lip, bore = (mass.behind(*by) for by in ((fit, fit), (fit, wall), (fit + lip_mm, wall + lip_mm)))
    height = former_height_mm(mass, settings)
    low = mass.base_mm - settings.shell.ledge_height_mm + mass.shell_top_mm(settings) - settings.lid.lip_depth_mm
    edge = freed(edge, skins, low, low + height)
    lipped = area_mm2(*lip) > LEAST_LIP_MM2
    layers: tuple[tuple[tuple[Outline, ...], int], ...] = ((tuple(edge), OUTER),)
    if lipped:
        layers += ((tuple(lip), WALL), (tuple(bore), ROOM))
    closed = (*pockets, *(set_back(shaft.ring_mm, -RIB_LINES * line) for shaft in shafts))
    aside = [*beside, *(held_at(lip[0], edge[0], bore[0], fit) if lipped else ())]
    rules = JointRules(fit, line, band_mm=RIB_LINES * line, capped=caps_keys(settings))
    return SectionBody(layers, height, closed, tuple(aside), rules)


def held_at(lip: Outline, edge: Outline, bore: Outline, fit_mm: float) -> list[Outline]:
    """Bumps on a lip and gaps in it, which cuts keep off."""
    return [*bumps_on(lip, edge, fit_mm), *notches_in(lip, bore)]
