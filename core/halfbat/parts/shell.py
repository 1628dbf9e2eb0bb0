"""The shell: the sturdy inner body that the skins are glued to."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfbat.errors import KitError
from halfbat.parts.marks import Mark, fitted_mark
from halfbat.parts.outlines import chamfered, require_room, set_back
from halfbat.parts.placing import Matrix, as_printed, frame
from halfbat.parts.rooms import largest_room
from halfbat.settings import Settings
from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.relief import Relief
from halfbat.solids.solid import Solid

Outline = NDArray[np.float64]
MARK_MARGIN_MM = 2.0
LEDGE_BEHIND_FACE_MM = 0.2
PAD_MM = (16.0, 8.0)
PAD_MARGIN_MM = 1.0
_LEDGE, _FLOOR, _WALL, _MARK = range(4)


@dataclass(frozen=True, slots=True)
class Stack:
    """What lies between the finished face and the inside, for each wall in model millimetres.

    Parameters
    ----------
    plan_mm : ndarray (N, 2)
        Corners of the finished faces.
    skin_mm : ndarray (N,)
        Whole thickness of the skin on each wall.
    base_mm, height_mm : float
        Foot of the walls in the building's frame, and their height above it.
    """

    plan_mm: Outline
    skin_mm: NDArray[np.float64]
    base_mm: float
    height_mm: float

    def behind_skin(self, more_mm: float) -> Outline:
        """Outline a distance behind the backs of the skins."""
        return set_back(self.plan_mm, self.skin_mm + more_mm)

    def outside_mm(self, more_mm: NDArray[np.float64] | float, chamfer_mm: float) -> Outline:
        """Outer outline a distance behind the backs of the skins, its corners taken off."""
        outline = set_back(self.plan_mm, self.skin_mm + more_mm)
        return chamfered(outline, chamfer_mm) if len(outline) == len(self.plan_mm) else outline


@dataclass(frozen=True, slots=True)
class Built:
    """A solid in its print frame, its place, and its mark if it has one."""

    solid: Solid
    place: Matrix
    mark: Mark | None


def shell_top_mm(stack: Stack, settings: Settings) -> float:
    """Height of the shell above its own foot: whole layers, leaving room for the lid."""
    lid = settings.lid.thickness_mm if settings.lid.make else 0.0
    layer = settings.filament.part_layer_mm
    return float(np.floor((stack.height_mm - lid + settings.shell.ledge_height_mm) / layer + 1e-6) * layer)


def floor_top_mm(stack: Stack, settings: Settings) -> float:
    """Height of the floor above the foot of the shell."""
    return min(settings.shell.floor_thickness_mm, shell_top_mm(stack, settings) / 2)


def build_shell(stack: Stack, settings: Settings, number: str) -> Built:
    """Build the shell: walls in whole lines, a ledge under the skins, a floor, open above.

    Parameters
    ----------
    stack : Stack
        Faces and skins.
    settings : Settings
        Shell, skins, marks and filament process.
    number : str
        Engraved on its floor, or on a pad at the foot of a wall where it has no floor.

    Raises
    ------
    KitError
        The building is too small or too low for its walls.
    """
    shell, gap = settings.shell, settings.skin.glue_gap_mm
    centre = (stack.plan_mm.min(axis=0) + stack.plan_mm.max(axis=0)) / 2
    wall_mm = shell.wall_lines * settings.filament.line_width_mm
    outer = stack.outside_mm(gap, shell.corner_chamfer_mm) - centre
    inner = stack.behind_skin(gap + wall_mm) - centre
    require_room(inner, "the walls of its shell", "choose a larger scale or fewer wall lines")
    foot, top = shell.ledge_height_mm, shell_top_mm(stack, settings)
    floor = floor_top_mm(stack, settings)
    if top < foot + 2 * settings.filament.part_layer_mm:
        raise KitError("the walls are too low for a shell", "building", "choose a larger scale or a thinner lid")
    reach = np.clip(stack.skin_mm + gap - LEDGE_BEHIND_FACE_MM, 0.0, shell.ledge_depth_mm)
    ledge = stack.outside_mm(gap - reach, shell.corner_chamfer_mm) - centre
    base = Layer.union([ledge if foot > 0 else outer], _LEDGE)
    free = [stack.behind_skin(gap + wall_mm + MARK_MARGIN_MM) - centre]
    pad = None if shell.floor else _pad(inner, wall_mm)
    if pad is not None:
        free.append(set_back(pad, PAD_MARGIN_MM))
    mark = _floor_mark(number, free, settings, floor)
    engraved = [Layer.patches(mark.rings_mm, _MARK)] if mark else []
    depth = mark.depth_mm if mark else 0.0
    hole = [] if pad is None else [Layer.union([inner, pad[::-1]] if mark else [inner], OUTSIDE)]
    body = (base, Layer.union([outer], _WALL), Layer.union([inner], _FLOOR), *hole)
    front = Relief.flat(Figure((*body, *engraved)), [foot, floor, top, floor - depth])
    back = Relief.flat(Figure((base, *hole)), [0.0] * 4)
    where = frame((1, 0, 0), (0, 1, 0), (0, 0, 1), (*centre, stack.base_mm - foot))
    return Built(*as_printed(plate(front, back), where), mark)


def _pad(inner: Outline, wall_mm: float) -> Outline:
    """A plate at the foot of the longest wall, reaching under the wall so that the two are one."""
    lengths = np.linalg.norm(np.roll(inner, -1, axis=0) - inner, axis=1)
    i = int(np.argmax(lengths))
    a, b = inner[i], inner[(i + 1) % len(inner)]
    along = (b - a) / lengths[i]
    inward = np.array([-along[1], along[0]])
    half = min(PAD_MM[0], lengths[i] * 0.8) / 2
    middle = (a + b) / 2
    corners = [(-half, -wall_mm / 2), (half, -wall_mm / 2), (half, PAD_MM[1]), (-half, PAD_MM[1])]
    return np.array([middle + x * along + y * inward for x, y in corners])


def _floor_mark(number: str, free: list[Outline], settings: Settings, floor_mm: float) -> Mark | None:
    """Fit a mark where all outlines overlap."""
    room = largest_room(free, within=len(free)) if settings.mark.make else None
    if room is None:
        return None
    height = settings.mark.filament_height_mm
    return fitted_mark(number, room, height, settings.filament, on_plate=False, thickness_mm=floor_mm)
