"""Everything about a kit that is settled before its parts are built."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from halfbat.building.overhangs import Overhang, with_overhangs
from halfbat.building.rings import inside_rings
from halfbat.building.structure import Slope, Structure
from halfbat.errors import KitError
from halfbat.findings import Finding, Severity
from halfbat.parts.bases import base_thickness_mm
from halfbat.parts.chimneys import FIT_MM, Chimney
from halfbat.parts.chimneys_on_roofs import chimneys_on, with_chimneys
from halfbat.parts.corners import Fits
from halfbat.parts.flashings import with_flashings
from halfbat.parts.gutters import Gutter
from halfbat.parts.light_plan import settled_lights, with_lights
from halfbat.parts.masses import MassStack, SkinBlock
from halfbat.parts.overhung_edges import roof_edges
from halfbat.parts.ridge_tiles import Ridge
from halfbat.parts.roof_boards import Board
from halfbat.parts.roof_edges import Surroundings
from halfbat.parts.roof_light_sites import RoofLight, Shaft, shaft_of
from halfbat.parts.roof_skins import RoofFace, laid, roof_courses, roof_face, tile_counts
from halfbat.parts.roof_trim import NO_TRIM, RoofTrim, roof_trim
from halfbat.parts.roofs import eaves_m, is_pitched, lids_over_walls_mm, mass_stacks, masses_left_out, wall_outlines_mm
from halfbat.parts.skin_blocks import BLOCK_SHORT_MM, skin_block, standing_of
from halfbat.parts.standing import Standing
from halfbat.parts.under_roofs import under_roofs
from halfbat.parts.walls import WallPlan, plan_walls
from halfbat.settings import Settings
from halfbat.surfaces import Coursing
from halfbat.surfaces.joints import Joints, part_steps_mm, snapped_joints
from halfbat.surfaces.roofing.courses import Courses
from halfbat.units import Scale

Array = NDArray[np.float64]
LARGEST_MODEL_MM = 1000.0
POCKET_MM = 0.02


@dataclass(frozen=True, slots=True, eq=False)
class Plan:
    """A kit, settled.

    Parameters
    ----------
    structure : Structure
        What it is made from, metres.
    walls : tuple of WallPlan
        Bricks, seams, thicknesses and corners of the walls that get skins.
    masses : tuple of MassStack
        What stands on the ground, for the shell, lids and formers.
    roofs : tuple of RoofFace
        Pitched slopes.
    coursing : Coursing
        Courses of the building.
    joints : Joints
        Joints of the building.
    scale : Scale
        How small.
    findings : tuple of Finding
        What there is to tell.
    overhead : tuple of MassStack
        The masses with their roofs as far as these reach beyond the walls.
    chimneys : tuple of Chimney
        On pitched roofs.
    lights : tuple of RoofLight
        Roof lights.
    light_masses : tuple of int
        The mass that carries each.
    trim : RoofTrim
        Boards, gutters and runs of tiles along the edges of roofs.
    """

    structure: Structure
    walls: tuple[WallPlan, ...]
    masses: tuple[MassStack, ...]
    roofs: tuple[RoofFace, ...]
    coursing: Coursing
    joints: Joints
    scale: Scale
    findings: tuple[Finding, ...]
    overhead: tuple[MassStack, ...] = ()
    chimneys: tuple[Chimney, ...] = ()
    lights: tuple[RoofLight, ...] = ()
    light_masses: tuple[int, ...] = ()
    trim: RoofTrim = NO_TRIM

    @property
    def boards(self) -> tuple[Board, ...]:
        """Fascia and barge boards."""
        return self.trim.boards

    @property
    def gutters(self) -> tuple[Gutter, ...]:
        """Gutters along eaves, before their outlets are settled."""
        return self.trim.gutters

    @property
    def ridges(self) -> tuple[Ridge, ...]:
        """Ridges and hips that get tiles."""
        return self.trim.ridges

    def pockets(self, mass: MassStack) -> list[tuple[Array, float]]:
        """What chimneys ask for in the former of a mass: outlines in plan, and heights."""
        over = [one for one in self.chimneys if inside_rings([mass.corners_mm], one.site.middle[None])[0]]
        return [(one.site.ring(FIT_MM), one.foot_mm - POCKET_MM) for one in over]

    def shafts(self, mass: MassStack) -> list[Shaft]:
        """Openings that roof lights ask for in the former or lid of a mass."""
        own = [light for light, index in zip(self.lights, self.light_masses, strict=True) if self.masses[index] is mass]
        found = [shaft_of(light, self.roof_mm(light), self.scale) for light in own]
        return [shaft for shaft in found if shaft is not None]

    def roof_mm(self, light: RoofLight) -> float:
        """Thickness of the skin that a roof light stands in; 0 on a lid."""
        return 0.0 if light.flat else self.roofs[0].depth_mm

    @property
    def skins_mm(self) -> dict[int, float]:
        """Whole thickness of the skin of each wall."""
        return {plan.wall.index: plan.facing.depth_mm for plan in self.walls}

    def blocks(self, gap_mm: float) -> list[SkinBlock]:
        """What the skins of the walls take up, the glue behind them included."""
        return [skin_block(plan.facing, gap_mm - BLOCK_SHORT_MM) for plan in self.walls]

    @property
    def standing(self) -> list[Standing]:
        """The skins of all walls as convex blocks."""
        return [block for plan in self.walls for block in standing_of(plan)]

    @property
    def corners_mm(self) -> Array:
        """Corners of all masses in plan, shape (N, 2), in the building's frame."""
        return np.concatenate([mass.corners_mm for mass in self.masses])

    @property
    def base_mm(self) -> float:
        """Foot of the walls in the building's frame."""
        return self.masses[0].base_mm

    @property
    def height_mm(self) -> float:
        """Height of the building above the foot of its walls."""
        slopes = [slope.place(slope.outline_m)[:, 2].max() for slope in self.structure.slopes]
        tops = [wall.facing.face.outline_mm[:, 1].max() for wall in self.walls]
        top = (max(slopes) - self.structure.base_m) * self.scale.mm_per_m if slopes else 0.0
        return float(max([top, *tops]))


def plan_kit(structure: Structure, settings: Settings, scale: Scale) -> Plan:
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
    _require_size(structure, scale)
    measured = structure
    on_roof = {index for mass in masses_left_out(structure) for index in mass.slopes}
    slopes = [slope for slope in structure.slopes if is_pitched(slope) and slope.index not in on_roof]
    courses = {slope.index: roof_courses(slope, settings, scale) for slope in slopes}
    base_mm, relief_mm = _roof_thickness_mm(slopes, courses, settings, scale)
    roof_mm = base_mm + relief_mm
    structure = with_overhangs(structure, _overhang(slopes, roof_mm, settings, scale))
    slopes = [structure.slopes[slope.index] for slope in slopes]
    courses = {slope.index: roof_courses(slope, settings, scale) for slope in slopes}
    thickest = _thickest_mm(structure, settings, scale)
    lids = lids_over_walls_mm(structure, settings, scale)
    outlines = wall_outlines_mm(structure, roof_mm, thickest, scale, lids)
    outlines = under_roofs(structure, outlines, thickest, slopes, roof_mm, scale)
    walls = plan_walls(structure, outlines, eaves_m(measured), settings, scale)
    walls = replace(walls, walls=with_flashings(walls.walls, measured.slopes, settings, scale))
    masses = mass_stacks(measured, walls.skins_mm, roof_mm, settings, scale)
    if not masses:
        raise KitError("nothing of the building stands on the ground", "building", "check the mesh")
    fits = Fits(settings.skin.corner_land_mm, settings.skin.corner_gap_mm, settings.skin.back_relief_mm)
    skins = {plan.wall.index: (plan.wall.outward, plan.facing.depth_mm) for plan in walls.walls}
    stands = [block for plan in walls.walls for block in standing_of(plan)]
    around = Surroundings(stands, slopes)
    edges = {slope.index: roof_edges(structure, slope, roof_mm, relief_mm, settings, scale) for slope in slopes}
    least_mm = settings.resin.min_wall_mm
    roofs = tuple(
        roof_face(
            slope, base_mm, relief_mm, courses[slope.index], fits, scale, skins, around, edges[slope.index], least_mm
        )
        for slope in slopes
    )
    _, told = tile_counts(list(roofs), settings)
    findings = (*walls.findings, *told, *_bare(structure, walls.walls))
    chimneys, left = chimneys_on(structure, slopes, masses, roof_mm, settings, scale)
    findings += _left_out(left)
    roofs = tuple(with_chimneys(face, chimneys) for face in roofs)
    lights, carried = settled_lights(measured, structure, roofs, masses, settings, scale)
    roofs = tuple(with_lights(face, lights, settings) for face in roofs)
    overhead = tuple(mass_stacks(structure, walls.skins_mm, roof_mm, settings, scale))
    facings = {plan.wall.index: plan.facing for plan in walls.walls}
    trim = roof_trim(roofs, structure, masses, facings, chimneys, stands, settings, scale)
    return Plan(
        structure,
        walls.walls,
        tuple(masses),
        roofs,
        walls.coursing,
        walls.joints,
        scale,
        findings,
        overhead,
        chimneys,
        lights,
        carried,
        trim,
    )


def _overhang(slopes: Sequence[Slope], roof_mm: float, settings: Settings, scale: Scale) -> Overhang:
    steepest = max((slope.pitch_deg for slope in slopes), default=0.0)
    plumb_m = roof_mm / np.cos(np.radians(min(steepest, 80.0))) / scale.mm_per_m
    roof = settings.roof
    deep_m = float(plumb_m) + roof.board_height_mm / 1000
    return Overhang(roof.eaves_overhang_mm / 1000, roof.verge_overhang_mm / 1000, deep_m)


def _require_size(structure: Structure, scale: Scale) -> None:
    plans = np.concatenate([mass.plan_m for mass in structure.masses])
    tops = [float(wall.outline_m[:, 1].max()) for wall in structure.walls]
    largest_mm = scale.to_mm(max(float(np.ptp(plans, axis=0).max()), *tops))
    if largest_mm > LARGEST_MODEL_MM:
        raise KitError(
            f"at {scale.name} the building measures {largest_mm / 1000:.1f} m, more than the metre a kit may",
            "kit.scale",
            "choose a smaller scale, or check the unit of the mesh",
        )


def _roof_thickness_mm(
    slopes: Sequence[Slope], courses: dict[int, Courses | None], settings: Settings, scale: Scale
) -> tuple[float, float]:
    """Thickness of roof skins under their tiles, and the height of the tiles over it: one for the whole roof."""
    layer = part_steps_mm(settings.resin)[2]
    longest = max((float(np.ptp(slope.outline_m, axis=0).max()) * scale.mm_per_m for slope in slopes), default=0.0)
    longest = min(longest, settings.seam.panel_limit_mm, max(settings.resin.part_room_mm[:2]))
    wanted = settings.roof.skin_thickness_mm or base_thickness_mm(longest, settings)
    base = float(np.ceil(wanted / layer - 1e-6) * layer)
    covered = [laid(slope, courses[slope.index], np.zeros(2), settings, scale) for slope in slopes]
    return base, max((roof.height_mm for roof in covered if roof is not None), default=0.0)


def _thickest_mm(structure: Structure, settings: Settings, scale: Scale) -> dict[int, float]:
    """How thick the skin of each wall may become: seams make panels smaller, and smaller ones are thinner."""
    brick = settings.brick
    joint = snapped_joints(scale, settings.resin, width_mm=brick.joint_width_mm, depth_mm=brick.joint_depth_mm).depth_mm
    return {
        wall.index: joint
        + base_thickness_mm(
            min(scale.to_mm(max(wall.length_m, wall.height_m)), settings.seam.panel_limit_mm), settings, joint
        )
        for wall in structure.walls
    }


def _bare(structure: Structure, walls: Sequence[WallPlan]) -> tuple[Finding, ...]:
    faced = {plan.wall.index for plan in walls}
    letters = [wall.letter for wall in structure.walls if wall.index not in faced]
    if not letters:
        return ()
    text = f"too small for a skin at this scale and left bare: walls {', '.join(letters)}"
    return (Finding(Severity.WARNING, "wall-bare", "", text, "paint the shell there, or choose a larger scale"),)


def _left_out(left: int) -> tuple[Finding, ...]:
    if not left:
        return ()
    text = f"{left} dormers or other things that stand on the roof are left out"
    return (Finding(Severity.WARNING, "left-out", "", text, "make them as a building of their own"),)
