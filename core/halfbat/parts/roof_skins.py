"""Roof skins: resin plates that lie on the former, mitred at ridges and hips."""

from __future__ import annotations

from dataclasses import dataclass
from math import radians, sin, tan

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import EdgeKind, Slope, SlopeEdge
from halfbat.parts.corners import End, Fits
from halfbat.parts.edged import Edged, edged
from halfbat.parts.marks import RIM_MM, Mark, fitted_mark
from halfbat.parts.outlines import set_back
from halfbat.parts.placing import Matrix, as_printed, frame
from halfbat.parts.rooms import largest_room
from halfbat.settings import Settings
from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.plate import plate
from halfbat.solids.relief import Relief
from halfbat.solids.solid import Solid
from halfbat.solids.trapezoids import decompose
from halfbat.units import Scale

Array = NDArray[np.float64]
NEARLY_LEVEL_DEG = 1.0
_FACE = 0


@dataclass(frozen=True, slots=True, eq=False)
class RoofFace:
    """A slope in model size, settled.

    Parameters
    ----------
    slope : Slope
        As measured on the mesh.
    face : Edged
        Its outline in the slope's frame, ended at its edges.
    depth_mm : float
        Thickness of its skin.
    scale : Scale
        How small.
    """

    slope: Slope
    face: Edged
    depth_mm: float
    scale: Scale


@dataclass(frozen=True, slots=True, eq=False)
class RoofPanel:
    """A roof skin in its print frame."""

    solid: Solid
    place: Matrix
    mark: Mark | None


def roof_face(slope: Slope, depth_mm: float, fits: Fits, scale: Scale) -> RoofFace:
    """Settle the edges of a slope's skin.

    Parameters
    ----------
    slope : Slope
        Outline and edges, metres.
    depth_mm : float
        Thickness of roof skins, the same on all slopes.
    fits : Fits
        Land and gap.
    scale : Scale
        How small.
    """
    outline = slope.outline_m * scale.mm_per_m
    ends = [
        _end(slope, edge, outline[i], outline[(i + 1) % len(outline)], depth_mm, fits)
        for i, edge in enumerate(slope.edges)
    ]
    if len(set_back(outline, [end.reach_mm for end in ends])) != len(outline):
        # An edge is too short for a mitre: square ends, far enough back to clear each other, which ridge tiles cover.
        ends = [End(max(0.0, end.profile_mm[-1][0])) if end.profile_mm else end for end in ends]
    if len(set_back(outline, [end.reach_mm for end in ends])) != len(outline):
        ends = [End(0.0)] * len(ends)
    return RoofFace(slope, edged(outline, ends, depth_mm), depth_mm, scale)


def _end(slope: Slope, edge: SlopeEdge, a: Array, b: Array, depth_mm: float, fits: Fits) -> End:
    if edge.kind in (EdgeKind.RIDGE, EdgeKind.HIP) and edge.dihedral_deg < 180.0 - NEARLY_LEVEL_DEG:
        half = radians(edge.dihedral_deg) / 2
        shift, spread = fits.gap_mm / 2 / sin(half), 1 / tan(half)
        return End(shift, spread, ((depth_mm * spread + shift, depth_mm),))
    if edge.kind in (EdgeKind.ABUTMENT, EdgeKind.PARAPET):
        return _against_wall(slope, a, b, depth_mm, fits)
    return End(fits.gap_mm / 2 if edge.neighbour is not None else 0.0)


def _against_wall(slope: Slope, a: Array, b: Array, depth_mm: float, fits: Fits) -> End:
    """Keep the whole thickness clear of an upright wall along an edge."""
    run = (b - a) / np.linalg.norm(b - a)
    along = run[0] * slope.along + run[1] * slope.up
    inward = -run[1] * slope.along + run[0] * slope.up
    away = np.array([along[1], -along[0], 0.0])
    away = away / np.linalg.norm(away)
    if away @ inward < 0:
        away = -away
    face = fits.gap_mm / float(away @ inward)
    slope_by = max(0.0, float(slope.normal @ away) / float(away @ inward))
    if slope_by * depth_mm < 0.02:
        return End(face + slope_by * depth_mm)
    return End(face, slope_by, ((face + slope_by * depth_mm, depth_mm),))


def roof_cells(face: RoofFace, room_mm: tuple[float, float], gap_mm: float) -> list[Array]:
    """Cut a slope into equal upright boxes that a printer takes, each as (low, high) corners, gaps taken off."""
    low, high = face.face.outline_mm.min(axis=0), face.face.outline_mm.max(axis=0)
    count = np.maximum(1, np.ceil((high - low - 1e-6) / np.array(room_mm))).astype(int)
    boxes = []
    for row in range(count[1]):
        for column in range(count[0]):
            place = np.array([column, row])
            start, end = low + (high - low) * place / count, low + (high - low) * (place + 1) / count
            start = np.where(place > 0, start + gap_mm / 2, low - 5.0)
            end = np.where(place < count - 1, end - gap_mm / 2, high + 5.0)
            boxes.append(np.array([start, end]))
    return boxes


def build_roof_panel(face: RoofFace, box: Array, settings: Settings, number: str) -> RoofPanel | None:
    """Build one panel of a slope, lying on its back.

    Parameters
    ----------
    face : RoofFace
        The slope.
    box : ndarray (2, 2)
        Which part of it.
    settings : Settings
        Marks and resin process.
    number : str
        Engraved on the back.

    Returns
    -------
    RoofPanel or None
        None where the slope does not reach into the box.
    """
    outline = face.face.outline_mm
    low, high = np.maximum(outline.min(axis=0), box[0]), np.minimum(outline.max(axis=0), box[1])
    centre = (low + high) / 2
    base = Layer.union([outline - centre], _FACE)
    clip = _all_but(box - centre)
    if not decompose(Figure((base, clip))).cell.size:
        return None
    front = Relief.flat(Figure((base, clip)), [face.depth_mm])
    planes = [(0.0, 0.0, 0.0)]
    planes += [(a + b * centre[0] + c * centre[1], b, c) for a, b, c in face.face.planes]
    strips = Layer.tiles([strip - centre for strip in face.face.strips_mm], range(1, len(planes)))
    mark = None
    window = (np.maximum(low, box[0]) - centre, np.minimum(high, box[1]) - centre)
    room = largest_room([face.face.flat_mm - centre], window, RIM_MM, mirrored=True) if settings.mark.make else None
    engraved = []
    if room is not None:
        height = settings.mark.resin_height_mm
        mark = fitted_mark(number, room, height, settings.resin, on_plate=True, thickness_mm=face.depth_mm)
    if mark is not None:
        engraved = [Layer.patches(mark.rings_mm, len(planes))]
        planes.append((mark.depth_mm, 0.0, 0.0))
    back = Relief(Figure((base, strips, *engraved, clip)), np.array(planes))
    leans = tuple(lean.moved(-centre[0], -centre[1]) for lean in face.face.leans)
    return RoofPanel(*as_printed(plate(front, back, leans), _place(face, centre)), mark)


def _all_but(box: Array) -> Layer:
    (x0, y0), (x1, y1) = box
    far = 500.0
    around = np.array([[-far, -far], [far, -far], [far, far], [-far, far]])
    return Layer.union([around, np.array([[x0, y0], [x0, y1], [x1, y1], [x1, y0]])], OUTSIDE)


def _place(face: RoofFace, centre: Array) -> Matrix:
    slope = face.slope
    origin = slope.origin_m * face.scale.mm_per_m + slope.along * centre[0] + slope.up * centre[1]
    return frame(slope.along, slope.up, slope.normal, origin - slope.normal * face.depth_mm)
