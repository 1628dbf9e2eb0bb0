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
from halfbat.parts.chimney_sites import ChimneySite, chimney_sites
from halfbat.parts.chimneys import FIT_MM, Chimney, abutment_lead, lead_ring, settle_chimney
from halfbat.parts.corners import Fits
from halfbat.parts.flashings import with_flashings
from halfbat.parts.flat_boards import flat_boards
from halfbat.parts.gutters import Gutter, gutters_of
from halfbat.parts.light_plan import settled_lights, with_lights
from halfbat.parts.masses import MassStack, SkinBlock
from halfbat.parts.overhung_edges import roof_edges
from halfbat.parts.roof_boards import Board, boards_of
from halfbat.parts.roof_edges import Surroundings
from halfbat.parts.roof_light_sites import RoofLight, Shaft, shaft_of
from halfbat.parts.roof_skins import RoofFace, laid, roof_courses, roof_face, tile_counts
from halfbat.parts.roofs import eaves_m, is_pitched, lids_over_walls_mm, mass_stacks, masses_left_out, wall_outlines_mm
from halfbat.parts.skins import Facing
from halfbat.parts.standing import Standing, standing
from halfbat.parts.under_roofs import under_roofs
from halfbat.parts.walls import WallPlan, base_thickness_mm, plan_walls
from halfbat.settings import Settings
from halfbat.surfaces import Coursing
from halfbat.surfaces.joints import Joints, part_steps_mm, snapped_joints
from halfbat.surfaces.roofing.courses import Courses
from halfbat.units import Scale

Array = NDArray[np.float64]
LARGEST_MODEL_MM = 1000.0
POCKET_MM = 0.02
BLOCK_SHORT_MM = 0.01
"""The shell's own faces stand a hair behind what is kept free for skins, so that the two do not shave each other."""


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
    boards : tuple of Board
        Fascia and barge boards.
    chimneys : tuple of Chimney
        On pitched roofs.
    lights : tuple of RoofLight
        Roof lights.
    light_masses : tuple of int
        The mass that carries each.
    gutters : tuple of Gutter
        Along eaves, before their outlets are settled.
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
    boards: tuple[Board, ...] = ()
    chimneys: tuple[Chimney, ...] = ()
    lights: tuple[RoofLight, ...] = ()
    light_masses: tuple[int, ...] = ()
    gutters: tuple[Gutter, ...] = ()

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
        return [_block(plan.facing, gap_mm - BLOCK_SHORT_MM) for plan in self.walls]

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


def standing_of(plan: WallPlan) -> list[Standing]:
    """The skin of a wall as convex blocks, its corners taken as square."""
    facing = plan.facing
    outline, index = facing.face.outline_mm, plan.wall.index
    return standing(outline, facing.foot_mm, facing.along, facing.outward, facing.depth_mm, index)


def _block(facing: Facing, grown_mm: float) -> SkinBlock:
    length = float(facing.face.outline_mm[:, 0].max()) + facing.right.face_mm
    low, high = facing.left.outermost_mm - grown_mm, length - facing.right.outermost_mm + grown_mm
    along, inward, foot = facing.along, -facing.outward, facing.foot_mm
    behind = facing.depth_mm + grown_mm
    # In front of it too, where it rises out of a roof of the same mass.
    corners = [(low, -grown_mm), (low, behind), (high, behind), (high, -grown_mm)]
    levels = facing.face.outline_mm[:, 1] + foot[2]
    ring = np.array([foot[:2] + along * u + inward * d for u, d in corners])
    return SkinBlock(ring, float(levels.min()), float(levels.max()))


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
    around = Surroundings([block for plan in walls.walls for block in standing_of(plan)], slopes)
    roofs = tuple(
        roof_face(
            slope,
            base_mm,
            relief_mm,
            courses[slope.index],
            fits,
            scale,
            skins,
            around,
            roof_edges(structure, slope, roof_mm, relief_mm, settings, scale),
            settings.resin.min_wall_mm,
        )
        for slope in slopes
    )
    _, told = tile_counts(list(roofs), settings)
    findings = (*walls.findings, *told, *_bare(structure, walls.walls))
    sites, made = chimney_sites(structure, slopes, settings, scale)
    settled = [_settled(site, structure, masses, roof_mm, settings, scale) for site in sites[len(made) :]]
    of_mesh = [_held(site, structure, masses, roof_mm, settings, scale) for site in sites[: len(made)]]
    chimneys = (*(chimney for chimney in of_mesh if chimney is not None), *settled)
    findings += _left_out(structure, len(chimneys) - len(settled))
    roofs = tuple(_with_chimneys(face, chimneys) for face in roofs)
    lights, carried = settled_lights(measured, structure, roofs, masses, settings, scale)
    roofs = tuple(with_lights(face, lights, settings) for face in roofs)
    overhead = tuple(mass_stacks(structure, walls.skins_mm, roof_mm, settings, scale))
    facings = {plan.wall.index: plan.facing for plan in walls.walls}
    boards = [board for face in roofs for board in boards_of(face, structure, facings, settings)]
    standing = [mass for mass in structure.masses if not mass.on_roof]
    for mass, stack in zip(standing, masses, strict=True):
        boards += flat_boards(stack, mass.slopes[0], settings, scale)
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
        tuple(boards),
        chimneys,
        lights,
        carried,
        tuple(gutters_of(boards, structure, settings, scale)),
    )


def _settled(
    site: ChimneySite,
    structure: Structure,
    masses: Sequence[MassStack],
    roof_mm: float,
    settings: Settings,
    scale: Scale,
) -> Chimney:
    under = [mass for mass in masses if inside_rings([mass.corners_mm], site.middle[None])[0]] or list(masses)
    seat = under[0].base_mm - settings.shell.ledge_height_mm + under[0].shell_top_mm(settings)
    return settle_chimney(site, [structure.slopes[index] for index in site.slopes], roof_mm, seat, scale)


def _held(
    site: ChimneySite,
    structure: Structure,
    masses: Sequence[MassStack],
    roof_mm: float,
    settings: Settings,
    scale: Scale,
) -> Chimney | None:
    """A chimney of the mesh; None where the roof is too low to hold it, so that it is left out."""
    try:
        return _settled(site, structure, masses, roof_mm, settings, scale)
    except KitError:
        return None


def _with_chimneys(face: RoofFace, chimneys: Sequence[Chimney]) -> RoofFace:
    """Cut the holes of chimneys into a roof skin, and lay the lead round them and along walls."""
    own = [chimney for chimney in chimneys if face.slope.index in chimney.site.slopes]
    holes = tuple(chimney.hole(face.slope, face.scale) for chimney in own)
    lead = [*abutment_lead(face.slope, face.scale), *(lead_ring(hole, face.scale) for hole in holes)]
    return replace(face, holes_mm=holes, lead_mm=tuple(lead))


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


def _left_out(structure: Structure, chimneys: int) -> tuple[Finding, ...]:
    left = len(masses_left_out(structure)) - chimneys
    if not left:
        return ()
    text = f"{left} dormers or other things that stand on the roof are left out"
    return (Finding(Severity.WARNING, "left-out", "", text, "make them as a building of their own"),)
