"""Roof skins: resin plates that lie on the former, tiled or slated, mitred at ridges and hips."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from halfbat.building.structure import Slope
from halfbat.findings import Finding
from halfbat.parts.corners import Fits
from halfbat.parts.edged import Edged, edged
from halfbat.parts.marks import RIM_MM, Mark, fitted_mark
from halfbat.parts.overhung_edges import RoofEdge
from halfbat.parts.panel_leans import cut_leans
from halfbat.parts.placing import Matrix, as_printed, frame
from halfbat.parts.roof_edges import Surroundings, ended, kept_clear, sturdy_edges
from halfbat.parts.roof_light_sites import RoofLight, seat_mm
from halfbat.parts.roof_relief import roof_layers, roof_planes
from halfbat.parts.rooms import largest_room
from halfbat.settings import Settings
from halfbat.solids.figure import OUTSIDE, Figure, Layer
from halfbat.solids.grid import CORNER_STEP, PER_MM
from halfbat.solids.plate import plate
from halfbat.solids.relief import Relief
from halfbat.solids.solid import Solid
from halfbat.solids.trapezoids import decompose
from halfbat.surfaces.roofing.courses import Courses, set_roof_courses
from halfbat.surfaces.roofing.coverings import chosen_covering
from halfbat.surfaces.roofing.face import squared
from halfbat.surfaces.roofing.laid_roof import LaidRoof
from halfbat.surfaces.roofing.laying import lay_roof
from halfbat.surfaces.roofing.steps import roof_steps
from halfbat.units import Scale

Array = NDArray[np.float64]
NEARLY_LEVEL_DEG = 1.0
_BEYOND_MM = 10.0
VENTED_MM, LEAD_LOWER_MM = 2.0, 0.1
"""A hollow up to so deep may be walled all round (making notes); lead is lowered to it, by this at most."""
LEAST_EDGE_MM = 0.05
GRID_MM = CORNER_STEP / PER_MM


@dataclass(frozen=True, slots=True, eq=False)
class RoofFace:
    """A slope in model size, settled.

    Parameters
    ----------
    slope : Slope
        As measured on the mesh.
    outline_mm : ndarray (K, 2)
        Its outline in the slope's frame.
    face : Edged
        The same, ended at its edges.
    base_mm : float
        Thickness of the skin under its tiles.
    depth_mm : float
        Whole thickness, to the highest place of the tiles.
    courses : Courses or None
        Course lines; None where it stays smooth.
    scale : Scale
        How small.
    edges : tuple of RoofEdge or None
        For each edge of the slope, how it overhangs.
    holes_mm : tuple of ndarray (K, 2)
        Anticlockwise, where chimneys come through.
    lead_mm : tuple of ndarray (K, 2)
        Lead round them.
    lights : tuple of RoofLight
        Roof lights, whose holes are the last of them.
    """

    slope: Slope
    outline_mm: Array
    face: Edged
    base_mm: float
    depth_mm: float
    courses: Courses | None
    scale: Scale
    edges: tuple[RoofEdge | None, ...] = ()
    holes_mm: tuple[Array, ...] = ()
    lead_mm: tuple[Array, ...] = ()
    lights: tuple[RoofLight, ...] = ()

    @property
    def through_mm(self) -> list[Array]:
        """What is open through the skin: roof lights lie on a ledge round their opening."""
        inner = [ring for light in self.lights if (ring := light.open_ring()) is not None]
        return [*self.holes_mm[: len(self.holes_mm) - len(self.lights)], *inner]


@dataclass(frozen=True, slots=True, eq=False)
class RoofPanel:
    """A roof skin in its print frame."""

    solid: Solid
    place: Matrix
    mark: Mark | None


def roof_courses(slope: Slope, settings: Settings, scale: Scale) -> Courses | None:
    """Set out the courses of a slope, whole to its top; None for a smooth roof."""
    covering = chosen_covering(settings.roof)
    if covering is None:
        return None
    return set_roof_courses(
        covering,
        scale,
        pitch_deg=slope.pitch_deg,
        eaves_v_mm=0.0,
        top_v_mm=float(slope.outline_m[:, 1].max()) * scale.mm_per_m,
        lap_m=settings.roof.lap_mm / 1000,
        where=f"slope {slope.number}",
    )


def laid(
    slope: Slope,
    courses: Courses | None,
    origin: Array,
    settings: Settings,
    scale: Scale,
    holes_mm: Sequence[Array] = (),
    seen_mm: Array | None = None,
) -> LaidRoof | None:
    """Cover a slope but for its holes, with pixels counted from a place in it; None for a smooth roof.

    Of a skin that ends inside the slope, as beside a parapet, its outline is what is seen.
    """
    covering = chosen_covering(settings.roof)
    if covering is None or courses is None:
        return None
    steps = roof_steps(
        scale, settings.resin, lap_step_mm=settings.roof.lap_step_mm, origin_mm=(float(origin[0]), float(origin[1]))
    )
    return lay_roof(
        squared(slope.outline_m * scale.mm_per_m),
        [edge.kind.value for edge in slope.edges],
        covering,
        scale,
        steps,
        pitch_deg=slope.pitch_deg,
        courses=courses,
        lap_m=settings.roof.lap_mm / 1000,
        holes_mm=holes_mm,
        seen_mm=seen_mm,
        where=f"slope {slope.number}",
    )


def roof_face(
    slope: Slope,
    base_mm: float,
    relief_mm: float,
    courses: Courses | None,
    fits: Fits,
    scale: Scale,
    walls: Mapping[int, tuple[Array, float]] = MappingProxyType({}),
    around: Surroundings | None = None,
    edges: Sequence[RoofEdge | None] = (),
    least_mm: float = 0.0,
) -> RoofFace:
    """Settle the edges of a slope's skin.

    Parameters
    ----------
    slope : Slope
        Outline and edges, metres.
    base_mm, relief_mm : float
        Thickness of roof skins under the tiles, and of the tiles, the same on all slopes.
    courses : Courses or None
        Course lines.
    fits : Fits
        Land and gap.
    scale : Scale
        How small.
    walls : mapping of int to (ndarray (2,), float)
        Which way each wall faces, and how thick its skin is: where one rises above the slope, the slope stops at it.
    around : Surroundings, optional
        All walls and slopes, to keep clear of those that meet none of its edges.
    edges : sequence of RoofEdge or None
        How each edge overhangs; none do where it is empty.
    least_mm : float
        What is narrower is left out.
    """
    outline = squared(slope.outline_m * scale.mm_per_m)
    depth_mm = base_mm + relief_mm
    beyond = tuple(edges) or (None,) * len(slope.edges)
    outline, ends = ended(slope, outline, depth_mm, fits, walls, beyond)
    whole = outline
    if around is not None:
        outline, ends = kept_clear(slope, outline, ends, depth_mm, fits.gap_mm, scale, around)
    undercut = sum(edge is not None and edge.inner_mm > 0 for edge in beyond)
    if sum(len(end.profile_mm) > 1 for end in ends) < undercut or (undercut and len(outline) != len(whole)):
        # What is cut out of a slope, or made square, leaves edges without their undercut: so do the boards below.
        plain = [edge and replace(edge, inner_mm=0.0) for edge in beyond]
        return roof_face(slope, base_mm, relief_mm, courses, fits, scale, walls, around, plain, least_mm)
    outline, ends = sturdy_edges(outline, ends, least_mm)
    return RoofFace(slope, outline, edged(outline, ends, depth_mm), base_mm, depth_mm, courses, scale, beyond)


def build_roof_panel(face: RoofFace, box: Array, settings: Settings, number: str) -> RoofPanel | None:
    """Build one panel of a slope, lying on its back.

    Parameters
    ----------
    face : RoofFace
        The slope.
    box : ndarray (2, 2)
        Which part of it.
    settings : Settings
        Roof, marks and resin process.
    number : str
        Engraved on the back.

    Returns
    -------
    RoofPanel or None
        None where the slope does not reach into the box.
    """
    outline = face.face.outline_mm
    low, high = np.maximum(outline.min(axis=0), box[0]), np.minimum(outline.max(axis=0), box[1])
    centre = np.rint((low + high) / 2 / GRID_MM) * GRID_MM
    base = Layer.union([outline - centre], 0)
    closing = [_all_but(box - centre, face.face.outline_mm - centre)]
    if face.through_mm:
        closing.append(Layer.patches([hole - centre for hole in face.through_mm], OUTSIDE))
    if not decompose(Figure((base, *closing))).cell.size:
        return None
    front = _front(face, base, closing, centre, settings)
    planes = [(0.0, 0.0, 0.0)]
    planes += [(a + b * centre[0] + c * centre[1], b, c) for a, b, c in face.face.planes]
    strips = Layer.tiles([strip - centre for strip in face.face.strips_mm], range(1, len(planes)))
    mark = None
    window = (np.maximum(low, box[0]) - centre + RIM_MM, np.minimum(high, box[1]) - centre - RIM_MM)
    taken = [np.asarray(hole[::-1] - centre) for hole in face.lead_mm]
    free = [face.face.flat_mm - centre, *taken]
    room = largest_room(free, window, RIM_MM, mirrored=True) if settings.mark.make else None
    engraved = []
    if room is not None:
        height = settings.mark.resin_height_mm
        mark = fitted_mark(number, room, height, settings.resin, on_plate=True, thickness_mm=face.base_mm)
    if mark is not None:
        engraved = [Layer.patches(mark.rings_mm, len(planes))]
        planes.append((mark.depth_mm, 0.0, 0.0))
    back = Relief(Figure((base, strips, *engraved, *closing)), np.array(planes))
    leans = tuple(lean.moved(-centre[0], -centre[1]) for lean in cut_leans(face.face.leans, outline, box))
    return RoofPanel(*as_printed(plate(front, back, leans), _place(face, centre)), mark)


def _front(face: RoofFace, base: Layer, closing: Sequence[Layer], centre: Array, settings: Settings) -> Relief:
    """Tiles over the base, or a smooth face."""
    roof = laid(face.slope, face.courses, centre, settings, face.scale, face.holes_mm, face.face.outline_mm)
    layers, planes = [base], np.array([[face.depth_mm, 0.0, 0.0]])
    if roof is not None:
        moved = roof.moved(-float(centre[0]), -float(centre[1]))
        planes = roof_planes(moved, face.base_mm)
        layers += roof_layers(moved)
    if face.lead_mm and roof is not None:
        layers.append(Layer.patches([ring - centre for ring in face.lead_mm], len(planes)))
        planes = np.concatenate([planes, [[lead_level_mm(face.depth_mm), 0.0, 0.0]]])
    if face.lights:
        layers.append(Layer.patches([light.hole - centre for light in face.lights], len(planes)))
        ledge = seat_mm(face.base_mm, settings.resin.part_layer_mm)
        planes = np.concatenate([planes, [[ledge, 0.0, 0.0]]])
    return Relief(Figure((*layers, *closing)), planes)


def lead_level_mm(depth_mm: float) -> float:
    """Height of lead dressed flat over tiles: as high as they are, or a little lower, so that it walls in no cup."""
    return min(depth_mm, VENTED_MM) if depth_mm <= VENTED_MM + LEAD_LOWER_MM else depth_mm


def tile_counts(faces: list[RoofFace], settings: Settings) -> tuple[Mapping[int, Mapping[str, int]], list[Finding]]:
    """Pieces of each slope by name, and what laying them had to tell."""
    counts: dict[int, Mapping[str, int]] = {}
    findings: list[Finding] = []
    for face in faces:
        roof = laid(face.slope, face.courses, np.zeros(2), settings, face.scale, face.holes_mm, face.face.outline_mm)
        if roof is not None:
            counts[face.slope.index] = roof.counts
            findings += roof.findings
    return counts, findings


def _all_but(box: Array, outline_mm: Array) -> Layer:
    """Everything of a slope outside a box."""
    (x0, y0), (x1, y1) = box
    reach = np.concatenate([box, outline_mm])
    (a0, b0), (a1, b1) = reach.min(axis=0) - _BEYOND_MM, reach.max(axis=0) + _BEYOND_MM
    around = np.array([[a0, b0], [a1, b0], [a1, b1], [a0, b1]])
    return Layer.union([around, np.array([[x0, y0], [x0, y1], [x1, y1], [x1, y0]])], OUTSIDE)


def _place(face: RoofFace, centre: Array) -> Matrix:
    slope = face.slope
    origin = slope.origin_m * face.scale.mm_per_m + slope.along * centre[0] + slope.up * centre[1]
    return frame(slope.along, slope.up, slope.normal, origin - slope.normal * face.depth_mm)
