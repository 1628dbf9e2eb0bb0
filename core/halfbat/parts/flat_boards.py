"""Fascia boards round the lid of a flat roof that reaches over its walls."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from halfbat.building.structure import EdgeKind
from halfbat.parts.lid import flat_board_mm, has_boards
from halfbat.parts.masses import MassStack
from halfbat.parts.outlines import set_back
from halfbat.parts.overhung_edges import board_height_mm
from halfbat.parts.roof_boards import Board, UprightCut
from halfbat.settings import Settings
from halfbat.units import Scale

SHORTEST_MM = 2.0


def flat_boards(mass: MassStack, number: int, settings: Settings, scale: Scale) -> Iterator[Board]:
    """Find the fascia boards of a flat roof: mitred at corners, their top level with the roof.

    Parameters
    ----------
    mass : MassStack
        With its overhang.
    number : int
        Its slope.
    settings : Settings
        Roof, lid, skins and resin process.
    scale : Scale
        How small.
    """
    if mass.slopes or not has_boards(mass, settings):
        return
    thick = flat_board_mm(settings)
    high = max(board_height_mm(settings, scale), settings.lid.thickness_mm + settings.filament.part_layer_mm)
    section = np.array([(-thick, -high), (0.0, -high), (0.0, 0.0), (-thick, 0.0)])
    ring = mass.rings[0]
    outline = set_back(ring.corners_mm, np.where(ring.outer, -mass.overhang_mm, 0.0))
    if len(outline) != len(ring.outer):
        return
    steps = np.roll(outline, -1, axis=0) - outline
    along = steps / np.linalg.norm(steps, axis=1)[:, None]
    count = len(outline)
    for i in np.flatnonzero(ring.outer).tolist():
        ends = []
        for other, corner in (((i - 1) % count, outline[i]), ((i + 1) % count, outline[(i + 1) % count])):
            normal = along[i] + along[other] if ring.outer[other] else np.array([along[other][1], -along[other][0]])
            ends.append(UprightCut(corner, normal))
        start = np.array([*outline[i], mass.base_mm + mass.height_mm])
        run = np.array([*along[i], 0.0])
        outward = np.array([along[i][1], -along[i][0], 0.0])
        board = Board(
            EdgeKind.EAVES, number, -1, start, run, outward, np.array([0.0, 0.0, 1.0]), section, (ends[0], ends[1])
        )
        if min(abs(float(end.normal @ along[i])) for end in ends) > 0.2 and np.diff(board.reach_mm())[0] > SHORTEST_MM:
            yield board
