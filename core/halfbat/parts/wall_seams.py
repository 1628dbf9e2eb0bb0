"""Seams of every wall, planned from what the maker chose and from what the wall has."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import FaceOfWall
from halfbat.parts.bases import base_thickness_mm
from halfbat.parts.bent_seams import cut_requests
from halfbat.parts.seams import PanelLimits, SeamRules, SeamStyle, WallRun, WallSeams
from halfbat.parts.seams_by_openings import planned_seams
from halfbat.parts.wall_covers import kept_for_covers, widest_cover
from halfbat.parts.wall_ends import ends_without_seams, widest_ends
from halfbat.parts.wall_features import DressedWall, proud_reach_mm
from halfbat.settings import Settings
from halfbat.surfaces import Lattice, Laying
from halfbat.surfaces.chosen import chosen_format, length_in_bricks_m
from halfbat.surfaces.joints import Joints, part_steps_mm
from halfbat.surfaces.opening_units import OpeningUnits
from halfbat.surfaces.remnants import extents
from halfbat.units import Scale

Array = NDArray[np.float64]


def seams_of_walls(
    walls: Sequence[FaceOfWall],
    outlines_mm: dict[int, Array],
    layings: list[Laying],
    openings: list[tuple[OpeningUnits, ...]],
    dressed: dict[int, DressedWall],
    joints: Joints,
    settings: Settings,
    scale: Scale,
) -> list[WallSeams]:
    """Plan the seams of every wall.

    Parameters
    ----------
    walls : sequence of FaceOfWall
        Those that get skins.
    outlines_mm : dict of int to ndarray (K, 2)
        Outline of the face of each in its own frame, model size.
    layings, openings : list
        Bricks of each wall, and what stands round its openings.
    dressed : dict of int to DressedWall
        Features of walls that have any.
    joints : Joints
        Joints of the building.
    settings : Settings
        What the maker chose.
    scale : Scale
        How small.

    Raises
    ------
    KitError
        There is no room for a seam that is needed.
    """
    module_mm = scale.to_mm(chosen_format(settings.brick).stretcher_module_m)
    step_x, step_y, _ = part_steps_mm(settings.resin)
    limits = PanelLimits(
        min(settings.resin.part_room_mm[0], settings.seam.panel_limit_mm),
        min(settings.resin.part_room_mm[1], settings.seam.panel_limit_mm),
    )
    cover = widest_cover(settings, scale)
    limits = replace(limits, least_mm=max(limits.least_mm, 2 * cover.half_mm + settings.seam.gap_mm))
    rules = SeamRules((SeamStyle(settings.seam.hide),), settings.seam.gap_mm, settings.seam.cover_width_mm)
    # Thicknesses follow from the panels, so seams are planned for the thickest and the thinnest there may be.
    thin, thick = (base_thickness_mm(side, settings, joints.depth_mm) + joints.depth_mm for side in (0.0, float("inf")))
    ends = widest_ends(walls, (thin, thick), joints, settings, scale)
    planned = []
    for wall, laying, holes in zip(walls, layings, openings, strict=True):
        left, right = (
            max(-min(end.outermost_mm for end in either), proud_reach_mm(wall, dressed, side, either, joints.depth_mm))
            for side, either in enumerate(ends[wall.index])
        )
        run = WallRun(
            f"wall {wall.letter}",
            laying,
            module_mm,
            joints.perpend_mm,
            Lattice(0.0, step_x),
            # Panels as high as the wall have their pixels counted from its middle.
            Lattice(laying.height_mm / 2, step_y),
            left_extra_mm=left,
            right_extra_mm=right,
            piers_mm=dressed[wall.index].piers_mm if wall.index in dressed else (),
            outline_mm=outlines_mm[wall.index],
            thin_mm=settings.resin.min_wall_mm,
        )
        requests = list(cut_requests(wall.letter, run, settings, scale, top_of(outlines_mm[wall.index])))
        kept = [
            (_mm(span.start, settings, scale), _mm(span.end, settings, scale))
            for span in settings.no_seams
            if span.wall == wall.letter
        ]
        kept += ends_without_seams(wall, ends[wall.index], laying.length_mm, settings, cover)
        kept += kept_for_covers(wall.letter, settings, scale, top_of(outlines_mm[wall.index]))
        kept += dressed[wall.index].seamless if wall.index in dressed else []
        planned.append(planned_seams(run, limits, rules, requests, kept, holes))
    return planned


def _mm(length: str, settings: Settings, scale: Scale) -> float:
    return scale.to_mm(length_in_bricks_m(length, settings.brick))


def top_of(outline_mm: Array) -> Callable[[float], float]:
    """Return what tells the height of a wall at a place along it; beside the wall, that of its nearer end."""
    low, high = float(outline_mm[:, 0].min()), float(outline_mm[:, 0].max())
    return lambda at: float(extents(outline_mm, np.array([min(max(at, low), high)]), axis=0)[1][0])
