"""The shell: the sturdy inner body that the skins are glued to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from halfbat.errors import KitError
from halfbat.parts.marks import RIM_MM, Mark, Room, fitted_mark
from halfbat.parts.masses import MassStack, PlanRing, SkinBlock, freed
from halfbat.parts.outlines import Outline, require_room
from halfbat.parts.placing import Matrix, as_printed, frame
from halfbat.parts.rooms import largest_room
from halfbat.parts.sturdy import sturdy_rings
from halfbat.settings import Settings
from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.punch import FaceFrame, punch
from halfbat.solids.relief import Relief
from halfbat.solids.solid import Solid

LEDGE_BEHIND_FACE_MM = 0.2
PAD_MM = (16.0, 8.0)
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

    Raises
    ------
    KitError
        The building is too small or too low for its walls.
    """
    shell, gap, layer = settings.shell, settings.skin.glue_gap_mm, settings.filament.part_layer_mm
    wall_mm = shell.wall_lines * settings.filament.line_width_mm
    foot, tops = shell.ledge_height_mm, [mass.shell_top_mm(settings) for mass in masses]
    if min(tops) < foot + 2 * layer:
        raise KitError("the walls are too low for a shell", "building", "choose a larger scale or a thinner lid")
    corners = np.concatenate([mass.corners_mm for mass in masses])
    centre = (corners.min(axis=0) + corners.max(axis=0)) / 2
    for mass in masses:
        require_room(
            mass.rings[0].behind(0.0, gap + wall_mm),
            mass.corners_mm,
            "the walls of its shell",
            "choose a larger scale or fewer wall lines",
        )
    floor = min(mass.floor_top_mm(settings) for mass in masses)
    body = _body(masses, settings, centre)
    # What lies within the outer sides is floor, or open below; on it stand walls, and within these it is so again.
    pad = None if shell.floor or not settings.mark.make else _pad(masses[0], gap, wall_mm) - centre
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
    hole, bore = ([] if shell.floor else _hole(sets, pad) for sets in (below, within))
    walls = _walls(masses, free, settings, centre)
    mark = _mark(number, masses[0], settings, floor, pad, centre) if settings.mark.make else None
    engraved = [Layer.patches(mark.rings_mm, _MARK)] if mark else []
    depth = mark.depth_mm if mark else 0.0
    front = Relief.flat(
        Figure((*body, *ground, *hole, *walls, *inside, *bore, *engraved)),
        [foot, floor, floor - depth, *tops],
    )
    under = [] if shell.floor else [*hole, *walls, *bore]
    back = Relief.flat(Figure((*body, *under)), [0.0] * (_FIRST_WALL + len(masses)))
    where = frame((1, 0, 0), (0, 1, 0), (0, 0, 1), (*centre, masses[0].base_mm - foot))
    solid, place = as_printed(plate(front, back), where)
    closed = []
    for place_of_wall, wall in enumerate(openings):
        for place_of_ring, ring in enumerate(wall.rings_mm):
            try:
                solid = punch(solid, _in_print_frame(wall.frame, place), wall_mm, [ring])
            except ValueError:
                # Another part of the shell stands behind: the opening keeps its back.
                closed.append((place_of_wall, place_of_ring))
    return Built(solid, place, mark, tuple(closed))


def _in_print_frame(face: FaceFrame, place: Matrix) -> FaceFrame:
    return FaceFrame(face.origin - place[:3, 3], face.along, face.up, face.outward)


def _hole(sets: Sequence[list[Outline]], pad: Outline | None) -> list[Layer]:
    """What is open below, but for a pad in the first mass."""
    first, *others = sets
    return [Layer.union(rings, OUTSIDE) for rings in ([*first, *([] if pad is None else [pad[::-1]])], *others)]


def _body(masses: Sequence[MassStack], settings: Settings, centre: Outline) -> list[Layer]:
    """The outline at the foot: the ledge under the skins along outer sides."""
    shell, gap = settings.shell, settings.skin.glue_gap_mm

    def ledge(ring: PlanRing) -> Outline:
        stand = ring.skin_mm + gap
        reach = np.clip(stand - LEDGE_BEHIND_FACE_MM, 0.0, shell.ledge_depth_mm if shell.ledge_height_mm > 0 else 0.0)
        distance = np.where(ring.outer, stand - reach, -OVERLAP_MM)
        return ring.moved(distance, shell.corner_chamfer_mm) - centre

    return [Layer.union([ledge(ring) for mass in masses for ring in mass.rings], _LEDGE)]


def _ground(mass: MassStack, behind_mm: float) -> list[Outline]:
    """A mass's rings under its walls along outer sides, and at the sides themselves elsewhere."""
    return [ring.moved(np.where(ring.outer, ring.skin_mm + behind_mm, -OVERLAP_MM)) for ring in mass.rings]


def _walls(masses: Sequence[MassStack], skins: Sequence[SkinBlock], settings: Settings, centre: Outline) -> list[Layer]:
    """What lies within the outer faces of each mass's walls."""
    gap, chamfer = settings.skin.glue_gap_mm, settings.shell.corner_chamfer_mm
    layers = []
    for number, mass in enumerate(masses):
        # Not beyond the mass itself: above a lower mass its roof is there.
        moved = [ring.behind(SHORT_MM, gap, chamfer) - centre for ring in mass.rings]
        # Tips stay: they may lie against another mass.
        rings = sturdy_rings(moved, settings.filament.min_wall_mm, tips=False)
        top = mass.base_mm - settings.shell.ledge_height_mm + mass.shell_top_mm(settings)
        layers.append(Layer.union(freed(rings, skins, mass.base_mm, top), _FIRST_WALL + number))
    return layers


def _pad(mass: MassStack, gap: float, wall_mm: float) -> Outline:
    """A plate at the foot of the longest wall, reaching under the wall so that the two are one."""
    ring = mass.rings[0]
    steps = np.roll(ring.corners_mm, -1, axis=0) - ring.corners_mm
    lengths = np.linalg.norm(steps, axis=1)
    i = int(np.argmax(lengths * ring.walled))
    along = steps[i] / lengths[i]
    inward = np.array([-along[1], along[0]])
    half = min(PAD_MM[0], lengths[i] * 0.8) / 2
    middle = ring.corners_mm[i] + steps[i] / 2 + inward * (ring.skin_mm[i] + gap + wall_mm)
    corners = [(-half, -wall_mm / 2), (half, -wall_mm / 2), (half, PAD_MM[1]), (-half, PAD_MM[1])]
    return np.array([middle + x * along + y * inward for x, y in corners])


def _mark(
    number: str, mass: MassStack, settings: Settings, floor_mm: float, pad: Outline | None, centre: Outline
) -> Mark | None:
    wall = settings.skin.glue_gap_mm + settings.shell.wall_lines * settings.filament.line_width_mm
    if pad is None:
        free = [ring - centre for ring in mass.behind(0.0, wall)]
        room: Room | None = largest_room(free, margin_mm=RIM_MM)
    else:
        inside = [ring - centre for ring in mass.behind(0.0, wall + RIM_MM)]
        room = largest_room([pad, *inside], margin_mm=RIM_MM / 2, within=2)
    if room is None:
        return None
    height = settings.mark.filament_height_mm
    return fitted_mark(number, room, height, settings.filament, on_plate=False, thickness_mm=floor_mm)
