"""What trims the edges of roofs: boards, gutters and runs of tiles, clear of walls."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import Structure
from halfbat.parts.before_walls import board_faces, ridge_faces
from halfbat.parts.board_ends import gutter_off_walls, off_walls
from halfbat.parts.chimneys import FIT_MM, Chimney
from halfbat.parts.flat_boards import flat_boards
from halfbat.parts.gutters import Gutter, gutters_of
from halfbat.parts.masses import MassStack
from halfbat.parts.ridge_tiles import Ridge, ridges_apart, without_chimneys
from halfbat.parts.roof_boards import Board, boards_of
from halfbat.parts.roof_skins import RoofFace
from halfbat.parts.skins import Facing
from halfbat.parts.standing import Standing
from halfbat.settings import Settings
from halfbat.units import Scale

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class RoofTrim:
    """Boards, gutters and runs of tiles of a kit.

    Parameters
    ----------
    boards : tuple of Board
        Fascia and barge boards.
    gutters : tuple of Gutter
        Along eaves, before their outlets are settled.
    ridges : tuple of Ridge
        Ridges and hips that get tiles, parted by chimneys.
    bodies : tuple of tuple of ndarray (N, 3)
        Faces of every board and every run of tiles, which covers must end at.
    """

    boards: tuple[Board, ...] = ()
    gutters: tuple[Gutter, ...] = ()
    ridges: tuple[Ridge, ...] = ()
    bodies: tuple[tuple[Array, ...], ...] = ()


NO_TRIM = RoofTrim()


def roof_trim(
    roofs: Sequence[RoofFace],
    structure: Structure,
    masses: Sequence[MassStack],
    facings: Mapping[int, Facing],
    chimneys: Sequence[Chimney],
    walls: Sequence[Standing],
    settings: Settings,
    scale: Scale,
) -> RoofTrim:
    """Settle what trims the roofs.

    Parameters
    ----------
    roofs : sequence of RoofFace
        Pitched slopes.
    structure : Structure
        The building, drawn out.
    masses : sequence of MassStack
        Those that stand on the ground, in the order of the structure.
    facings : mapping of int to Facing
        Walls with skins.
    chimneys : sequence of Chimney
        On pitched roofs.
    walls : sequence of Standing
        Skins of all walls.
    settings, scale
        Of the kit.
    """
    gap = settings.skin.corner_gap_mm / 2
    along = [board for face in roofs for board in boards_of(face, structure, facings, settings)]
    boards = [piece for board in along for piece in off_walls(board, walls, gap)]
    for mass, stack in zip([mass for mass in structure.masses if not mass.on_roof], masses, strict=True):
        boards += flat_boards(stack, mass.slopes[0], settings, scale)
    whole = gutters_of(along, structure, settings, scale)
    gutters = [piece for gutter in whole for piece in gutter_off_walls(gutter, walls, gap)]
    ridges: list[Ridge] = []
    if settings.roof.ridge != "none":
        rings = [chimney.site.ring(FIT_MM) for chimney in chimneys]
        ridges = without_chimneys(ridges_apart(roofs, settings, scale, walls), rings)
    bodies = [*(board_faces(board) for board in boards), *(ridge_faces(ridge, settings, scale) for ridge in ridges)]
    return RoofTrim(tuple(boards), tuple(gutters), tuple(ridges), tuple(tuple(faces) for faces in bodies))
