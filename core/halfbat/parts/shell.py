"""The shell: the sturdy inner body that the skins are glued to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from halfbat.errors import KitError
from halfbat.parts.marks import Mark
from halfbat.parts.masses import MassStack, PlanRing, SkinBlock, freed
from halfbat.parts.outlines import LEAST_ROOM_MM2, Outline, area_mm2, require_room
from halfbat.parts.placing import Matrix, as_printed, frame
from halfbat.parts.section import Section, cut_off
from halfbat.parts.shell_marks import mark_of, pad_for_number
from halfbat.parts.shell_tips import wall_tips
from halfbat.parts.sturdy import sturdy_rings
from halfbat.settings import Settings
from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.punch import FaceFrame, punch
from halfbat.solids.relief import Relief
from halfbat.solids.solid import Solid

LEDGE_BEHIND_FACE_MM = 0.2
"""Where along a wall a pad may stand in a section, as shares of its length."""
OVERLAP_MM = 0.05
"""How far masses that stand side by side reach into each other, so that they are one body."""
SHORT_MM = 0.01
_LEDGE, _FLOOR, _MARK, _FIRST_WALL = range(4)


@dataclass(frozen=True, slots=True)
class Built:
    """A solid in its print frame, its place, its mark if it has one, and the openings that could not be cut.

    Each of these is given by its wall's place in the list of openings, and its own in that.
    """

    solid: Solid
    place: Matrix
    mark: Mark | None
    closed: tuple[tuple[int, int], ...] = ()

    @property
    def blocked(self) -> int:
        """How many openings could not be cut."""
        return len(self.closed)


@dataclass(frozen=True, slots=True, eq=False)
class ShellOpenings:
    """Openings through one wall of the shell.

    Parameters
    ----------
    frame : FaceFrame
        Of the shell's outer face behind the wall, in the building's frame.
    rings_mm : tuple of ndarray (K, 2)
        Anticlockwise, clear of the ends of the inner face.
    """

    frame: FaceFrame
    rings_mm: tuple[Outline, ...]


def build_shell(
    masses: Sequence[MassStack],
    settings: Settings,
    number: str,
    openings: Sequence[ShellOpenings] = (),
    skins: Sequence[SkinBlock] = (),
    section: Section | None = None,
) -> Built:
    """Build the shell: walls in whole lines, a ledge under the skins, a floor, open above.

    Parameters
    ----------
    masses : sequence of MassStack
        What stands on the ground, side by side.
    settings : Settings
        Shell, skins, marks and filament process.
    number : str
        Engraved on its floor, or on a pad at the foot of a wall where it has no floor.
    openings : sequence of ShellOpenings
        Doors and windows.
    skins : sequence of SkinBlock
        What skins take up.
    section : Section, optional
        Build this section of it only; openings are those of the whole.

    Raises
    ------
    KitError
        The building is too small or too low for its walls; a part of it that is too narrow is made solid.
    """
    shell, gap, layer = settings.shell, settings.skin.glue_gap_mm, settings.filament.part_layer_mm
    wall_mm = shell.wall_lines * settings.filament.line_width_mm
    foot, tops = shell.ledge_height_mm, [mass.shell_top_mm(settings) for mass in masses]
    if min(tops) < foot + 2 * layer:
        raise KitError("the walls are too low for a shell", "building", "choose a larger scale or a thinner lid")
    corners = np.concatenate([mass.corners_mm for mass in masses])
    centre = (corners.min(axis=0) + corners.max(axis=0)) / 2
    roomy = max(masses, key=lambda mass: _room_mm2(mass, settings))
    require_room(
        roomy.rings[0].behind(0.0, gap + wall_mm),
        roomy.corners_mm,
        "the walls of its shell",
        "choose a larger scale or fewer wall lines",
    )
    floor = min(mass.floor_top_mm(settings) for mass in masses)
    body = _body(masses, settings, centre)
    # What lies within the outer sides is floor, or open below; on it stand walls, and within these it is so again.
    part = None if section is None else section.moved(-centre)
    padded = None if shell.floor or not settings.mark.make else pad_for_number(masses, gap, wall_mm, section)
    pad = None if padded is None else padded[1] - centre
    below, within = (
        [[ring - centre for ring in rings] for rings in sets]
        for sets in (
            [_ground(mass, gap + wall_mm / 2) for mass in masses],
            [mass.behind(-OVERLAP_MM, gap + wall_mm) for mass in masses],
        )
    )
    base = masses[0].base_mm
    free = [replace(skin, ring_mm=skin.ring_mm - centre) for skin in skins]
    ground, inside = (
        [Layer.union(freed(rings, free, base, base + floor - foot), _FLOOR) for rings in sets]
        for sets in (below, within)
    )
    hole, bore = ([] if shell.floor else _hole(sets, pad, part) for sets in (below, within))
    walls = [Layer.union(rings, _FIRST_WALL + k) for k, rings in enumerate(_walls(masses, free, settings, centre))]
    tips, gone = _tips(masses, free, settings, centre, within)
    added = [] if part is None else part.splices
    spliced = [Layer.patches([ring], _FIRST_WALL + len(masses) + k) for k, (ring, _) in enumerate(added)]
    foot_mm = masses[0].base_mm - foot
    mark = None
    if settings.mark.make and (shell.floor or padded is not None):
        mark = mark_of(number, masses if padded is None else padded[0], settings, floor, pad, centre, part)
    engraved = [Layer.patches(mark.rings_mm, _MARK)] if mark else []
    depth = mark.depth_mm if mark else 0.0
    front = Relief.flat(
        Figure((*body, *ground, *hole, *walls, *inside, *bore, *tips, *engraved, *spliced, *cut_off(part))),
        [foot, floor, floor - depth, *tops, *(top - foot_mm for _, top in added)],
    )
    under = [] if shell.floor else [*hole, *walls, *bore, *gone, *spliced]
    back = Relief.flat(Figure((*body, *under, *cut_off(part))), [0.0] * (_FIRST_WALL + len(masses) + len(added)))
    where = frame((1, 0, 0), (0, 1, 0), (0, 0, 1), (*centre, foot_mm))
    solid, place = as_printed(plate(front, back), where)
    closed = []
    for place_of_wall, wall in enumerate(openings):
        for place_of_ring, ring in enumerate(wall.rings_mm):
            if section is not None and not section.holds(_middle(wall.frame, ring, wall_mm)):
                continue
            try:
                solid = punch(solid, _in_print_frame(wall.frame, place), wall_mm, [ring])
            except ValueError:
                # Another part of the shell stands behind: the opening keeps its back.
                closed.append((place_of_wall, place_of_ring))
    return Built(solid, place, mark, tuple(closed))


def _middle(face: FaceFrame, ring: Outline, wall_mm: float) -> Outline:
    """Middle of an opening in plan."""
    across = (float(ring[:, 0].min()) + float(ring[:, 0].max())) / 2
    place = face.origin + face.along * across - face.outward * (wall_mm / 2)
    return np.asarray(place[:2], dtype=np.float64)


def solid_masses(masses: Sequence[MassStack], settings: Settings) -> list[MassStack]:
    """Return the masses too narrow for a hollow between their walls, which the shell fills."""
    return [mass for mass in masses if _room_mm2(mass, settings) < LEAST_ROOM_MM2]


def _room_mm2(mass: MassStack, settings: Settings) -> float:
    wall_mm = settings.shell.wall_lines * settings.filament.line_width_mm
    return area_mm2(mass.rings[0].behind(0.0, settings.skin.glue_gap_mm + wall_mm))


def _in_print_frame(face: FaceFrame, place: Matrix) -> FaceFrame:
    return FaceFrame(face.origin - place[:3, 3], face.along, face.up, face.outward)


def _hole(sets: Sequence[list[Outline]], pad: Outline | None, section: Section | None) -> list[Layer]:
    """What is open below, but for a pad, and for strips along the cuts of sections, which tie their walls."""
    padded = [] if pad is None else [pad[::-1]]
    if section is not None:
        strips = [*padded, *(ring[::-1] for ring in section.ribs)]
        return [Layer.union([*rings, *strips], OUTSIDE) for rings in sets]
    first, *others = sets
    return [Layer.union(rings, OUTSIDE) for rings in ([*first, *padded], *others)]


def _body(masses: Sequence[MassStack], settings: Settings, centre: Outline) -> list[Layer]:
    """The outline at the foot."""
    return [Layer.union([ring - centre for ring in ledge_rings(masses, settings)], _LEDGE)]


def ledge_rings(masses: Sequence[MassStack], settings: Settings) -> list[Outline]:
    """Outlines at the foot, of all masses: the ledge under the skins along outer sides.

    Parameters
    ----------
    masses : sequence of MassStack
        What stands on the ground.
    settings : Settings
        Shell and skins.
    """
    shell, gap = settings.shell, settings.skin.glue_gap_mm

    def ledge(ring: PlanRing) -> Outline:
        stand = ring.skin_mm + gap
        reach = np.clip(stand - LEDGE_BEHIND_FACE_MM, 0.0, shell.ledge_depth_mm if shell.ledge_height_mm > 0 else 0.0)
        distance = np.where(ring.outer, stand - reach, -OVERLAP_MM)
        return ring.moved(distance, shell.corner_chamfer_mm, settings.filament.min_wall_mm)

    return [ledge(ring) for mass in masses for ring in mass.rings]


def _ground(mass: MassStack, behind_mm: float) -> list[Outline]:
    """A mass's rings under its walls along outer sides, and at the sides themselves elsewhere."""
    return [ring.moved(np.where(ring.outer, ring.skin_mm + behind_mm, -OVERLAP_MM)) for ring in mass.rings]


def _walls(
    masses: Sequence[MassStack],
    skins: Sequence[SkinBlock],
    settings: Settings,
    centre: Outline,
    open_mm: float = SHORT_MM,
) -> list[list[Outline]]:
    """What lies within the outer faces of each mass's walls, and how far behind its sides without a wall."""
    gap, chamfer = settings.skin.glue_gap_mm, settings.shell.corner_chamfer_mm
    found = []
    for mass in masses:
        # Not beyond the mass itself: above a lower mass its roof is there.
        least = settings.filament.min_wall_mm
        moved = [ring.behind(open_mm, gap, chamfer, least) - centre for ring in mass.rings]
        # Tips stay: they may lie against another mass.
        rings = sturdy_rings(moved, least, tips=False)
        top = mass.base_mm - settings.shell.ledge_height_mm + mass.shell_top_mm(settings)
        found.append(freed(rings, skins, mass.base_mm, top))
    return found


def _tips(
    masses: Sequence[MassStack],
    skins: Sequence[SkinBlock],
    settings: Settings,
    centre: Outline,
    within: Sequence[list[Outline]],
) -> tuple[list[Layer], list[Layer]]:
    """Take the sharp tips off walls: layers over the front, and those over the back where the shell has no floor."""
    walls = _walls(masses, skins, settings, centre, -OVERLAP_MM)
    tops = [mass.shell_top_mm(settings) for mass in masses]
    layers, gone = [], []
    for below, tips in wall_tips(walls, within, tops, settings.filament.min_wall_mm):
        if below is not None:
            layers.append(Layer.patches(tips, _FIRST_WALL + below))
        elif settings.shell.floor:
            layers.append(Layer.patches(tips, _FLOOR))
        else:
            gone.append(Layer.patches(tips, OUTSIDE))
    return [*layers, *gone], gone
